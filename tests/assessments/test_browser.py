"""The main job in a real browser on a phone: log a result, read its score, correct it."""

import pytest
from playwright.sync_api import expect

from assessments.models import Attempt
from tests import builders
from tests.assessments import results

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PASSWORD = "a stick and its shadow"


@pytest.fixture
def drill():
    drill = results.drill()
    builders.lead(drill.cohort, username="tove", password=PASSWORD)
    builders.student(drill.cohort, name="Sigrun Aasland")
    builders.instrument(school=drill.site.school, label="7", correction_deg=1.5)
    return drill


def sign_in(page):
    page.goto("/sign-in/")
    page.get_by_label("Sign-in name").fill("tove")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()


def test_a_result_is_logged_scored_and_corrected(phone_page, drill):
    page = phone_page
    sign_in(page)
    page.goto(f"/drills/{drill.pk}/log/")
    page.get_by_role("link", name="Sigrun Aasland").click()
    page.get_by_label("First mark").fill("0930")
    page.get_by_label("Second mark").fill("9.46")
    page.get_by_role("button", name="Add another mark").click()
    page.get_by_label("Mark 3").fill("10:02:30")
    page.get_by_label("plumb line’s shadow").check()
    expect(page.get_by_label("Time of the check")).to_be_visible()
    page.get_by_label("compass").check()
    expect(page.get_by_label("Time of the check")).to_have_count(0)
    # What was typed outside the check is still there after the fields changed.
    expect(page.get_by_label("Mark 3")).to_have_value("10:02:30")
    page.get_by_label("Compass reading along the line").fill("340,5")
    compass = "compass 7 (correction +1.5°, NEVER CHECKED)"
    page.get_by_label("Instrument").select_option(label=compass)
    page.get_by_role("button", name="Log the result").click()

    expect(page.locator(".split-words")).to_contain_text("The method itself was")
    expect(page.locator("svg.drawing")).to_be_visible()
    attempt = Attempt.objects.get()
    assert attempt.current.inputs["times"].count(";") == 2
    assert attempt.current.inputs["reading_deg"] == "340.5"
    assert attempt.current.inputs["correction_deg"] == "1.5"

    page.get_by_role("link", name="Correct", exact=True).click()
    page.get_by_label("Compass reading along the line").fill("345.5")
    page.get_by_role("textbox", name="Reason for the correction").fill("Card misread.")
    page.get_by_role("button", name="Save the correction").click()
    expect(page.locator(".history")).to_contain_text("Card misread.")
    expect(page.locator(".history .row-line")).to_have_count(2)


def test_a_refused_form_keeps_what_was_typed(phone_page, drill):
    page = phone_page
    sign_in(page)
    student = drill.cohort.enrolments.get(role="student").person_id
    page.goto(f"/drills/{drill.pk}/log/?student={student}")
    page.get_by_label("First mark").fill("half past nine")
    page.get_by_label("Second mark").fill("09:46")
    # Enter sends the form; it must not press the button for another mark.
    page.get_by_label("Second mark").press("Enter")
    expect(page.get_by_text("“half past nine” is not a time")).to_be_visible()
    expect(page.get_by_label("First mark")).to_have_value("half past nine")
    expect(page.get_by_label("Mark 3")).to_have_count(0)


def test_now_writes_the_time_of_the_site(phone_page, drill):
    page = phone_page
    sign_in(page)
    student = drill.cohort.enrolments.get(role="student").person_id
    page.goto(f"/drills/{drill.pk}/log/?student={student}")
    page.clock.set_fixed_time("2025-06-20T07:46:05Z")
    page.get_by_role("button", name="Now").first.click()
    expect(page.get_by_label("First mark")).to_have_value("09:46:05")


def test_without_scripts_the_form_works_by_its_buttons(browser, live_server, drill):
    context = browser.new_context(base_url=live_server.url, java_script_enabled=False)
    page = context.new_page()
    page.set_default_timeout(10_000)
    sign_in(page)
    student = drill.cohort.enrolments.get(role="student").person_id
    page.goto(f"/drills/{drill.pk}/log/?student={student}")
    page.get_by_label("First mark").fill("09:30")
    page.get_by_role("button", name="Add another mark").click()
    page.get_by_label("Mark 3").fill("10:02")
    page.get_by_label("true bearing").check()
    page.get_by_role("button", name="Show the fields of this check").click()
    page.get_by_label("Second mark").fill("09:46")
    page.get_by_label("True bearing of the line").fill("350")
    page.get_by_role("button", name="Log the result").click()
    expect(page.locator(".split-words")).to_contain_text("The method itself was")
    context.close()
    assert Attempt.objects.get().current.inputs["check"] == "direct"
