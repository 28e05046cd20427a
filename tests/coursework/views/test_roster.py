"""A roster in the browser: nothing is stored before it is confirmed."""

from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from coursework.models import Enrolment, Person
from tests import builders

pytestmark = pytest.mark.django_db
GOOD = "\ufeffname;username;role;phone\r\nAino Lehto;aino;assistant;1\r\nTeo;teo;;2\r\n"


@pytest.fixture
def cohort():
    return builders.cohort()


@pytest.fixture
def lead(client, cohort):
    person = builders.lead(cohort)
    client.force_login(person)
    return person


def choose(client, cohort, text: str):
    file = SimpleUploadedFile("roster.csv", text.encode())
    return client.post(reverse("roster-import", args=[cohort.pk]), {"roster": file})


def confirm(client, page):
    form = page.context["form"]
    fields = {name: form.initial[name] for name in ("content", "asked")}
    return client.post(page.request["PATH_INFO"], fields)


def test_the_preview_shows_every_row_and_stores_nothing(client, cohort, lead):
    page = choose(client, cohort, GOOD)
    content = page.content.decode()
    assert "Nothing is stored yet." in content
    assert "separated by semicolons" in content
    assert "Columns that are not used: phone." in content
    assert "Aino Lehto" in content
    assert not Person.objects.filter(username="aino").exists()


def test_confirming_brings_them_in_and_shows_their_links(client, cohort, lead):
    page = confirm(client, choose(client, cohort, GOOD))
    assert (
        Enrolment.objects.filter(cohort=cohort, person__username__in=["aino", "teo"]).count() == 2
    )
    assert page.content.decode().count('class="qr-dark"') == 2


def test_confirming_twice_changes_nothing_and_shows_the_same_links(client, cohort, lead):
    preview = choose(client, cohort, GOOD)
    first, again = confirm(client, preview), confirm(client, preview)
    addresses = [[slip["address"] for slip in page.context["slips"]] for page in (first, again)]
    assert addresses[0] == addresses[1]
    assert Person.objects.filter(username="aino").count() == 1


def test_the_same_file_later_says_that_nothing_changes(client, cohort, lead):
    confirm(client, choose(client, cohort, GOOD))
    page = choose(client, cohort, GOOD)
    assert "There is nothing to change." in page.content.decode()
    assert page.context["form"] is None


def test_faults_stand_at_their_rows_and_nothing_can_be_confirmed(client, cohort, lead):
    page = choose(client, cohort, "name,username,role\nAino,aino,king\nTeo,teo,\n")
    content = page.content.decode()
    assert "“king” is no role" in content
    assert "1 row has to be put right" in content
    assert page.context["form"] is None


def test_a_preview_that_was_tampered_with_is_checked_again(client, cohort, lead):
    fields = {"content": "name,username\n,aino\n", "asked": uuid4()}
    page = client.post(reverse("roster-import", args=[cohort.pk]), fields, follow=True)
    assert "some rows have to be put right" in page.content.decode()
    assert not Person.objects.filter(username="aino").exists()


@pytest.mark.parametrize("fields", [{"content": ""}, {"content": "x", "asked": "no"}])
def test_a_confirmation_that_did_not_arrive_whole_is_told(client, cohort, lead, fields):
    page = client.post(reverse("roster-import", args=[cohort.pk]), fields, follow=True)
    assert "The file did not arrive whole." in page.content.decode()


def test_a_file_that_is_no_roster_is_refused_at_the_field(client, cohort, lead):
    page = choose(client, cohort, "just words")
    assert "The first line must name the columns" in page.context["form"].errors["roster"][0]


def test_no_file_is_refused(client, cohort, lead):
    page = client.post(reverse("roster-import", args=[cohort.pk]))
    assert page.status_code == 200
    assert not Person.objects.exclude(pk=lead.pk).exists()


def test_names_in_a_file_are_text_on_the_page(client, cohort, lead):
    content = choose(client, cohort, "name,username\n<b>Aino</b>,aino").content.decode()
    assert "&lt;b&gt;Aino" in content
    assert "<b>Aino" not in content


def test_a_new_lead_waits_for_a_link_from_an_administrator(client, cohort, lead):
    page = choose(client, cohort, "name,username,role\nAino,aino,lead\n")
    told = client.get(confirm(client, page).url).content.decode()
    assert "An administrator of the school makes the first sign-in link of: Aino." in told
