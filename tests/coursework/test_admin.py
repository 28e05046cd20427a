"""The maintenance door: open to staff alone, every record reachable."""

import pytest
from django.contrib import admin
from django.urls import reverse

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
TO_BE_READ = {models.Incident}


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
