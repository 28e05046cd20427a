"""What may go wrong between device and server, in a real browser: nothing lost or doubled."""

from datetime import timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from assessments.models import Arrival, Attempt
from tests.assessments.field.bad_connection import season
from tests.assessments.field.hand import kept, log, opened, sign_in, stored, until, waits

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_a_page_that_is_killed_comes_back_with_what_waited_and_what_was_typed(device, drill):
    context = device.context
    context.set_offline(True)
    log(device, told="340")
    device.get_by_role("link", name="Odd Berge").click()
    device.get_by_label("Distance told").fill("4")
    device.get_by_label("Distance told").press_sequentially("10")
    until(
        device, lambda: any(one["fields"].get("told_m") == "410" for one in kept(device, "drafts"))
    )
    # Ended from outside: the page is not asked and not told.
    device.close(run_before_unload=False)
    page = context.new_page()
    page.goto(f"/field/drills/{drill.pk}/")
    waits(page, 1)
    page.get_by_role("link", name="Odd Berge").click()
    expect(page.get_by_text("What you had typed is still here.")).to_be_visible()
    expect(page.get_by_label("Distance told")).to_have_value("410")
    context.set_offline(False)
    page.goto(f"/field/drills/{drill.pk}/")
    waits(page, 0)
    assert stored() == ["340"]


FULL = """
    const put = IDBObjectStore.prototype.put;
    window.isFull = true;
    IDBObjectStore.prototype.put = function (...row) {
        const isRefused = window.isFull && this.name === "items";
        if (isRefused) throw new DOMException("", "QuotaExceededError");
        return put.apply(this, row);
    };
    true;
"""


def test_a_device_that_is_full_says_so_and_keeps_the_form(device):
    device.evaluate(FULL)
    device.get_by_role("link", name="Sigrun Aasland").click()
    device.get_by_role("button", name="now").click()
    device.get_by_label("Measured distance").fill("400")
    device.get_by_label("Distance told").fill("350")
    device.get_by_role("button", name="Keep the result").click()
    expect(device.get_by_role("alert")).to_contain_text("this device has no room left")
    expect(device.get_by_label("Distance told")).to_have_value("350")
    device.evaluate("window.isFull = false")
    device.get_by_role("button", name="Keep the result").click()
    expect(device.get_by_role("heading", name="Whose result?")).to_be_visible()
    waits(device, 0)
    assert stored() == ["350"]


def test_two_tabs_send_each_result_once(device, drill):
    context = device.context
    second = opened(context, drill)
    context.set_offline(True)
    for told in ("310", "320"):
        log(device, told=told)
        log(second, told=f"{told}.5", student="Odd Berge")
    context.set_offline(False)
    for page in (device, second):
        page.evaluate("window.dispatchEvent(new Event('online'))")
        page.evaluate("window.dispatchEvent(new Event('online'))")
    waits(device, 0)
    waits(second, 0)
    assert stored() == ["310", "310.5", "320", "320.5"]


def test_two_devices_log_the_same_drill(device, contexts, drill, live_server):
    other = contexts()
    sign_in(other, drill, "runa", live_server)
    second = opened(other, drill)
    log(device, told="310")
    log(second, told="320")
    waits(device, 0)
    waits(second, 0)
    assert stored() == ["310", "320"]
    assert Arrival.objects.values("device").distinct().count() == 2


SLOW = """
    const RealDate = Date;
    const BEHIND_MS = 200_000;
    window.Date = class extends RealDate {
        constructor(...given) {
            given.length ? super(...given) : super(RealDate.now() - BEHIND_MS);
        }
        static now() { return RealDate.now() - BEHIND_MS; }
    };
"""


def test_a_clock_that_is_wrong_is_said_recorded_and_set_right(contexts, drill, live_server):
    context = contexts()
    context.add_init_script(SLOW)
    sign_in(context, drill, "tove", live_server)
    page = opened(context, drill)
    expect(page.get_by_text("This device’s clock is 3 min")).to_contain_text("slow")
    log(page)
    waits(page, 0)
    attempt = Attempt.objects.select_related("arrival", "current").get()
    assert abs(attempt.arrival.offset_ms - 200_000) < 5_000
    assert abs(attempt.current.observed_at - timezone.now()) < timedelta(seconds=30)
    assert attempt.arrival.received_at - attempt.arrival.made_at > timedelta(seconds=190)


def test_a_bad_connection_loses_and_doubles_nothing(contexts, drill, live_server):
    """The benchmark `field_sends` does the same with more results."""
    devices = []
    for username in ("tove", "runa"):
        devices.append(contexts())
        sign_in(devices[-1], drill, username, live_server)
    counted = season(devices, drill, results=60, seed=5)
    assert (counted.stored, counted.doubled, counted.lost) == (counted.logged, 0, 0)
    # It would prove nothing if nothing had gone wrong.
    assert counted.sent > counted.logged
