"""Packets of a whole cohort: asked for, watched, cancelled, fetched."""

from collections.abc import Callable

from django.db.models import Count, Q
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.text import slugify
from django.utils.translation import gettext as _

from assessments.certification import policies, run_files, runs
from assessments.certification.addresses import check_address
from assessments.certification.tasks import hand_over
from assessments.forms.packet_run import PacketRunForm
from assessments.models import PacketRun, PacketRunRow
from assessments.models.runs import FILES_KEPT
from assessments.views.certifications import visible_certification
from coursework.models import SchoolSettings
from coursework.policies import get_visible, require, visible_cohorts
from coursework.views.pages import confirm_page, form_page

_State = PacketRunRow.State


def packet_run_start(request: HttpRequest, pk: int, cohort_pk: int) -> HttpResponse:
    """Who is ready, who is not and why; then a run over those whom the lead ticks."""
    certification = visible_certification(request, pk)
    cohort = get_visible(visible_cohorts(request.user), pk=cohort_pk)
    require(policies.may_run_packets(request.user, certification, cohort))
    found = runs.prospects(request.user, certification, cohort)
    ready = [one for one in found if one.is_ready]

    def save(form):
        run = runs.start_run(
            request.user,
            certification,
            cohort,
            family_names=form.family_names,
            check_address=check_address(request),
            paper=form.cleaned_data["paper"],
        )
        hand_over(run)
        return _("The run has begun."), run.get_absolute_url()

    return form_page(
        request,
        PacketRunForm(request.POST or None, ready=ready),
        save=save,
        template="assessments/packet_run_start.html",
        heading=_("Packets of %s") % cohort.name,
        submit=_("Issue and make the packets") if ready else _("Make the packets"),
        cancel=certification.get_absolute_url(),
        certification=certification,
        cohort=cohort,
        ready=ready,
        held=[one for one in found if one.held is not None],
        missing=[one for one in found if one.held is None and one.against],
        unfinished=PacketRun.objects.unfinished()
        .filter(certification=certification, cohort=cohort)
        .first(),
    )


def packet_run(request: HttpRequest, pk: int) -> HttpResponse:
    """How far it is; the page asks again by itself as long as it goes on."""
    run = _visible(request, pk)
    now = timezone.now()
    counts = run.rows.aggregate(
        all=Count("pk"),
        waiting=Count("pk", filter=Q(state=_State.WAITING)),
        issued=Count("pk", filter=Q(state=_State.ISSUED)),
        held=Count("pk", filter=Q(state=_State.HELD)),
        made=Count("pk", filter=Q(made=True)),
        packets=Count("pk", filter=Q(packet__isnull=False)),
    )
    # One step to issue each, one to print it, two to put the files together.
    expected = counts["packets"] + counts["waiting"]
    done = counts["packets"] + counts["made"] + (0 if run.is_unfinished else 2)
    context = {
        "run": run,
        "counts": counts,
        "expected": expected,
        "steps": (done, 2 * expected + 2),
        "zone": SchoolSettings.of(run.certification.school).zone,
        "is_silent": run.is_silent(now),
        "may_resume": run.may_resume(now),
        "has_files": run.has_files(now),
        "keeps_parts": not run.is_unfinished and run_files.folder(run).exists(),
        "rows": [] if run.is_unfinished else run.rows.select_related("packet", "student"),
    }
    return render(request, "assessments/packet_run.html", context)


def packet_run_cancel(request: HttpRequest, pk: int) -> HttpResponse:
    def act(run: PacketRun) -> str:
        cancelled = runs.cancel_run(request.user, run)
        if cancelled.is_unfinished:
            return _("It stops after the step it is at.")
        return _("It is cancelled.")

    return _confirm(
        request,
        pk,
        act,
        heading=_("Cancel this run?"),
        explanation=_(
            "Certificates that it has issued stay issued; nothing more is issued or made. You can "
            "let it go on later, where it stopped."
        ),
        submit=_("Cancel the run"),
    )


def packet_run_resume(request: HttpRequest, pk: int) -> HttpResponse:
    def act(run: PacketRun) -> str:
        hand_over(runs.resume_run(request.user, run))
        return _("It goes on where it stopped.")

    return _confirm(
        request,
        pk,
        act,
        heading=_("Let this run go on?"),
        explanation=_(
            "Whoever is still to be done is issued a certificate if they are ready; nobody is "
            "issued one twice."
        ),
        submit=_("Go on"),
        harmless=True,
    )


def packet_run_remove(request: HttpRequest, pk: int) -> HttpResponse:
    def act(run: PacketRun) -> str:
        runs.remove_files(request.user, run)
        return _("The files are deleted.")

    return _confirm(
        request,
        pk,
        act,
        heading=_("Delete the files of this run?"),
        explanation=_(
            "Certificates stay issued, and each packet can be printed from its own page. The files "
            "are deleted by themselves after %s days."
        )
        % FILES_KEPT.days,
        submit=_("Delete the files"),
    )


def packet_run_zip(request: HttpRequest, pk: int) -> HttpResponse:
    return _file(request, pk, run_files.ZIP, "application/zip")


def packet_run_print(request: HttpRequest, pk: int) -> HttpResponse:
    return _file(request, pk, run_files.PRINT, "application/pdf")


def _visible(request: HttpRequest, pk: int) -> PacketRun:
    found = policies.visible_runs(request.user).select_related(
        "certification__school", "cohort", "asked_by"
    )
    return get_visible(found, pk=pk)


def _confirm(
    request: HttpRequest, pk: int, act: Callable[[PacketRun], str], **context
) -> HttpResponse:
    run = _visible(request, pk)
    back = run.get_absolute_url()
    return confirm_page(request, act=lambda: act(run), cancel=back, done=back, **context)


def _file(request: HttpRequest, pk: int, name: str, content_type: str) -> HttpResponse:
    run = _visible(request, pk)
    path = run_files.file_of(run, name)
    if not run.has_files(timezone.now()) or not path.exists():
        raise Http404(_("The files of this run are deleted, or not made yet."))
    stem = slugify(f"{run.certification.title} {run.cohort.name}") or "packets"
    ending = path.suffix if name == run_files.ZIP else f"-print{path.suffix}"
    return FileResponse(
        path.open("rb"),
        as_attachment=True,
        filename=f"{stem}{ending}",
        content_type=content_type,
    )
