"""Devices for the browser tests of the field log."""

from time import monotonic, sleep

import pytest
from django.core.signals import request_finished, request_started
from django.utils import timezone

from tests import builders
from tests.assessments import results
from tests.assessments.field.hand import PATIENCE_S, opened, sign_in
from tests.conftest import PHONE


@pytest.fixture
def drill():
    """Distances told, which can be scored at any hour of the day."""
    drill = results.drill("distance", starts_at=timezone.now())
    builders.lead(drill.cohort, name="Tove Haugland", username="tove")
    builders.assistant(drill.cohort, name="Runa Lie", username="runa")
    for name in ("Sigrun Aasland", "Odd Berge"):
        builders.student(drill.cohort, name=name)
    return drill


@pytest.fixture
def quiet_server(live_server):
    """The server; when a test is over, it is waited for until none of its requests is at work.

    The tables are emptied next, and what is still being stored then would be left in them.
    """
    # Appending is one step, whichever thread does it; adding to a number is not.
    begun, ended = [], []

    def begins(**_given):
        begun.append(True)

    def ends(**_given):
        ended.append(True)

    request_started.connect(begins)
    request_finished.connect(ends)
    yield live_server
    idle, give_up_at = 0, monotonic() + PATIENCE_S
    while idle < 3:
        assert monotonic() < give_up_at, f"{len(begun) - len(ended)} requests are still at work."
        sleep(0.03)
        idle = 0 if len(begun) > len(ended) else idle + 1
    request_started.disconnect(begins)
    request_finished.disconnect(ends)


@pytest.fixture
def contexts(browser, quiet_server):
    """Makes devices: contexts of the browser that share nothing."""
    made = []

    def make(**options):
        context = browser.new_context(
            base_url=quiet_server.url, viewport=PHONE, locale="en-GB", **options
        )
        context.set_default_timeout(PATIENCE_S * 1000)
        context.set_default_navigation_timeout(30_000)
        made.append(context)
        return context

    yield make
    for context in made:
        context.close()


@pytest.fixture
def device(contexts, drill, live_server):
    """A page of Tove's on which the drill's log page was opened once with signal."""
    context = contexts()
    sign_in(context, drill, "tove", live_server)
    return opened(context, drill)
