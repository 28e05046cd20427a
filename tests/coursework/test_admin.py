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
    assert admin_client.get(new).status_code == 200


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
