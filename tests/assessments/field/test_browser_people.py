"""Signing out, another person on the same device, a session that ran out."""

import pytest
from django.test import Client
from playwright.sync_api import expect

from assessments.models import Attempt
from tests.assessments.field.hand import cookies, log, sign_in, stored, until, waits

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_whoever_signs_out_leaves_nothing_to_be_seen_and_loses_nothing(device, drill, live_server):
    context = device.context
    context.set_offline(True)
    log(device)
    device.goto("/field/")
    device.once("dialog", lambda dialog: dialog.accept())
    device.get_by_role("button", name="Sign out: Tove Haugland").click()
    expect(device.get_by_text("Nobody is signed in on this device.")).to_be_visible()
    device.goto(f"/field/drills/{drill.pk}/#waiting")
    expect(device.get_by_text("Nobody is signed in on this device.")).to_be_visible()
    for name in ("Tove", "Sigrun", drill.exercise.title):
        assert name not in device.content()
    context.set_offline(False)
    device.goto("/field/")
    expect(device.get_by_role("link", name="Sign in")).to_be_visible()
    # The server has heard of it, and the browser has its answer.
    until(device, "localStorage.getItem('field-leaving') === null")
    assert Client(headers={"cookie": cookies(context)}).get("/").status_code == 302

    sign_in(context, drill, "runa", live_server)
    device.goto(f"/field/drills/{drill.pk}/")
    expect(device.get_by_role("link", name="Sigrun Aasland")).to_be_visible()
    waits(device, 0)
    assert "Tove" not in device.content()
    assert stored() == []

    sign_in(context, drill, "tove", live_server)
    device.goto(f"/field/drills/{drill.pk}/")
    expect(device.locator(".field-score")).to_be_visible()
    assert stored() == ["350"]
    assert Attempt.objects.get().current.recorded_by.username == "tove"


def test_signing_out_without_signal_asks_first_and_says_what_it_closes(device):
    device.context.set_offline(True)
    device.goto("/field/")
    expect(device.get_by_text("No answer from the server")).to_be_visible()
    asked = []

    def answer(dialog):
        asked.append(dialog.message)
        (dialog.dismiss if len(asked) == 1 else dialog.accept)()

    device.on("dialog", answer)
    leave = device.get_by_role("button", name="Sign out: Tove Haugland")
    leave.click()
    leave.click()
    expect(device.get_by_text("signing in needs it")).to_be_visible()
    assert len(asked) == 2
    assert "no headcount on this device" in asked[0]


def test_signing_out_at_the_desk_closes_the_field_log_too(device):
    device.goto("/")
    device.get_by_role("button", name="Menu").click()
    device.locator("summary", has_text="Tove Haugland").click()
    device.get_by_role("button", name="Sign out").click()
    expect(device.get_by_role("heading", name="Sign in")).to_be_visible()
    device.context.set_offline(True)
    device.goto("/field/")
    expect(device.get_by_text("Nobody is signed in on this device.")).to_be_visible()


def test_a_session_that_ran_out_sends_everything_once_signed_in_again(device, drill, live_server):
    context = device.context
    context.clear_cookies()
    log(device)
    expect(device.get_by_text("Your session has ended.")).to_be_visible()
    waits(device, 1)
    sign_in(context, drill, "tove", live_server)
    device.reload()
    waits(device, 0)
    assert stored() == ["350"]
