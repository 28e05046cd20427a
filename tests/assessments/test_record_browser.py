"""The chart of a record in a real browser: read by keyboard and by touch."""

import pytest
from django.urls import reverse

from tests.assessments.records import made

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.browser]


@pytest.fixture
def record(live_server):
    drill, lead, student = made.class_of(judged_on="own")
    student.set_password("a long password")
    student.save()
    attempts = made.lines(student, [1.0, -2.0, 3.0], drill=drill, by=lead)
    return live_server.url, student, attempts


def opened(page, base, student):
    page.goto(f"{base}{reverse('sign-in')}")
    page.fill("input[name=username]", student.username)
    page.fill("input[name=password]", "a long password")
    page.click("main button[type=submit]")
    page.goto(f"{base}{reverse('record', args=[student.pk])}")
    return page.locator("[data-record-chart]:visible")


def test_the_keyboard_goes_from_line_to_line_and_opens_one(record, desk_page):
    base, student, attempts = record
    chart = opened(desk_page, base, student)
    chart.focus()
    desk_page.keyboard.press("Home")
    assert "own error 1.0° to the right" in desk_page.inner_text("#record-reading")
    desk_page.keyboard.press("ArrowRight")
    assert "own error 2.0° to the left" in desk_page.inner_text("#record-reading")
    desk_page.keyboard.press("Enter")
    desk_page.wait_for_url(f"**{attempts[1].get_absolute_url()}")


def test_a_tap_on_a_phone_reads_the_line_under_it(record, phone_page):
    base, student, _attempts = record
    chart = opened(phone_page, base, student)
    box = chart.bounding_box()
    chart.click(position={"x": box["width"] * 0.25, "y": box["height"] * 0.4})
    assert "own error 1.0° to the right" in phone_page.inner_text("#record-reading")
