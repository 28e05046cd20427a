"""Certifications: their versions and rules."""

from django.db.models import Count
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _

from assessments.certification import drafts, policies
from assessments.certification.standing import today_of
from assessments.forms.certification import CertificationForm, SkillForm
from assessments.models import Certification, CertifiedSkill, Packet, PacketRun, SignOff
from coursework.models import Cohort, Course
from coursework.policies import get_visible, require, visible_exercises, visible_lessons
from coursework.views.pages import confirm_page, form_page, page_of

MOST_CANDIDATES = 200


def certification_list(request: HttpRequest) -> HttpResponse:
    found = policies.visible_certifications(request.user).one_each().prefetch_related("skills")
    context = {
        "page": page_of(request, found),
        "may_arrange": policies.may_add_certification(request.user),
        "may_see_expiry": policies.may_see_expiry(request.user),
    }
    return render(request, "assessments/certification_list.html", context)


def certification_detail(request: HttpRequest, pk: int) -> HttpResponse:
    certification = visible_certification(request, pk)
    versions = policies.visible_certifications(request.user).filter(lineage=certification.lineage)
    people = policies.candidates(request.user, certification).filter(enrolments__role="student")
    rows = list(people.distinct().order_by("name", "pk")[: MOST_CANDIDATES + 1])
    packets = Packet.objects.filter(certification__lineage=certification.lineage)
    held: dict[int, list[Packet]] = {}
    for packet in packets.filter(student__in=rows):
        held.setdefault(packet.student_id, []).append(packet)
    today = today_of(certification.school)
    states = {
        pk: [(packet, packet.state(today)) for packet in theirs] for pk, theirs in held.items()
    }
    signed = _signed(certification, rows)
    context = {
        "certification": certification,
        "versions": versions.order_by("-number"),
        "skills": certification.skills.all(),
        "people": [
            (person, signed.get(person.pk, 0), states.get(person.pk, ()))
            for person in rows[:MOST_CANDIDATES]
        ],
        "is_own": rows == [request.user],
        "has_more": len(rows) > MOST_CANDIDATES,
        "may_arrange": policies.may_arrange_certification(request.user, certification),
        "cohorts": _cohorts(request.user, certification),
    }
    return render(request, "assessments/certification_detail.html", context)


def certification_add(request: HttpRequest) -> HttpResponse:
    require(policies.may_add_certification(request.user))
    made = Certification(school=request.user.school)
    return _edit(
        request, made, heading=_("New certification"), cancel=reverse("certification-list")
    )


def certification_edit(request: HttpRequest, pk: int) -> HttpResponse:
    certification = _arranged(request, pk)
    return _edit(
        request,
        certification,
        heading=_("Edit “%s”") % certification,
        cancel=certification.get_absolute_url(),
    )


def certification_publish(request: HttpRequest, pk: int) -> HttpResponse:
    certification = _arranged(request, pk)

    def act() -> str:
        drafts.publish_certification(request.user, certification)
        return _("“%s” is published.") % certification

    return confirm_page(
        request,
        act=act,
        cancel=certification.get_absolute_url(),
        done=certification.get_absolute_url(),
        heading=_("Publish “%s”?") % certification,
        explanation=_(
            "From then on skills are signed off by this version, and it stays as it is for good. "
            "A later change makes the next version; decisions keep the one they were made with."
        ),
        submit=_("Publish"),
        harmless=True,
    )


def certification_change(request: HttpRequest, pk: int) -> HttpResponse:
    certification = _arranged(request, pk)
    made: list[Certification] = []

    def act() -> str:
        made.append(drafts.next_certification(request.user, certification))
        return _("Change this draft as you like; the published version stays in force meanwhile.")

    done = reverse("certification-list")
    response = confirm_page(
        request,
        act=act,
        cancel=certification.get_absolute_url(),
        done=done,
        heading=_("Make the next version of “%s”?") % certification,
        explanation=_(
            "It starts as a draft with the same rule. Nothing changes until you publish."
        ),
        submit=_("Make the draft"),
        harmless=True,
    )
    if made and response.status_code == 302:
        response["Location"] = made[0].get_absolute_url()
    return response


def certification_discard(request: HttpRequest, pk: int) -> HttpResponse:
    certification = _arranged(request, pk)

    def act() -> str:
        drafts.discard_draft(request.user, certification)
        return _("The draft is discarded.")

    return confirm_page(
        request,
        act=act,
        cancel=certification.get_absolute_url(),
        done=reverse("certification-list"),
        heading=_("Discard the draft of “%s”?") % certification,
        explanation=_("Published versions stay as they are. This cannot be undone."),
        submit=_("Discard the draft"),
    )


def skill_add(request: HttpRequest, pk: int) -> HttpResponse:
    certification = _arranged(request, pk)
    return _edit_skill(request, CertifiedSkill(certification=certification), _("Add a skill"))


def skill_edit(request: HttpRequest, pk: int) -> HttpResponse:
    skill = _arranged_skill(request, pk)
    return _edit_skill(
        request,
        skill,
        _("Edit the skill “%s”") % skill,
        remove=reverse("skill-remove", args=[pk]),
        remove_label=_("Remove the skill…"),
    )


def skill_remove(request: HttpRequest, pk: int) -> HttpResponse:
    skill = _arranged_skill(request, pk)
    back = skill.certification.get_absolute_url()

    def act() -> str:
        drafts.remove_skill(request.user, skill)
        return _("The skill is removed.")

    return confirm_page(
        request,
        act=act,
        cancel=back,
        done=back,
        heading=_("Remove the skill “%s”?") % skill,
        explanation=_("It goes from this draft; published versions keep it."),
        submit=_("Remove the skill"),
    )


def visible_certification(request: HttpRequest, pk: int) -> Certification:
    found = policies.visible_certifications(request.user).select_related("school")
    return get_visible(found, pk=pk)


def _arranged(request: HttpRequest, pk: int) -> Certification:
    certification = visible_certification(request, pk)
    require(policies.may_arrange_certification(request.user, certification))
    return certification


def _arranged_skill(request: HttpRequest, pk: int) -> CertifiedSkill:
    skills = CertifiedSkill.objects.filter(
        certification__in=policies.visible_certifications(request.user).order_by().values("pk")
    ).select_related("certification__school")
    skill = get_visible(skills, pk=pk)
    require(policies.may_arrange_certification(request.user, skill.certification))
    return skill


def _edit(request, certification, *, heading: str, cancel: str) -> HttpResponse:
    def save(form):
        saved = drafts.save_certification(request.user, form.save(commit=False))
        return _("“%s” is saved.") % saved, saved.get_absolute_url()

    return form_page(
        request,
        CertificationForm(request.POST or None, instance=certification),
        save=save,
        heading=heading,
        submit=_("Save"),
        cancel=cancel,
    )


def _edit_skill(request, skill: CertifiedSkill, heading: str, **more) -> HttpResponse:
    back = skill.certification.get_absolute_url()
    newest = Course.objects.filter(school=skill.certification.school_id).newest()
    courses = newest.order_by().values("pk")
    exercises = visible_exercises(request.user).filter(course__in=courses)
    lessons = visible_lessons(request.user).filter(course__in=courses)

    def save(form):
        data = form.cleaned_data
        saved = drafts.save_skill(
            request.user, form.save(commit=False), data["exercise"], data["lessons"]
        )
        return _("The skill “%s” is saved.") % saved, back

    form = SkillForm(
        request.POST or None,
        instance=skill,
        exercises=exercises.select_related("course"),
        lessons=lessons.select_related("course"),
    )
    return form_page(
        request, form, save=save, heading=heading, submit=_("Save the skill"), cancel=back, **more
    )


def _signed(certification: Certification, people) -> dict[int, int]:
    """How many skills of this version stand signed off, by person (primary key)."""
    rows = SignOff.objects.standing().filter(skill__certification=certification, student__in=people)
    return dict(rows.order_by().values_list("student").annotate(number=Count("pk")))


def _cohorts(person, certification: Certification) -> list[tuple[Cohort, PacketRun | None]]:
    """Cohorts of which someone may have the packets made, each with its latest run."""
    cohorts = policies.packet_cohorts(person, certification).order_by("-starts_on", "name")
    runs = policies.visible_runs(person).filter(certification=certification)
    latest = {run.cohort_id: run for run in runs.order_by("asked_at", "pk")}
    return [(cohort, latest.get(cohort.pk)) for cohort in cohorts]
