"""Entering a result, and correcting one."""

from collections.abc import Callable

from django.contrib import messages
from django.db.models import Count, Q
from django.forms import Form
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from assessments import policies, services
from assessments.forms import correction_form, log_form
from assessments.forms.no_result import BUTTON, NoResultCorrectionForm, NoResultForm
from assessments.forms.setting import Setting
from assessments.models import Attempt, Revision
from coursework.models import Drill, Person
from coursework.policies import asked_key, get_visible, require, visible_drills

# Buttons that ask for other fields instead of sending the form.
REDRAW_BUTTONS = {"show", "add_mark"}


def attempt_log(request: HttpRequest, pk: int) -> HttpResponse:
    """The students of a drill, then the form for the one who was chosen."""
    drills = visible_drills(request.user).select_related(
        "site", "exercise", "cohort__course__school"
    )
    drill = get_visible(drills, pk=pk)
    require(policies.may_log(request.user, drill))
    students = policies.students_to_log(request.user, drill)
    chosen = request.POST.get("student") or request.GET.get("student")
    if not chosen:
        return _choose_student(request, drill, students)
    student = get_visible(students, pk=asked_key(chosen))

    def record(form) -> Attempt:
        return services.record_attempt(
            by=request.user,
            drill=drill,
            student=student,
            observation=form.observation,
            key=form.cleaned_data["key"],
        )

    told = _("Logged for %(name)s.") % {"name": student}
    if BUTTON in request.POST:
        told = _("Logged for %(name)s: no result.") % {"name": student}
    return log_page(request, drill, student, record=record, told=told)


def log_page(
    request: HttpRequest,
    drill: Drill,
    student: Person,
    *,
    record: Callable[[Form], Attempt],
    told: str,
    template: str = "assessments/attempt_log.html",
) -> HttpResponse:
    """The form of one result or of none; `record` stores what it says, or refuses it."""
    setting = Setting.of_drill(drill, student)
    form_class = log_form(setting.method)
    without = NoResultForm(request.POST if BUTTON in request.POST else None)
    sent = without if BUTTON in request.POST else None
    if request.method != "POST" or sent is not None:
        initial = form_class.carried(setting, _last_revision(drill))
        form = form_class(initial=initial, setting=setting)
    elif REDRAW_BUTTONS & request.POST.keys():
        form = form_class.redrawn(request.POST, setting=setting)
    else:
        sent = form = form_class(request.POST, setting=setting)
    if sent is not None and sent.is_valid():
        try:
            attempt = record(sent)
        except services.Refused as refused:
            sent.refuse(refused)
        else:
            messages.success(request, told)
            return redirect(attempt)
    context = {"drill": drill, "student": student, "form": form, "without": without}
    return render(request, template, context)


def attempt_correct(request: HttpRequest, key) -> HttpResponse:
    """A revision of an attempt: what should have been recorded, and why."""
    attempts = policies.readable_attempts(request.user).select_related(
        "current__instrument", "student", "exercise", "drill__site", "drill__cohort__course"
    )
    attempt = policies.get_attempt(request.user, attempts, key=key)
    require(policies.may_correct(request.user, attempt))
    revision = attempt.current
    revision.attempt = attempt
    setting = Setting.of_revision(revision)
    form_class = correction_form(setting.method)
    without = NoResultCorrectionForm(
        request.POST if BUTTON in request.POST else None, initial={"seen": revision.number}
    )
    sent = without if BUTTON in request.POST else None
    if request.method != "POST" or sent is not None:
        initial = form_class.initial_of(setting, revision)
        form = form_class(initial=initial, setting=setting)
    elif REDRAW_BUTTONS & request.POST.keys():
        form = form_class.redrawn(request.POST, setting=setting)
    else:
        sent = form = form_class(request.POST, setting=setting)
    if sent is not None and sent.is_valid():
        try:
            services.correct_attempt(
                by=request.user,
                attempt=attempt,
                observation=sent.observation,
                reason=sent.cleaned_data["reason"],
                seen=sent.cleaned_data["seen"],
            )
        except services.Refused as refused:
            sent.refuse(refused)
        else:
            messages.success(request, _("Corrected. The earlier record is kept below."))
            return redirect(attempt)
    context = {
        "attempt": attempt,
        "revision": revision,
        "form": form,
        "without": without,
        "is_signed": policies.is_signed(attempt),
    }
    return render(request, "assessments/attempt_correct.html", context)


def _choose_student(request: HttpRequest, drill: Drill, students) -> HttpResponse:
    logged = Count("attempts", filter=Q(attempts__drill=drill))
    students = students.annotate(logged=logged).order_by("name", "id")
    context = {"drill": drill, "students": students}
    return render(request, "assessments/choose_student.html", context)


def _last_revision(drill: Drill) -> Revision | None:
    if drill.pk is None:
        return None
    last = Attempt.objects.filter(drill=drill, current__no_result="").select_related(
        "current__instrument"
    )
    attempt = last.order_by("-created_at", "-id").first()
    return attempt.current if attempt is not None else None
