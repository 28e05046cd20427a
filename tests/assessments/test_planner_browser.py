"""The planner in a real browser: cells read by pointing and by keyboard, redrawn in place."""

import re
from datetime import date

import pytest
from playwright.sync_api import expect

from coursework.method_year import method_year
from tests import builders

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PASSWORD = "a stick and its shadow"


@pytest.fixture
def site():
    cohort = builders.cohort()
    builders.lead(cohort, username="tove", password=PASSWORD)
    # A clock half the world away: the hour that it shows twice is one of daylight.
    return builders.site(
        school=cohort.course.school, latitude_deg=45.0, longitude_deg=0.0, zone="Pacific/Auckland"
    )


def open_planner(page, site, query):
    page.goto("/sign-in/")
    page.get_by_label("Sign-in name").fill("tove")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.goto(f"/sites/{site.pk}/planner/?{query}")
    expect(page.locator("#planner[data-values=here]")).to_be_visible()


def said(page):
    return page.locator("#hours-reading")


def test_the_keyboard_reads_every_cell_also_where_clocks_go_back(desk_page, site):
    page = desk_page
    open_planner(page, site, "method=watch&day=2026-04-05")
    year = method_year(site, "watch", 2026)
    row = year.grid.row_of(date(2026, 4, 5))
    page.locator("#hours-year").focus()
    page.keyboard.press("Home")
    for column in range(25):
        minute, error = year.grid.clock_min[row, column], year.error[row, column] / 100.0
        zone = "NZDT" if column < 18 else "NZST"
        when = f"5 April 2026, {minute // 60:02d}:{minute % 60:02d} {zone}: method error "
        side = "right" if error > 0 else "left"
        expect(said(page)).to_contain_text(f"{when}{abs(error):.1f}° to the {side}")
        page.keyboard.press("ArrowRight")
    # 03:10 now; a day on it is the same by the clock, and thirty days back too.
    page.keyboard.press("ArrowDown")
    expect(said(page)).to_contain_text(re.compile("Mon.* 6 April 2026, 03:10 NZST"))
    page.keyboard.press("PageUp")
    expect(said(page)).to_contain_text("7 March 2026, 03:10 NZDT")
    expect(said(page)).to_have_attribute("aria-live", "polite")


def test_enter_shows_the_date_that_was_read_and_keeps_the_keyboard_there(desk_page, site):
    page = desk_page
    open_planner(page, site, "method=watch&day=2026-06-20")
    page.locator("#hours-year").focus()
    page.keyboard.press("Home")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Sunday 21 June 2026")).to_be_visible()
    expect(page).to_have_url(re.compile("day=2026-06-21"))
    expect(page.locator("#hours-year")).to_be_focused()


def test_a_tap_reads_the_cell_under_the_finger(phone_page, site):
    page = phone_page
    open_planner(page, site, "method=shadow-tip&day=2026-06-20")
    picture = page.locator("#hours-year svg image")
    picture.scroll_into_view_if_needed()
    box = picture.bounding_box()
    page.mouse.click(box["x"] + box["width"] * 0.2, box["y"] + box["height"] * 170.5 / 365)
    # Day 170 of the year, counted from nought, is 20 June; a date is a pixel high here.
    expect(said(page)).to_contain_text(
        re.compile(r"(19|20|21) June 2026, \d\d:\d0 NZST: method error")
    )
    expect(said(page)).to_contain_text("marking scatter")
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_another_method_redraws_in_place(desk_page, site):
    page = desk_page
    open_planner(page, site, "method=shadow-tip&day=2026-06-20")
    page.evaluate("window.stays = true")
    page.get_by_label("Method", exact=True).select_option("hands")
    expect(page.get_by_text("hands above the horizon” would be")).to_be_visible()
    expect(page.locator("#planner[data-values=here]")).to_be_visible()
    page.get_by_label("Tolerance").fill("-1")
    page.get_by_label("Tolerance").blur()
    expect(page.get_by_text("greater than or equal to 0")).to_be_visible()
    assert page.evaluate("window.stays")


def test_without_scripts_the_form_works_by_its_button(browser, live_server, site):
    context = browser.new_context(base_url=live_server.url, java_script_enabled=False)
    page = context.new_page()
    page.goto("/sign-in/")
    page.get_by_label("Sign-in name").fill("tove")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.goto(f"/sites/{site.pk}/planner/")
    page.get_by_label("Method", exact=True).select_option("watch")
    page.get_by_role("button", name="Show").click()
    expect(page.get_by_text("watch face” would be")).to_be_visible()
    expect(page.locator("#hours-year image")).to_be_visible()
    context.close()
