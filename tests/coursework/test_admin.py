"""The maintenance door: open to staff alone, every record reachable."""

import pytest
from django.contrib import admin
from django.urls import reverse
from django.utils import timezone

from coursework import models
from tests import builders

OWN = [model for model in admin.site._registry if model._meta.app_label == "coursework"]
INSIDE_OTHERS = {
    models.Lesson,
    models.Attendance,
    models.Exercise,
    models.Enrolment,
    models.ReferenceMark,
    models.SchoolSettings,
    models.InstrumentCheck,
    models.Decision,
    models.IncidentNote,
    models.FollowUp,
}
# Nobody changes these, not even there.
TO_BE_READ = {
    models.CalendarFeed,
    models.Contact,
    models.HandMeasurement,
    models.Incident,
    models.Invitation,
    models.PaceMeasurement,
    models.LessonException,
    models.PlanException,
}


def listing(model) -> str:
    return reverse(f"admin:coursework_{model._meta.model_name}_changelist")


def test_every_kind_of_record_has_its_list_or_stands_inside_another():
    kinds = {getattr(models, name) for name in models.__all__}
    kinds = {kind for kind in kinds if hasattr(kind, "_meta")}
    assert set(OWN) == kinds - INSIDE_OTHERS


@pytest.mark.parametrize("model", OWN, ids=lambda model: model.__name__)
def test_staff_reach_every_list_and_a_form_for_a_new_record(admin_client, model):
    builders.drill()
    assert admin_client.get(listing(model)).status_code == 200
    new = listing(model) + "add/"
    assert admin_client.get(new).status_code == (403 if model in TO_BE_READ else 200)


def to_be_read() -> list:
    """One record of every kind that is read there and not changed."""
    drill = builders.drill()
    student, lead = builders.student(drill.cohort), builders.lead(drill.cohort)
    return [
        models.CalendarFeed.objects.create(person=student, token_hash="0" * 64),
        models.Contact.objects.create(
            person=student,
            emergency_name="Aunt Odile",
            emergency_phone="+41 00 000 00 00",
            emergency_agreed_at=timezone.now(),
            medical_note="Wasp stings.",
            medical_agreed_at=timezone.now(),
        ),
        models.HandMeasurement.objects.create(person=student, degrees=9.5, measured_by=lead),
        models.PaceMeasurement.objects.create(
            person=student, paces=130, distance_m=200.0, paces_per_100_m=65.0, measured_by=lead
        ),
        builders.incident(),
        builders.invitation(cohort=drill.cohort),
        models.PlanException.objects.create(
            drill=drill, key="k", sentence="The site is taken.", reason="Room for both.", by=lead
        ),
        models.LessonException.objects.create(
            planned_lesson=builders.planned_lesson(cohort=drill.cohort),
            key="k",
            sentence="Nobody is named to lead it.",
            reason="A guest does.",
            by=lead,
        ),
    ]


def test_what_is_to_be_read_is_listed_and_shown_and_neither_changed_nor_deleted(admin_client):
    records = to_be_read()
    assert {type(record) for record in records} == TO_BE_READ
    for record in records:
        name = record._meta.model_name
        change, delete = (
            reverse(f"admin:coursework_{name}_{action}", args=[record.pk])
            for action in ("change", "delete")
        )
        assert change.encode() in admin_client.get(listing(type(record))).content
        assert admin_client.get(change).status_code == 200
        assert admin_client.post(change, {}).status_code == 403
        assert admin_client.post(delete, {"post": "yes"}).status_code == 403


@pytest.mark.parametrize("text", [b"Aunt Odile", b"+41 00 000 00 00", b"Wasp stings."])
def test_what_someone_shares_for_an_emergency_is_not_shown_there(admin_client, text):
    contact = next(record for record in to_be_read() if isinstance(record, models.Contact))
    address = reverse("admin:coursework_contact_change", args=[contact.pk])
    assert str(contact.person).encode() in admin_client.get(address).content
    assert text not in admin_client.get(address).content
    assert text not in admin_client.get(listing(models.Contact)).content


@pytest.mark.parametrize("kind", ["approval", "group", "plannedlesson"])
def test_an_approval_a_group_and_a_planned_lesson_are_listed_and_open_as_a_form(admin_client, kind):
    record = builders.planned_lesson() if kind == "plannedlesson" else getattr(builders, kind)()
    address = reverse(f"admin:coursework_{kind}_change", args=[record.pk])
    assert address.encode() in admin_client.get(listing(type(record))).content
    assert b'name="_save"' in admin_client.get(address).content


def test_an_incident_is_read_there_and_not_changed(admin_client):
    incident = builders.follow_up().incident
    address = reverse("admin:coursework_incident_change", args=[incident.pk])
    assert b"slipped on the wet bank" in admin_client.get(address).content
    assert admin_client.post(address, {"what": "Nothing."}).status_code == 403
    delete = reverse("admin:coursework_incident_delete", args=[incident.pk])
    assert admin_client.post(delete, {"post": "yes"}).status_code == 403


def test_checks_and_decisions_are_shown_with_what_they_belong_to(admin_client):
    check, decision = builders.instrument_check(), builders.decision()
    for name, pk in (("instrument", check.instrument_id), ("drill", decision.drill_id)):
        address = reverse(f"admin:coursework_{name}_change", args=[pk])
        assert admin_client.get(address).status_code == 200


@pytest.mark.django_db
def test_an_administrator_of_a_school_is_not_let_in_by_that(client):
    client.force_login(builders.administrator())
    assert client.get(reverse("admin:index")).status_code == 302


@pytest.mark.django_db
def test_a_person_made_there_can_sign_in(admin_client, client):
    school = builders.school()
    fields = {"username": "ola", "name": "Ola", "school": school.pk, "is_school_admin": "on"}
    passwords = {"usable_password": "true", "password1": "grey-heron-12"}
    admin_client.post(
        reverse("admin:coursework_person_add"),
        fields | passwords | {"password2": "grey-heron-12"},
    )
    response = client.post(reverse("sign-in"), {"username": "ola", "password": "grey-heron-12"})
    assert response.url == reverse("home")
