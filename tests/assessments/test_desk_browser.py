"""At a desk with the keyboard alone, and no result with two taps on a phone."""

import pytest
from playwright.sync_api import expect

from assessments.models import Attempt
from tests.assessments.test_browser import drill, sign_in

__all__ = ["drill"]
pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_a_row_is_typed_looked_over_and_stored_without_a_mouse(phone_page, drill):
    page = phone_page
    sign_in(page)
    page.goto(f"/drills/{drill.pk}/table/")
    page.get_by_label("First mark, row 1").focus()
    for text in ("0930", "0946", "", None, "340.5"):
        if text:
            page.keyboard.type(text)
        page.keyboard.press("Tab")
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Enter")
    expect(page.get_by_role("status")).to_contain_text("Nothing is stored yet.")
    assert not Attempt.objects.exists()
    page.get_by_role("button", name="Store all rows").focus()
    page.keyboard.press("Enter")
    expect(page.locator(".notices")).to_contain_text("1 result is stored.")
    assert Attempt.objects.get().current.inputs["reading_deg"] == "340.5"


def test_no_result_takes_two_taps(phone_page, drill):
    page = phone_page
    sign_in(page)
    page.goto(f"/drills/{drill.pk}/log/")
    page.get_by_role("link", name="Sigrun Aasland").click()
    page.get_by_text("No result…").click()
    page.get_by_role("button", name="Stopped for safety").click()
    expect(page.locator(".verdict")).to_contain_text("No result: stopped for safety")
    assert Attempt.objects.get().current.no_result == "safety"
