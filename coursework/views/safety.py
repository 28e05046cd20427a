"""Go or stay, and what a school decides for itself."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _

from coursework import policies, services
from coursework.forms.safety import DecisionForm, SettingsForm
from coursework.models import Approval, Drill, Role, SchoolSettings
from coursework.views.pages import form_page


def decision_add(request: HttpRequest, pk: int) -> HttpResponse:
    drills = policies.visible_drills(request.user).select_related(
        "exercise", "site", "cohort__course__school"
    )
    drill = policies.get_visible(drills, pk=pk)
    policies.require(policies.may_decide(request.user, drill))
    settings = SchoolSettings.of(drill.cohort.course.school)
    last = drill.decisions.last_first().first()
    back = reverse("drill-detail", args=[pk])

    def save(form):
        data = form.cleaned_data
        made = services.decide(
            request.user,
            drill,
            outcome=data["outcome"],
            aspects=form.aspects,
            reason=data["reason"],
            heat_value=data["heat_value"],
            seen=data["seen"],
        )
        return _("Decided. %s") % made.headline, back

    initial = {"seen": last.pk if last else 0}
    form = DecisionForm(request.POST or None, limits=settings.limits, initial=initial)
    return form_page(
        request,
        form,
        save=save,
        template="coursework/decision_form.html",
        heading=_("Go or stay: “%s”") % drill.exercise,
        submit=_("Save the decision"),
        cancel=back,
        drill=drill,
        decision=last,
        people=_people(drill),
        most=drill.site.students_per_instructor or settings.students_per_instructor,
    )


def _people(drill: Drill) -> dict:
    """How many students are enrolled, and who instructs, with what speaks against taking each."""
    rows = list(drill.cohort.enrolments.values_list("role", "person", "person__name"))
    instructors = {pk: name for role, pk, name in rows if role != Role.STUDENT}
    day = drill.local_start.date()
    notes = Approval.objects.staff_notes(instructors, today=day)
    return {
        "students": sum(role == Role.STUDENT for role, _pk, _name in rows),
        "instructors": [(name, notes[pk]) for pk, name in sorted(instructors.items())],
    }


def school_settings(request: HttpRequest) -> HttpResponse:
    policies.require(policies.is_school_admin(request.user))
    settings = SchoolSettings.of(request.user.school)

    def save(form):
        services.save_settings(request.user, form.save(commit=False))
        return _("The settings are saved."), reverse("school-settings")

    return form_page(
        request,
        SettingsForm(request.POST or None, instance=settings),
        save=save,
        template="coursework/settings_form.html",
        heading=_("Settings of %s") % request.user.school,
        submit=_("Save the settings"),
        cancel=reverse("home"),
    )
