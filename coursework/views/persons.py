"""Everyone of the school: found, looked at, changed, given their data, closed and erased."""

import io
import json
import zipfile
from datetime import UTC

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from coursework import exports, policies, services
from coursework.forms.people import EraseForm, PersonForm
from coursework.listing import csv_response, wants_csv
from coursework.models import Approval, Person
from coursework.people_filters import PersonFilter
from coursework.services import second_step
from coursework.services.erasure import as_text
from coursework.views.pages import confirm_page, form_page, page_of


def person_list(request: HttpRequest) -> HttpResponse:
    policies.require(policies.may_arrange_school(request.user))
    cohorts = policies.visible_cohorts(request.user).select_related("course")
    narrowed = PersonFilter(
        request.GET,
        policies.listed_people(request.user).order_by("name", "id"),
        cohorts=cohorts,
        find=_("Find a person"),
    )
    if wants_csv(request):
        rows = narrowed.qs.with_roles().iterator(chunk_size=500)
        return csv_response("people", exports.PEOPLE, rows)
    return render(
        request,
        "coursework/person_list.html",
        {
            "may_save": True,
            "filter": narrowed,
            "page": page_of(request, narrowed.qs.for_lines()),
            "administers": policies.is_school_admin(request.user),
        },
    )


def person_detail(request: HttpRequest, pk: int) -> HttpResponse:
    person = _listed(request, pk)
    today = timezone.localdate()
    approvals = person.approvals.select_related("recorded_by")
    return render(
        request,
        "coursework/person_detail.html",
        {
            "person": person,
            "today": today,
            "roles": person.enrolments.select_related("cohort__course"),
            "readable_cohorts": set(
                policies.visible_cohorts(request.user).values_list("pk", flat=True)
            ),
            "hands": person.hand_measurements.select_related("measured_by"),
            "paces": person.pace_measurements.select_related("measured_by"),
            "approvals": approvals,
            "notes": Approval.objects.staff_notes([pk], today=today)[pk],
            "may_administer": policies.may_administer(request.user, person),
            "may_close": policies.may_close_account(request.user, person),
            "second_step": second_step.asks_for_code(person),
            "may_export": policies.may_export(request.user, person),
            "may_set_password": policies.may_set_password(request.user, person),
            "may_record": policies.may_record_approval(request.user, person),
        },
    )


def person_edit(request: HttpRequest, pk: int) -> HttpResponse:
    person = _listed(request, pk)
    policies.require(policies.may_administer(request.user, person))
    back = reverse("person-detail", args=[pk])

    def save(form):
        services.edit_person(request.user, form.instance)
        return _("%s is saved.") % form.instance.name, back

    return form_page(
        request,
        PersonForm(request.POST or None, instance=person),
        save=save,
        heading=_("Edit %s") % person.name,
        submit=_("Save"),
        cancel=back,
    )


def person_close(request: HttpRequest, pk: int) -> HttpResponse:
    person = _listed(request, pk)
    policies.require(policies.may_close_account(request.user, person))
    back = reverse("person-detail", args=[pk])

    def act() -> str:
        services.close_account(request.user, person)
        return _("The account of %s is closed.") % person.name

    return confirm_page(
        request,
        act=act,
        cancel=back,
        done=back,
        heading=_("Close the account of %s?") % person.name,
        explanation=_(
            "The person is signed out at once and cannot sign in any more. Roles and results "
            "stay, and you can reopen the account at any time."
        ),
        submit=_("Close the account"),
    )


def person_reopen(request: HttpRequest, pk: int) -> HttpResponse:
    person = _listed(request, pk)
    policies.require(policies.may_close_account(request.user, person))
    back = reverse("person-detail", args=[pk])

    def act() -> str:
        services.reopen_account(request.user, person)
        return _("The account of %s is open again.") % person.name

    return confirm_page(
        request,
        act=act,
        cancel=back,
        done=back,
        heading=_("Reopen the account of %s?") % person.name,
        explanation=_("The person can sign in again with the password they had."),
        submit=_("Reopen the account"),
        harmless=True,
    )


def person_erase(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows what goes and what stays, and asks for the sign-in name before it erases."""
    person = _listed(request, pk)
    policies.require(policies.may_erase(request.user, person))
    name = person.name

    def save(form):
        label = services.erase_person(request.user, person)
        return _("The data of %(name)s are erased. Where results stay, they say “%(label)s”.") % {
            "name": name,
            "label": label,
        }, reverse("person-list")

    shares = services.erasure_shares(person)
    return form_page(
        request,
        EraseForm(request.POST or None, person=person),
        save=save,
        template="coursework/person_erase.html",
        heading=_("Erase the data of %s?") % name,
        person=person,
        going=[share for share in shares if share.going],
        staying=[share for share in shares if share.staying],
    )


def person_export(request: HttpRequest, pk: int) -> HttpResponse:
    """Everything held about a person, as a ZIP file to read and to process."""
    person = policies.get_visible(policies.exportable_people(request.user), pk=pk)
    now = timezone.now()
    data = {
        _("given out"): now.astimezone(UTC).isoformat(timespec="seconds"),
        _("times"): _("in UTC, as ISO 8601 writes them; angles in degrees, right is positive"),
    } | services.personal_data(request.user, person)
    archive = io.BytesIO()
    with zipfile.ZipFile(archive, "w", zipfile.ZIP_DEFLATED) as file:
        file.writestr("data.txt", "\n".join(as_text(data)) + "\n")
        file.writestr("data.json", json.dumps(data, ensure_ascii=False, indent=2) + "\n")
    return HttpResponse(
        archive.getvalue(),
        content_type="application/zip",
        headers={"Content-Disposition": f'attachment; filename="person-{pk}-{now:%Y-%m-%d}.zip"'},
    )


def _listed(request: HttpRequest, pk: int) -> Person:
    return policies.get_visible(policies.listed_people(request.user), pk=pk)
