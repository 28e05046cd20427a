"""Devices for the browser tests of the field log."""

import pytest
from django.utils import timezone

from tests import builders
from tests.assessments import results
from tests.assessments.field.hand import PATIENCE_S, opened, sign_in, until
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
def contexts(browser, live_server):
    """Makes devices: contexts of the browser that share nothing."""
    made, asked = [], set()

    def make(**options):
        context = browser.new_context(
            base_url=live_server.url, viewport=PHONE, locale="en-GB", **options
        )
        context.set_default_timeout(PATIENCE_S * 1000)
        context.set_default_navigation_timeout(30_000)
        context.on("request", lambda request: asked.add(request))
        context.on("requestfinished", lambda request: asked.discard(request))
        context.on("requestfailed", lambda request: asked.discard(request))
        made.append(context)
        return context

    yield make
    # The tables are emptied next: no request may still be at work in the server then.
    pages = [page for context in made for page in context.pages]
    for page in pages:
        page.evaluate("window.fetch = () => new Promise(() => {}); true")
    if pages:
        until(pages[0], lambda: not asked)
    for context in made:
        context.close()


@pytest.fixture
def device(contexts, drill, live_server):
    """A page of Tove's on which the drill's log page was opened once with signal."""
    context = contexts()
    sign_in(context, drill, "tove", live_server)
    return opened(context, drill)
