"""Conflicts beside the form of a drill, cancelling one, and the groups of a cohort."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _

from coursework import policies, services
from coursework.conflicts.beside import conflicts_beside
from coursework.drill_policies import visible_groups
from coursework.forms.groups import CancelForm, GroupForm
from coursework.models import Cohort, Drill, Group, Person, Role
from coursework.views.drills import drill_form
from coursework.views.pages import confirm_page, form_page, removal_page


def drill_conflicts(request: HttpRequest, cohort_pk: int) -> HttpResponse:
    """The part beside the form, for what has been chosen so far; `booking` where one is edited."""
    cohort = _cohort(request, cohort_pk)
    policies.require(policies.may_arrange(request.user, cohort))
    asked = request.GET.get("booking", "")
    drill = Drill(cohort=cohort)
    if asked:
        drills = policies.visible_drills(request.user).filter(cohort=cohort)
        drill = policies.get_visible(drills, pk=policies.asked_key(asked))
    form = drill_form(request, drill)
    return render(
        request, "coursework/drill_conflicts.html", {"found": conflicts_beside(form), "form": form}
    )


def drill_cancel(request: HttpRequest, pk: int) -> HttpResponse:
    drill = _drill(request, pk)
    back = reverse("drill-detail", args=[pk])

    def save(form):
        services.cancel_drill(request.user, drill, reason=form.cleaned_data["reason"])
        return _("The drill is cancelled. It stays in the lists and in calendars as that."), back

    return form_page(
        request,
        CancelForm(request.POST or None),
        save=save,
        heading=_("Cancel the drill “%s”?") % drill,
        intro=_("It can be taken up again on its page."),
        submit=_("Cancel the drill"),
        harmful=True,
        cancel=back,
    )


def drill_take_up(request: HttpRequest, pk: int) -> HttpResponse:
    drill = _drill(request, pk)
    back = reverse("drill-detail", args=[pk])

    def act() -> str:
        services.take_up_drill(request.user, drill)
        return _("The drill is held after all.")

    return confirm_page(
        request,
        act=act,
        cancel=back,
        done=back,
        heading=_("Hold the drill “%s” after all?") % drill,
        explanation=_("Its page then shows what speaks against it by now."),
        submit=_("Hold it"),
        keep=_("Leave it cancelled"),
        harmless=True,
    )


def group_add(request: HttpRequest, cohort_pk: int) -> HttpResponse:
    cohort = _cohort(request, cohort_pk)
    policies.require(policies.may_arrange(request.user, cohort))
    return _edit_group(request, Group(cohort=cohort), heading=_("New group of “%s”") % cohort)


def group_edit(request: HttpRequest, pk: int) -> HttpResponse:
    group = _group(request, pk)
    policies.require(policies.may_arrange(request.user, group))
    return _edit_group(
        request,
        group,
        heading=_("Edit the group “%s”") % group,
        remove=reverse("group-remove", args=[pk]),
        remove_label=_("Remove the group…"),
    )


def group_remove(request: HttpRequest, pk: int) -> HttpResponse:
    group = _group(request, pk)
    back = reverse("cohort-detail", args=[group.cohort_id])
    return removal_page(
        request,
        group,
        heading=_("Remove the group “%s”?") % group,
        explanation=_(
            "Its students stay in the cohort. Drills and lessons planned for this group alone are "
            "then for the whole cohort."
        ),
        submit=_("Remove the group"),
        told=_("The group “%s” is removed.") % group,
        cancel=back,
        done=back,
    )


def _edit_group(request: HttpRequest, group: Group, **context) -> HttpResponse:
    back = reverse("cohort-detail", args=[group.cohort_id])
    enrolled = group.cohort.enrolments.filter(role=Role.STUDENT).order_by().values("person")

    def save(form):
        saved = services.save_group(
            request.user, form.save(commit=False), form.cleaned_data["students"]
        )
        return _("The group “%s” is saved.") % saved, back

    form = GroupForm(
        request.POST or None, instance=group, students=Person.objects.filter(pk__in=enrolled)
    )
    return form_page(request, form, save=save, submit=_("Save the group"), cancel=back, **context)


def _cohort(request: HttpRequest, pk: int) -> Cohort:
    cohorts = policies.visible_cohorts(request.user).select_related("course__school")
    return policies.get_visible(cohorts, pk=pk)


def _group(request: HttpRequest, pk: int) -> Group:
    groups = visible_groups(request.user).select_related("cohort__course")
    return policies.get_visible(groups, pk=pk)


def _drill(request: HttpRequest, pk: int) -> Drill:
    drills = policies.visible_drills(request.user).select_related(
        "exercise", "site", "cohort__course"
    )
    drill = policies.get_visible(drills, pk=pk)
    policies.require(policies.may_arrange(request.user, drill))
    return drill
