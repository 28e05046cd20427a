"""Processes that really end: the server's in the midst of a send, the browser's with all it has."""

import os
import signal
from pathlib import Path

import pytest
from playwright.sync_api import expect

from assessments.models import Attempt
from tests.assessments.field.hand import (
    PATIENCE_S,
    kept,
    log,
    opened,
    sign_in,
    stored,
    until,
    waits,
)
from tests.assessments.field.server import Server
from tests.conftest import PHONE

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def server(tmp_path):
    server = Server(tmp_path)
    server.start()
    yield server
    server.kill()


def test_a_server_killed_before_and_in_its_answer_loses_and_doubles_nothing(browser, drill, server):
    context = browser.new_context(base_url=server.url, viewport=PHONE, locale="en-GB")
    context.set_default_timeout(PATIENCE_S * 1000)
    sign_in(context, drill, "tove", server)
    page = opened(context, drill)
    had_arrived = []
    for told, where in (("310", "before"), ("320", "half")):
        server.hold_the_next(where)
        log(page, told=told)
        server.kill_once_it_holds()
        expect(page.get_by_text("No answer from the server")).to_be_visible()
        waits(page, 1)
        had_arrived.append(told in stored())
        server.start()
        # As a phone says it when there is signal again; without that the page tries by itself.
        page.evaluate("window.dispatchEvent(new Event('online'))")
        waits(page, 0)
    context.close()
    assert had_arrived == [False, True]
    assert stored() == ["310", "320"]


def kill_browser(folder):
    """Ends the browser that works in a folder, by the number of its first process."""
    ours = f"--user-data-dir={folder}".encode()
    for process in Path("/proc").glob("[0-9]*"):
        try:
            words = (process / "cmdline").read_bytes().split(b"\0")
        except OSError:
            continue
        if ours in words and not any(word.startswith(b"--type=") for word in words):
            os.kill(int(process.name), signal.SIGKILL)
            return
    raise AssertionError("No browser works in that folder.")


def test_a_killed_browser_still_has_what_waits_and_sends_it(
    browser, chromium_path, drill, quiet_server, tmp_path
):
    def started():
        context = browser.browser_type.launch_persistent_context(
            tmp_path / "browser",
            executable_path=chromium_path,
            args=["--no-sandbox", "--disable-gpu"],
            base_url=quiet_server.url,
            viewport=PHONE,
            locale="en-GB",
        )
        context.set_default_timeout(PATIENCE_S * 1000)
        return context

    context = started()
    sign_in(context, drill, "tove", quiet_server)
    page = opened(context, drill)
    context.set_offline(True)
    for told in ("310", "320"):
        log(page, told=told)
    with context.expect_event("close"):
        kill_browser(tmp_path / "browser")
    assert not Attempt.objects.exists()

    context = started()
    page = context.pages[0]
    page.goto("/sign-in/")
    assert [row["state"] for row in kept(page, "items")] == ["waiting", "waiting"]
    sign_in(context, drill, "tove", quiet_server)
    page.goto(f"/field/drills/{drill.pk}/")
    expect(page.get_by_role("link", name="Sigrun Aasland")).to_be_visible()
    waits(page, 0)
    until(page, lambda: len(stored()) == 2)
    context.close()
    assert stored() == ["310", "320"]
