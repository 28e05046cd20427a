"""Narrowing a long list in a real browser: by keyboard in place, and without script."""

import pytest
from playwright.sync_api import expect

from tests import builders

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PASSWORD = "a stick and its shadow"


def test_the_form_opens_in_place_and_goes_on_by_keyboard(desk_page):
    cohort = builders.cohort()
    builders.lead(cohort, username="tove", password=PASSWORD, name="Tove Lind")
    school = cohort.course.school
    builders.site(school=school, name="Grey Col", horizon="")
    builders.mark(site=builders.site(school=school, name="Grey Lake"))
    page = desk_page
    page.goto("/sign-in/")
    page.get_by_label("Sign-in name").fill("tove")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.goto("/sites/")
    page.evaluate("window.stays = true")
    page.get_by_label("Find a site").fill("grey")
    page.get_by_role("link", name="Narrow the list").press("Enter")
    expect(page.get_by_label("With")).to_be_focused()
    assert page.evaluate("window.stays")
    expect(page.get_by_label("Find a site")).to_have_value("grey")
    page.get_by_label("With").select_option("marks")
    page.get_by_role("button", name="Show", exact=True).click()
    expect(page.get_by_text("Grey Lake")).to_be_visible()
    expect(page.get_by_text("Grey Col")).to_have_count(0)
    expect(page.get_by_label("With")).to_have_value("marks")
    page.get_by_role("link", name="Show all").click()
    expect(page.get_by_text("Grey Col")).to_be_visible()
    expect(page.get_by_label("With")).to_have_count(0)
