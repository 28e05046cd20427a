"""The pages of the field log in a real browser: logging, with signal and without."""

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from assessments.models import Attempt
from tests import builders
from tests.assessments import results
from tests.assessments.field.hand import kept, log, opened, sign_in, stored, until, waits

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_the_score_is_shown_as_soon_as_it_is_known(device):
    log(device)
    expect(device.locator(".field-score")).to_contain_text("−12.5 % under")
    waits(device, 0)
    assert stored() == ["350"]


def test_after_one_visit_everything_opens_without_signal_and_is_sent_with_it(device, drill):
    device.context.set_offline(True)
    device.goto("/field/")
    device.get_by_role("link", name=drill.exercise.title).click()
    log(device)
    expect(device.locator(".field-mark")).to_contain_text("score pending")
    waits(device, 1)
    device.reload()
    waits(device, 1)
    assert stored() == []
    device.context.set_offline(False)
    waits(device, 0)
    assert stored() == ["350"]


def test_what_the_last_result_shared_is_there_for_the_next(device):
    log(device)
    device.get_by_role("link", name="Odd Berge").click()
    expect(device.get_by_label("Measured distance")).to_have_value("400")
    expect(device.get_by_label("Distance told")).to_have_value("")
    assert device.get_by_label("Distance told").get_attribute("inputmode") == "decimal"
    assert (
        device.get_by_role("textbox", name="Time it was done").get_attribute("inputmode")
        == "numeric"
    )


def test_a_result_begun_earlier_takes_over_what_the_last_one_shared(device):
    device.get_by_role("link", name="Odd Berge").click()
    device.get_by_label("Distance told").fill("410")
    until(device, lambda: kept(device, "drafts"))
    device.get_by_role("link", name="Another student").click()
    log(device)
    device.get_by_role("link", name="Odd Berge").click()
    expect(device.get_by_label("Distance told")).to_have_value("410")
    expect(device.get_by_label("Measured distance")).to_have_value("400")


def test_no_result_takes_two_taps_without_signal_and_is_sent_like_any_result(device):
    device.context.set_offline(True)
    device.get_by_role("link", name="Sigrun Aasland").click()
    device.get_by_text("No result…").click()
    device.get_by_role("button", name="Stopped for safety").click()
    expect(device.locator(".field-mark")).to_contain_text("score pending")
    waits(device, 1)
    device.context.set_offline(False)
    expect(device.locator(".field-score")).to_contain_text("no result stopped for safety")
    waits(device, 0)
    assert Attempt.objects.get().current.no_result == "safety"


def test_another_reason_asks_for_words_and_what_was_typed_is_dropped_on_purpose_only(device):
    device.get_by_role("link", name="Sigrun Aasland").click()
    device.get_by_label("Distance told").fill("350")
    device.get_by_text("No result…").click()
    device.get_by_role("button", name="Another reason").click()
    expect(device.get_by_text("Say in a few words")).to_be_visible()
    device.get_by_label("In a few words").fill("A goat ate the pegs.")
    device.once("dialog", lambda dialog: dialog.dismiss())
    device.get_by_role("button", name="Another reason").click()
    expect(device.get_by_label("Distance told")).to_have_value("350")
    device.once("dialog", lambda dialog: dialog.accept())
    device.get_by_role("button", name="Another reason").click()
    expect(device.locator(".field-score")).to_contain_text("A goat ate the pegs.")
    waits(device, 0)
    device.get_by_role("link", name="Sigrun Aasland").click()
    expect(device.get_by_label("Distance told")).to_have_value("")


def test_the_light_is_kept_on_the_device(device):
    device.get_by_role("button", name="red").click()
    device.reload()
    expect(device.locator("html")).to_have_attribute("data-light", "red")
    expect(device.get_by_role("button", name="red")).to_have_attribute("aria-pressed", "true")


def test_a_line_by_shadow_takes_few_taps(contexts, live_server):
    drill = results.drill(starts_at=timezone.now())
    builders.lead(drill.cohort, username="tove")
    builders.student(drill.cohort, name="Sigrun Aasland")
    context = contexts()
    sign_in(context, drill, "tove", live_server)
    page = opened(context, drill)
    page.get_by_role("link", name="Sigrun Aasland").click()
    page.locator("[name=date]").fill("2025-06-20")
    page.get_by_role("textbox", name="First mark").fill("0930")
    page.get_by_role("textbox", name="Second mark").fill("0946")
    page.get_by_label("plumb line’s shadow").check()
    page.get_by_role("textbox", name="Time of the check").fill("0950")
    page.get_by_role("radio", name="true bearing").check()
    expect(page.get_by_role("textbox", name="Second mark")).to_have_value("0946")
    page.get_by_label("True bearing of the line").fill("350")
    page.get_by_role("button", name="Keep the result").click()
    expect(page.locator(".field-score")).to_contain_text("result −10.0° left")
