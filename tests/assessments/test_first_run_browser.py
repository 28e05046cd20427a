"""From an empty installation to a first scored attempt and its printed sheet, in a browser.

Only what stands on the pages is followed, and the course is the sample that is shipped.
"""

from io import BytesIO

import pytest
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from assessments.models import Attempt
from coursework.models import Person
from tests.coursework.test_walk import (
    add_the_site,
    bring_in_the_roster,
    found_the_school,
    next_step,
)

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_an_empty_installation_leads_to_a_first_scored_attempt_and_its_sheet(desk_page):
    assert not Person.objects.exists()
    page = desk_page
    found_the_school(page)
    page.get_by_role("link", name="Add a site").click()
    add_the_site(page)
    adopt_the_sample(page)
    start_a_cohort(page)
    next_step(page, "Bring in its people")
    bring_in_the_roster(page)
    page.get_by_role("link", name="Today", exact=True).click()
    page.get_by_role("link", name="Plan a drill for the cohort").click()
    plan_a_drill(page)
    log_a_result(page)
    expect(page.locator(".split-words")).to_contain_text("The method itself was")
    attempt = Attempt.objects.get()
    assert attempt.student.username == "teo"
    assert "Teo Marchetti" in printed(page)


def adopt_the_sample(page: Page) -> None:
    page.get_by_text("The school", exact=True).click()
    page.get_by_role("link", name="Courses", exact=True).click()
    page.get_by_role("button", name="Adopt the sample course").click()
    title = "Finding direction without a compass"
    expect(page.get_by_role("heading", name=title, exact=True)).to_be_visible()
    next_step(page, "Publish the course")
    page.get_by_role("button", name="Publish version 1").click()
    expect(page.get_by_text("Version 1 is published")).to_be_visible()


def start_a_cohort(page: Page) -> None:
    next_step(page, "Add a cohort")
    page.get_by_label("Name*", exact=True).fill("First group")
    page.locator("#id_starts_on").fill("2026-06-01")
    page.locator("#id_ends_on").fill("2026-09-30")
    page.get_by_role("button", name="Save the cohort").click()
    expect(page.get_by_role("heading", name="First group")).to_be_visible()


def plan_a_drill(page: Page) -> None:
    page.get_by_label("Exercise*", exact=True).select_option(label="North by two marks")
    page.get_by_label("Site*", exact=True).select_option(index=1)
    page.locator("#id_day").fill("2026-06-20")
    page.locator("#id_clock").fill("09:00")
    page.get_by_role("button", name="Save the drill").click()
    expect(page.get_by_role("heading", name="North by two marks")).to_be_visible()


def log_a_result(page: Page) -> None:
    page.get_by_role("link", name="Log a result", exact=True).first.click()
    page.get_by_role("link", name="Teo Marchetti").click()
    page.get_by_label("First mark").fill("0930")
    page.get_by_label("Second mark").fill("0945")
    page.get_by_label("Compass reading along the line").fill("341")
    page.get_by_role("button", name="Log the result").click()


def printed(page: Page) -> str:
    """The words of the sheet behind the button."""
    address = page.get_by_role("link", name="Print, A4").get_attribute("href")
    answer = page.request.get(address)
    assert answer.ok
    return "".join(one.extract_text() for one in PdfReader(BytesIO(answer.body())).pages)
