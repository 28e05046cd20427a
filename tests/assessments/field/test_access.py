"""Who gets what at the addresses of the field log, role by role."""

import json

import pytest
from django.test import Client
from django.urls import reverse

from assessments.models import LeadNote
from tests import builders
from tests.assessments.field.messages import crew, headcount, message, note, result
from tests.assessments.test_access import FIELD

pytestmark = pytest.mark.django_db
SHELL = ("field", "field-worker", "field-manifest")


def client_of(person=None):
    client = Client()
    if person is not None:
        client.force_login(person)
    return client


def send(client, person, *items):
    body = message(*items, person=person.pk)
    return client.post(reverse("field-send"), json.dumps(body), content_type="application/json")


def test_every_address_of_the_field_log_is_tried_here():
    tried = {*SHELL, "field-drill", "field-day", "field-form", "field-send", "lead-note-settle"}
    assert tried == FIELD


@pytest.mark.parametrize("name", SHELL)
def test_the_page_and_its_worker_are_the_same_for_everybody(name):
    _drill, lead, student = crew()
    pages = [client_of(person).get(reverse(name)) for person in (None, lead, student)]
    assert [page.status_code for page in pages] == [200, 200, 200]
    assert len({page.content for page in pages}) == 1
    assert lead.name not in pages[1].content.decode()


def test_the_page_of_any_drill_is_that_same_page():
    shell = client_of().get(reverse("field")).content
    assert client_of().get(reverse("field-drill", args=[1])).content == shell


@pytest.mark.parametrize("name", ["field-day", "field-form"])
def test_without_signing_in_a_device_is_told_so(name):
    drill, _lead, _student = crew()
    arguments = [drill.pk] if name == "field-form" else []
    assert client_of().get(reverse(name, args=arguments)).status_code == 401


def test_without_signing_in_nothing_is_sent():
    drill, lead, student = crew()
    assert send(client_of(), lead, result(drill, student)).status_code == 401


def test_the_day_carries_the_drills_one_logs_at():
    drill, lead, student = crew(starts_at=builders.timezone.now())
    carried = {}
    people = {
        "student": student,
        "lead": lead,
        "administrator": builders.administrator(school=drill.site.school),
        "stranger": builders.lead(builders.cohort()),
        "nobody's": builders.person(school=None),
    }
    for role, person in people.items():
        day = client_of(person).get(reverse("field-day")).json()
        assert day["person"]["id"] == person.pk
        carried[role] = [each["pk"] for each in day["drills"]]
    assert carried == {
        "student": [],
        "lead": [drill.pk],
        "administrator": [drill.pk],
        "stranger": [],
        "nobody's": [],
    }


def test_the_form_is_for_those_who_log():
    drill, lead, student = crew()
    address = reverse("field-form", args=[drill.pk])
    stranger = builders.lead(builders.cohort())
    got = [client_of(person).get(address).status_code for person in (lead, student, stranger)]
    assert got == [200, 404, 404]


def test_what_one_person_left_is_not_stored_under_another():
    drill, lead, student = crew()
    other = builders.assistant(drill.cohort)
    response = send(client_of(other), lead, result(drill, student))
    assert (response.status_code, response.json()) == (409, {"person": other.pk})


@pytest.mark.parametrize("body", ["", "[]", "{", '{"person": 1}', "[" * 20_000])
def test_a_message_that_cannot_be_read_is_no_fault_of_the_server(body):
    _drill, lead, _student = crew()
    body = body.replace("1", str(lead.pk))
    response = client_of(lead).post(reverse("field-send"), body, content_type="application/json")
    assert response.status_code == 400


def test_a_message_without_the_token_is_refused():
    drill, lead, student = crew()
    client = Client(enforce_csrf_checks=True)
    client.force_login(lead)
    assert send(client, lead, result(drill, student)).status_code == 403


def test_nothing_of_the_day_is_kept_by_caches_along_the_way():
    _drill, lead, _student = crew()
    assert "no-store" in client_of(lead).get(reverse("field-day"))["Cache-Control"]


def test_the_worker_answers_for_the_field_log_only():
    response = client_of().get(reverse("field-worker"))
    assert response["Service-Worker-Allowed"] == "/field/"
    assert response["Content-Type"].startswith("text/javascript")


def test_notes_are_seen_and_settled_by_those_who_lead():
    drill, lead, student = crew()
    assistant = builders.assistant(drill.cohort)
    send(client_of(assistant), assistant, note(drill))
    kept = LeadNote.objects.get()
    stranger = builders.lead(builders.cohort())
    seen = {
        person: "shadow-tip line" in client_of(person).get(reverse("lead-notes")).content.decode()
        for person in (assistant, lead, student, stranger)
    }
    assert list(seen.values()) == [True, True, False, False]
    settle = reverse("lead-note-settle", args=[kept.pk])
    people = (assistant, student, stranger, lead)
    assert [client_of(person).post(settle).status_code for person in people] == [403, 404, 404, 302]
    kept.refresh_from_db()
    assert kept.settled_by == lead


def test_the_paper_headcount_stands_group_by_group():
    drill, lead, student = crew()
    other = builders.student(drill.cohort, name="Aada Aalto")
    builders.group(student, cohort=drill.cohort, name="Choughs")
    page = client_of(lead).get(reverse("headcount-sheet", args=[drill.pk])).content.decode()
    assert page.index(student.name) < page.index("Choughs") < page.index(other.name)


def test_the_paper_headcount_says_who_is_out():
    drill, lead, student = crew()
    item = headcount(drill, students=[student.pk], due_at="2025-06-20T09:00:00+00:00")
    send(client_of(lead), lead, item)
    page = client_of(lead).get(reverse("headcount-sheet", args=[drill.pk])).content.decode()
    assert student.name in page
    assert "11:00" in page
    assert "own count rules" in page
