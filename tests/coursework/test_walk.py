"""From an empty database to a cohort with its people, in a browser and without the admin.

Only what stands on the page is followed: no address is typed but the first one and the link of
the invitation.
"""

import re

import pytest
from playwright.sync_api import Page, expect

from coursework.models import Enrolment, Person, School
from coursework.setup_code import setup_code

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PASSWORD = "dry-boots-77"
ROSTER = "name,username,role\nIngrid Sollie,ingrid,assistant\nTeo Marchetti,teo,student\n"


def test_a_lead_sets_up_school_course_site_cohort_and_roster(desk_page, phone_page):
    assert not Person.objects.exists()
    page = desk_page
    found_the_school(page)
    page.get_by_role("link", name="Add a site").click()
    add_the_site(page)
    next_step(page, "Add a course")
    write_the_course(page)
    next_step(page, "Add a cohort")
    start_the_cohort(page)
    next_step(page, "Bring in its people")
    bring_in_the_roster(page)
    address = invite_someone(page)
    accept(phone_page, address)
    open_the_cohort(page)
    expect(page.get_by_role("link", name="Noor Haddad", exact=True)).to_be_visible()
    held = Enrolment.objects.order_by("person__name").values_list("person__username", "role")
    assert list(held) == [
        ("ada", "lead"),
        ("ingrid", "assistant"),
        ("noor", "student"),
        ("teo", "student"),
    ]


def next_step(page: Page, name: str) -> None:
    """Follow what the page says comes next."""
    page.get_by_role("status").get_by_role("link", name=name, exact=True).click()


def found_the_school(page: Page) -> None:
    page.goto("/")
    expect(page.get_by_role("heading", name="Set up your school")).to_be_visible()
    page.get_by_label("Setup code").fill(setup_code())
    page.get_by_label("Name of the school").fill("Ridge School")
    page.get_by_label("Your name").fill("Ada Roth")
    page.get_by_label("Sign-in name").fill("ada")
    page.get_by_label("Password*", exact=True).fill(PASSWORD)
    page.get_by_label("The same password again").fill(PASSWORD)
    page.get_by_role("button", name="Set up the school").click()
    expect(page.get_by_role("heading", name="Setting up the school")).to_be_visible()
    assert School.objects.get().name == "Ridge School"


def add_the_site(page: Page) -> None:
    page.get_by_label("Name*", exact=True).fill("Saddle")
    page.locator("#id_position").press_sequentially("45.2136 6.5472")
    expect(page.locator("#id_zone")).to_have_value("Europe/Paris")
    page.get_by_role("button", name="Save the site").click()
    expect(page.get_by_role("heading", name="Saddle")).to_be_visible()


def write_the_course(page: Page) -> None:
    page.get_by_label("Title*", exact=True).fill("Direction without a compass")
    page.get_by_role("button", name="Save the course").click()
    page.get_by_role("link", name="Add a lesson", exact=True).click()
    page.get_by_label("Title*", exact=True).fill("Sun and shadow")
    page.get_by_label("Objectives").fill("Lays a line for north from two marks.")
    page.get_by_label("Outline").fill("## Set the stick (10 min)\nLevel ground.")
    page.get_by_role("button", name="Save the lesson").click()
    expect(page.get_by_role("heading", name="Sun and shadow")).to_be_visible()
    next_step(page, "Add lessons and exercises to it")
    page.get_by_role("link", name="Add an exercise", exact=True).click()
    page.get_by_label("Title*", exact=True).fill("Shadow-tip line")
    page.get_by_label("Method*", exact=True).select_option("shadow-tip")
    page.get_by_label("Task*", exact=True).fill("Lay a line towards north.")
    page.get_by_role("button", name="Save the exercise").click()
    expect(page.get_by_role("heading", name="Shadow-tip line")).to_be_visible()
    next_step(page, "Publish the course")
    page.get_by_role("button", name="Publish version 1").click()
    expect(page.get_by_text("Version 1 is published")).to_be_visible()


def start_the_cohort(page: Page) -> None:
    expect(page.get_by_label("Course").locator("option:checked")).to_contain_text(
        "Direction without a compass"
    )
    page.get_by_label("Name*", exact=True).fill("June group")
    page.locator("#id_starts_on").fill("2026-06-01")
    page.locator("#id_ends_on").fill("2026-09-30")
    page.get_by_role("button", name="Save the cohort").click()
    expect(page.get_by_role("heading", name="June group")).to_be_visible()


def bring_in_the_roster(page: Page) -> None:
    page.get_by_label("CSV file").set_input_files(
        {"name": "roster.csv", "mimeType": "text/csv", "buffer": ROSTER.encode()}
    )
    page.get_by_role("button", name="See what would change").click()
    expect(page.get_by_text("Nothing is stored yet.")).to_be_visible()
    page.get_by_role("button", name="Bring them in").click()
    expect(page.get_by_role("heading", name="Links to hand out")).to_be_visible()
    page.get_by_role("link", name="Done").click()


def invite_someone(page: Page) -> str:
    """The address on the slip."""
    page.get_by_role("link", name="Invite by link").click()
    page.get_by_label("For whom").fill("Noor Haddad")
    page.get_by_role("button", name="Make the links").click()
    address = page.get_by_text(re.compile(r"/join/")).inner_text()
    page.get_by_role("link", name="Done").click()
    return address


def accept(page: Page, address: str) -> None:
    page.goto(address)
    expect(page.get_by_label("Your name")).to_have_value("Noor Haddad")
    page.get_by_label("Sign-in name").fill("noor")
    page.get_by_label("Password*", exact=True).fill(PASSWORD)
    page.get_by_label("The same password again").fill(PASSWORD)
    page.get_by_role("button", name="Join").click()
    expect(page.get_by_role("heading", name="June group")).to_be_visible()


def open_the_cohort(page: Page) -> None:
    page.get_by_role("link", name="Cohorts").first.click()
    page.get_by_role("link", name="June group").click()
    expect(page.get_by_role("heading", name="June group")).to_be_visible()
