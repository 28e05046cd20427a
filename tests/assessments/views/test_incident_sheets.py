"""Reports of incidents as they are fetched."""

from io import BytesIO

import pytest
from django.urls import reverse
from pypdf import PdfReader

from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def lead(client):
    person = builders.lead(builders.cohort())
    client.force_login(person)
    return person


def words(response) -> str:
    return " ".join(page.extract_text() for page in PdfReader(BytesIO(response.content)).pages)


def test_a_report_is_a_pdf_that_no_cache_keeps_and_its_page_leads_there(client, lead):
    incident = builders.incident(school=lead.school)
    address = reverse("incident-report", args=[incident.pk])
    assert address in client.get(reverse("incident-detail", args=[incident.pk])).content.decode()
    response = client.get(address, {"paper": "letter"})
    assert response.content.startswith(b"%PDF-")
    assert "no-store" in response["Cache-Control"]


def test_the_log_holds_what_the_list_is_narrowed_to_and_nothing_of_other_schools(client, lead):
    builders.incident(school=lead.school, what="A wasp.")
    builders.incident(school=lead.school, what="A fall.", kind="incident")
    builders.incident(what="Elsewhere.")
    page = client.get(reverse("incident-list"), {"kind": "incident"}).content.decode()
    assert f"{reverse('incident-log')}?kind=incident" in page
    everything = words(client.get(reverse("incident-log")))
    assert "A wasp." in everything and "A fall." in everything
    assert "Elsewhere." not in everything
    narrowed = words(client.get(reverse("incident-log"), {"kind": "incident"}))
    assert "A fall." in narrowed and "A wasp." not in narrowed


def test_the_log_takes_as_many_queries_for_many_reports(
    client, lead, django_assert_max_num_queries
):
    for _ in range(12):
        builders.follow_up(incident=builders.incident(school=lead.school))
    with django_assert_max_num_queries(14):
        client.get(reverse("incident-log"))


def test_an_assistant_gets_no_link_to_the_log(client):
    client.force_login(builders.assistant(builders.cohort()))
    assert reverse("incident-log") not in client.get(reverse("incident-list")).content.decode()
