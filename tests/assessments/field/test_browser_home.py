"""The box on the first page that says what waits on this device, in a real browser."""

import pytest
from playwright.sync_api import expect

from tests.assessments.field.hand import log, sign_in, waits

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def home(device):
    """The box on the first page, reached without a page of the field log that could send."""
    device.goto("about:blank")
    device.context.set_offline(False)
    device.goto("/")
    return device.locator("#waits-here")


def logged_without_signal(device, *told):
    device.context.set_offline(True)
    for number, distance in enumerate(told, start=1):
        log(device, told=distance)
        waits(device, number)


def test_where_everything_was_sent_the_first_page_says_that_nothing_waits(device):
    log(device)
    waits(device, 0)
    expect(home(device)).to_contain_text("Nothing waits on this device to be sent.")


def test_one_result_that_waits_is_told_on_the_first_page_and_leads_to_the_field_log(device):
    logged_without_signal(device, "350")
    box = home(device)
    expect(box).to_contain_text("One result or count waits on this device to be sent.")
    expect(box).to_have_class("notice no-print notice-warning")
    box.get_by_role("link", name="Field log").click()
    waits(device, 0)


def test_several_results_that_wait_are_counted_on_the_first_page(device):
    logged_without_signal(device, "350", "360")
    expect(home(device)).to_contain_text("2 results or counts wait on this device to be sent.")


def test_what_another_person_left_on_the_device_is_not_counted(device, drill, quiet_server):
    logged_without_signal(device, "350")
    device.goto("about:blank")
    sign_in(device.context, drill, "runa", quiet_server)
    expect(home(device)).to_contain_text("Nothing waits on this device to be sent.")


def test_where_the_device_cannot_be_read_the_first_page_does_not_say_that_nothing_waits(device):
    logged_without_signal(device, "350")
    device.context.add_init_script(
        "indexedDB.open = () => { throw new DOMException('no', 'UnknownError'); };"
    )
    box = home(device)
    expect(box).to_contain_text("cannot be read here: open the field log. (UnknownError)")
    expect(box).not_to_contain_text("Nothing waits")
