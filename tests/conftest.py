"""Shared by all tests: the random-example profile and the browser."""

import os
import shutil
from pathlib import Path

import pytest
from django.utils import translation
from hypothesis import HealthCheck, settings
from playwright.sync_api import expect, sync_playwright

# The same examples on every machine: a failure seen once is seen by everybody.
settings.register_profile(
    "house",
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("house")


def pytest_generate_tests(metafunc):
    """Refuse cases drawn from a set: two processes that share the work would order them apart."""
    for marker in metafunc.definition.iter_markers("parametrize"):
        values = marker.args[1] if len(marker.args) > 1 else marker.kwargs["argvalues"]
        if isinstance(values, set | frozenset):
            raise pytest.UsageError(f"{metafunc.definition.nodeid}: sort the set of cases.")


# Queries, locks and concurrency: these also run on PostgreSQL, whichever engine a plain run has.
ENGINES = (
    "assessments/bringing",
    "assessments/certification/test_drafts.py",
    "assessments/certification/test_issuing.py",
    "assessments/certification/test_runs.py",
    "assessments/certification/test_signing.py",
    "assessments/field/test_interleaving.py",
    "assessments/field/test_sending.py",
    "assessments/models",
    "assessments/records",
    "assessments/test_services.py",
    "assessments/test_traces.py",
    "assessments/views/test_attempts.py",
    "assessments/views/test_records.py",
    "coursework/backups",
    "coursework/models",
    "coursework/services",
    "coursework/test_health.py",
    "coursework/test_room.py",
    "coursework/test_traces.py",
    "coursework/views/test_detail_queries.py",
    "coursework/views/test_lists.py",
    "engines",
)


@pytest.fixture(autouse=True)
def language_of_the_records():
    """A test begins in the same language, whatever a page was asked for in before it."""
    translation.deactivate()


def pytest_collection_modifyitems(items):
    """Mark what both engines have to hold."""
    tests = Path(__file__).parent
    for item in items:
        if any(item.path.is_relative_to(tests / part) for part in ENGINES):
            item.add_marker(pytest.mark.engines)


PHONE = {"width": 390, "height": 844}
DESK = {"width": 1280, "height": 900}


@pytest.fixture(scope="session")
def chromium_path():
    """The Chromium that this machine has; the tests download none."""
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    if path is None:
        pytest.fail("No Chromium on this machine: run 'bash tests/setup tests'.")
    return path


@pytest.fixture(scope="session")
def browser(chromium_path):
    """A headless browser for the session."""
    # Playwright's own event loop runs in this thread, where Django would refuse its queries.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=chromium_path, args=["--no-sandbox", "--disable-gpu"]
        )
        # On a busy machine a state may take its time to come about.
        expect.set_options(timeout=20_000)
        yield browser
        browser.close()
    del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]


def _open_page(browser, live_server, viewport):
    """A page that fails its test when the browser reports a script error or a blocked resource."""
    context = browser.new_context(base_url=live_server.url, viewport=viewport, locale="en-GB")
    page = context.new_page()
    page.set_default_timeout(10_000)
    # The first page of a run also waits for the server to load the whole project.
    page.set_default_navigation_timeout(30_000)
    complaints = []
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on(
        "console",
        lambda message: complaints.append(message.text) if message.type == "error" else None,
    )
    yield page
    context.close()
    assert complaints == []


@pytest.fixture
def desk_page(browser, live_server):
    """A browser page as wide as a desk screen, with paths relative to the live server."""
    yield from _open_page(browser, live_server, DESK)


@pytest.fixture
def phone_page(browser, live_server):
    """A browser page as wide as a phone."""
    yield from _open_page(browser, live_server, PHONE)
