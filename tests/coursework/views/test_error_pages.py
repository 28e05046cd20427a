"""Pages for what goes wrong: in the site's own words, without a request at hand too."""

import pytest
from django.template.loader import get_template
from django.test import Client
from django.urls import reverse

from tests import builders


@pytest.mark.django_db
def test_an_address_that_leads_nowhere_says_so_to_strangers_too(client):
    response = client.get("/nowhere/")
    assert response.status_code == 404
    assert "There is no such page" in response.content.decode()


@pytest.mark.django_db
def test_what_may_not_be_done_is_said_with_the_menu_still_there(client):
    client.force_login(builders.student(builders.cohort()))
    response = client.get(reverse("site-add"))
    assert response.status_code == 403
    assert "You may not do this" in response.content.decode()
    assert reverse("course-list") in response.content.decode()


@pytest.mark.django_db
def test_a_form_without_its_token_is_answered_in_plain_words():
    client = Client(enforce_csrf_checks=True)
    response = client.post(reverse("sign-in"), {"username": "a", "password": "b"})
    assert response.status_code == 403
    assert "The form was open too long" in response.content.decode()


@pytest.mark.django_db
def test_a_host_that_is_not_ours_is_answered_with_400(client):
    response = client.get("/", headers={"host": "elsewhere.example"})
    assert response.status_code == 400
    assert "This request cannot be read" in response.content.decode()


def test_the_page_for_faults_needs_nothing_that_could_fail_again():
    content = get_template("500.html").render()
    assert "Something went wrong here" in content
