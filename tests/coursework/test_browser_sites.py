"""A site in a real browser: what is typed is answered at once, and never overwritten."""

import pytest
from playwright.sync_api import expect

from coursework.models import Site
from tests import builders

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PASSWORD = "a stick and its shadow"


@pytest.fixture
def lead():
    return builders.lead(builders.cohort(), username="tove", password=PASSWORD)


def open_form(page):
    page.goto("/sign-in/?next=/sites/new/")
    page.get_by_label("Sign-in name").fill("tove")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.goto("/sites/new/")


def position(page):
    return page.locator("#id_position")


def test_a_position_is_read_back_and_gives_the_zone_until_one_is_written(phone_page, lead):
    page = phone_page
    open_form(page)
    position(page).press_sequentially("45.2136 6.5472")
    expect(page.locator("#id_position-forms")).to_contain_text("32T")
    expect(page.locator("#id_zone")).to_have_value("Europe/Paris")
    position(page).fill("-45.0318, 169.2905")
    expect(page.locator("#id_zone")).to_have_value("Pacific/Auckland")
    page.locator("#id_zone").fill("UTC")
    position(page).fill("38 north 444141 E 3684706 N")
    expect(page.locator("#id_position-forms")).to_contain_text("Asia/Baghdad")
    expect(page.locator("#id_zone")).to_have_value("UTC")
    position(page).fill("46,5")
    expect(page.locator("#id_position-forms")).to_contain_text("may be decimal")


def test_skyline_rows_are_drawn_while_typing_and_come_and_go(phone_page, lead):
    page = phone_page
    open_form(page)
    page.get_by_label("True bearing of row 1").fill("90")
    page.get_by_label("Elevation of row 1").fill("12,5")
    expect(page.locator("#horizon-picture svg")).to_be_visible()
    page.get_by_label("Elevation of row 1").fill("steep")
    expect(page.locator("#horizon-picture")).to_contain_text("is not a bearing and an elevation")
    page.get_by_label("Elevation of row 1").fill("12,5")
    page.get_by_role("button", name="Add a row").click()
    expect(page.get_by_label("True bearing of row 4")).to_be_focused()
    page.get_by_role("button", name="Remove row 1").click()
    expect(page.get_by_label("True bearing of row 1")).to_have_value("")
    page.get_by_text("Paste a list of pairs").click()
    page.get_by_label("A bearing and an elevation on each line").fill("180 4\n270;3")
    page.get_by_role("button", name="Put them into rows").click()
    expect(page.get_by_label("True bearing of row 2")).to_have_value("270")
    page.get_by_label("Name").fill("Saddle")
    position(page).fill("45.2136 6.5472")
    # Enter sends the form; it must not press a button of the skyline.
    page.get_by_label("Name").press("Enter")
    expect(page.get_by_role("heading", name="Saddle")).to_be_visible()
    expect(page.locator("svg.skyline")).to_be_visible()
    expect(page.locator("svg.drawing")).to_be_visible()
    assert Site.objects.get().horizon == "180:4 270:3"


def test_without_scripts_a_site_is_made_all_the_same(browser, live_server, lead):
    context = browser.new_context(base_url=live_server.url, java_script_enabled=False)
    page = context.new_page()
    page.set_default_timeout(10_000)
    open_form(page)
    page.get_by_label("Name").fill("Saddle")
    position(page).fill("45.2136 6.5472")
    page.get_by_label("True bearing of row 3").fill("90")
    page.get_by_label("Elevation of row 3").fill("12")
    page.get_by_role("button", name="Add a row").click()
    expect(position(page)).to_have_value("45.2136 6.5472")
    expect(page.locator("#horizon-picture svg")).to_be_visible()
    page.get_by_role("button", name="Save the site").click()
    expect(page.get_by_role("heading", name="Saddle")).to_be_visible()
    context.close()
    site = Site.objects.get()
    assert (site.zone, site.horizon) == ("Europe/Paris", "90:12")
