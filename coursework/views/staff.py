"""Those who go out with students: first aid and approval as assessor."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from coursework import exports, policies, services
from coursework.forms.people import ApprovalForm
from coursework.listing import csv_response, wants_csv
from coursework.models import Approval, Person
from coursework.models.approvals import standing
from coursework.people_filters import StaffFilter
from coursework.views.pages import confirm_page, form_page, page_of


def staff_list(request: HttpRequest) -> HttpResponse:
    """Everyone who instructs, with what lapses or has lapsed."""
    policies.require(policies.instructs_anywhere(request.user))
    today = timezone.localdate()
    everyone = Person.objects.filter(school=request.user.school_id).staff(today)
    narrowed = StaffFilter(request.GET, everyone, find=_("Find someone"))
    if wants_csv(request):
        return csv_response("staff", exports.STAFF, narrowed.qs)
    page = page_of(request, narrowed.qs)
    rows = [(person, _standings(person, today)) for person in page]
    return render(
        request,
        "coursework/staff_list.html",
        {
            "may_save": True,
            "filter": narrowed,
            "page": page,
            "rows": rows,
            "may_record": policies.is_school_admin(request.user),
            "may_open": policies.may_arrange_school(request.user),
        },
    )


def _standings(person: Person, today) -> list[dict]:
    return [
        {
            "kind": kind.label,
            "until": getattr(person, Approval.UNTIL[kind]),
            "note": standing(kind, getattr(person, Approval.UNTIL[kind]), today),
            "lapsed": (getattr(person, Approval.UNTIL[kind]) or today) < today,
        }
        for kind in Approval.Kind
    ]


def approval_add(request: HttpRequest, person_pk: int) -> HttpResponse:
    people = policies.listed_people(request.user)
    person = policies.get_visible(people, pk=person_pk)
    approval = Approval(person=person, recorded_by=request.user)
    return _edit(request, approval, heading=_("Record an approval of %s") % person.name)


def approval_edit(request: HttpRequest, pk: int) -> HttpResponse:
    approval = _visible(request, pk)
    return _edit(
        request,
        approval,
        heading=_("Edit the approval of %s") % approval.person.name,
        remove=reverse("approval-remove", args=[pk]),
        remove_label=_("Remove the record…"),
    )


def approval_remove(request: HttpRequest, pk: int) -> HttpResponse:
    approval = _visible(request, pk)
    policies.require(policies.may_record_approval(request.user, approval.person))
    back = reverse("person-detail", args=[approval.person_id])

    def act() -> str:
        services.remove_approval(request.user, approval)
        return _("The record is removed.")

    return confirm_page(
        request,
        act=act,
        cancel=back,
        done=back,
        heading=_("Remove the record “%s”?") % approval,
        explanation=_(
            "For one entered by mistake. One that has lapsed may stay: it counts for nothing any "
            "more. This cannot be undone."
        ),
        submit=_("Remove the record"),
    )


def _visible(request: HttpRequest, pk: int) -> Approval:
    approvals = policies.visible_approvals(request.user).select_related("person")
    return policies.get_visible(approvals, pk=pk)


def _edit(request, approval: Approval, *, heading: str, **more) -> HttpResponse:
    policies.require(policies.may_record_approval(request.user, approval.person))
    back = reverse("person-detail", args=[approval.person_id])

    def save(form):
        services.record_approval(request.user, form.save(commit=False))
        return _("The approval is saved."), back

    return form_page(
        request,
        ApprovalForm(request.POST or None, instance=approval),
        save=save,
        heading=heading,
        submit=_("Save"),
        cancel=back,
        **more,
    )
