"""The menu in a real browser: one line in each language, and lists that close again."""

import pytest
from django.conf import settings
from playwright.sync_api import expect

from tests import builders

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PASSWORD = "north by shadow"


def sign_in(page, person, language="en-gb") -> None:
    page.set_extra_http_headers({"accept-language": language})
    page.goto("/sign-in/")
    page.locator("[name=username]").fill(person.username)
    page.locator("[name=password]").fill(PASSWORD)
    page.locator("main button[type=submit]").click()
    page.wait_for_url("/")


def lead(**fields):
    return builders.lead(builders.cohort(), password=PASSWORD, **fields)


def everything(person):
    """Someone with a lead's, an assistant's and a student's entries of the menu."""
    builders.enrolment(person=person, role="student", cohort=builders.cohort(school=person.school))
    return person


@pytest.mark.parametrize("language", [code for code, _name in settings.LANGUAGES])
@pytest.mark.parametrize("width", [1280, 1200, 1024, 992])
def test_the_menu_of_a_desk_is_one_line(desk_page, language, width):
    person = everything(lead(name="Bartholomew Featherstonehaugh"))
    desk_page.set_viewport_size({"width": width, "height": 700})
    sign_in(desk_page, person, language)
    height, tap = desk_page.evaluate(
        "['.site-header', '.menu-link'].map("
        "name => document.querySelector(name).getBoundingClientRect().height)"
    )
    assert height < 2 * tap


def test_a_list_of_the_menu_closes_by_escape_by_another_and_by_a_tap_elsewhere(desk_page):
    sign_in(desk_page, lead(name="Ada Roth"))
    courses = desk_page.get_by_role("link", name="Courses", exact=True)
    leave = desk_page.get_by_role("button", name="Sign out")
    desk_page.get_by_text("The school", exact=True).click()
    expect(courses).to_be_visible()
    desk_page.get_by_text("Ada Roth", exact=True).click()
    expect(courses).to_be_hidden()
    expect(leave).to_be_visible()
    desk_page.keyboard.press("Escape")
    expect(leave).to_be_hidden()
    desk_page.get_by_text("Ada Roth", exact=True).click()
    desk_page.locator("h1").click()
    expect(leave).to_be_hidden()


def test_one_signs_out_from_the_list_under_one_s_own_name(phone_page):
    sign_in(phone_page, lead(name="Ada Roth"))
    phone_page.get_by_role("button", name="Menu").click()
    phone_page.get_by_text("Ada Roth", exact=True).click()
    phone_page.get_by_role("button", name="Sign out").click()
    expect(phone_page.get_by_label("Password")).to_be_visible()
