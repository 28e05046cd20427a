"""A real browser sets up a school from nothing, brings in a roster, and lets a student in."""

import re

import pytest
from playwright.sync_api import expect

from coursework.models import Enrolment, Person
from coursework.setup_code import setup_code
from tests import builders

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PASSWORD = "dry-boots-77"
ROSTER = "name,username,role\nIngrid Sollie,ingrid,assistant\nTeo Marchetti,teo,student\n"


def found_school(page) -> None:
    page.goto("/")
    page.get_by_label("Setup code").fill(setup_code())
    page.get_by_label("Name of the school").fill("Ridge School")
    page.get_by_label("Your name").fill("Ada Roth")
    page.get_by_label("Sign-in name").fill("ada")
    page.get_by_label("Password", exact=False).first.fill(PASSWORD)
    page.get_by_label("The same password again").fill(PASSWORD)
    page.get_by_role("button", name="Set up the school").click()
    expect(page.get_by_role("heading", name="Setting up the school")).to_be_visible()


def test_an_empty_installation_is_set_up_and_its_people_brought_in(desk_page):
    found_school(desk_page)
    cohort = builders.cohort(school=Person.objects.get().school)
    desk_page.goto(f"/cohorts/{cohort.pk}/")
    desk_page.get_by_role("link", name="Bring in a roster").click()
    desk_page.get_by_label("CSV file").set_input_files(
        {"name": "roster.csv", "mimeType": "text/csv", "buffer": ROSTER.encode()}
    )
    desk_page.get_by_role("button", name="See what would change").click()
    expect(desk_page.get_by_text("Nothing is stored yet.")).to_be_visible()
    assert not Enrolment.objects.exists()
    desk_page.get_by_role("button", name="Bring them in").click()
    expect(desk_page.get_by_role("heading", name="Links to hand out")).to_be_visible()
    assert Enrolment.objects.filter(cohort=cohort).count() == 2


def test_a_student_follows_a_printed_link_on_a_phone(phone_page, desk_page):
    found_school(desk_page)
    cohort = builders.cohort(school=Person.objects.get().school, name="June group")
    desk_page.goto(f"/cohorts/{cohort.pk}/")
    desk_page.get_by_role("link", name="Invite by link").click()
    desk_page.get_by_label("For whom").fill("Teo Marchetti")
    desk_page.get_by_role("button", name="Make the links").click()
    expect(desk_page.get_by_role("button", name="Print the slips")).to_be_visible()
    address = desk_page.get_by_text(re.compile(r"/join/")).inner_text()
    phone_page.goto(address)
    expect(phone_page.get_by_label("Your name")).to_have_value("Teo Marchetti")
    phone_page.get_by_label("Sign-in name").fill("teo")
    phone_page.get_by_label("Password", exact=False).first.fill(PASSWORD)
    phone_page.get_by_label("The same password again").fill(PASSWORD)
    phone_page.get_by_role("button", name="Join").click()
    expect(phone_page.get_by_role("heading", name="June group")).to_be_visible()
    assert Person.objects.get(username="teo").enrolments.get().cohort == cohort
