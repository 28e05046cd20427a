"""Planning a drill in a real browser: conflicts come while one chooses, and a reason is kept."""

import pytest
from playwright.sync_api import expect

from coursework.models import Drill
from tests import builders

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PASSWORD = "a stick and its shadow"


def test_conflicts_come_while_one_chooses_and_are_taken_on_with_a_reason(desk_page):
    cohort = builders.cohort()
    school = cohort.course.school
    lead = builders.lead(cohort, username="tove", password=PASSWORD, name="Tove Lind")
    exercise = builders.exercise(course=cohort.course, title="Shadow-tip line")
    site = builders.site(school=school)
    page = desk_page
    page.goto("/sign-in/")
    page.get_by_label("Sign-in name").fill("tove")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.goto(f"/cohorts/{cohort.pk}/drills/new/")
    page.evaluate("window.stays = true")
    beside = page.locator("#conflicts")
    expect(beside).to_contain_text("Choose exercise, site and start")
    page.get_by_label("Exercise").select_option(str(exercise.pk))
    page.get_by_label("Site").select_option(str(site.pk))
    page.get_by_label("Date").fill("2027-06-20")
    # A midsummer morning: the shadow-tip line is far off then.
    page.get_by_label("Start").fill("09:00")
    page.get_by_label("Start").blur()
    expect(beside).to_contain_text("The method itself is off by")
    page.get_by_label("Start").fill("13:00")
    page.get_by_label("Start").blur()
    expect(beside).to_contain_text("Nothing that can be seen from here")
    page.get_by_label("Start").fill("21:30")
    page.get_by_label("Start").blur()
    expect(beside).to_contain_text("The sun is below the skyline")
    assert page.evaluate("window.stays")
    page.get_by_role("button", name="Save the drill").click()
    expect(page.get_by_role("alert")).to_be_visible()
    assert not Drill.objects.exists()
    page.get_by_label("Held all the same").fill("To see what the twilight gives away.")
    page.get_by_role("button", name="Save the drill").click()
    expect(page.get_by_text("To see what the twilight gives away.").first).to_be_visible()
    (drill,) = Drill.objects.all()
    taken = drill.plan_exceptions.all()
    assert {(one.reason, one.by) for one in taken} == {
        ("To see what the twilight gives away.", lead)
    }
    assert any("below the skyline" in one.sentence for one in taken)
