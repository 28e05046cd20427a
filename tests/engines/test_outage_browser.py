"""The field log while its database is gone, as whoever logs results meets it: nothing is lost."""

import re

import pytest
from playwright.sync_api import expect

from tests.assessments.field.hand import PATIENCE_S, kept, log, until, waits
from tests.conftest import PHONE
from tests.engines import servers
from tests.engines.inside import PASSWORD
from tests.engines.private import PrivatePostgreSQL

pytestmark = [pytest.mark.engines, pytest.mark.browser]
UNABLE = re.compile("The server can store nothing at the moment: results are kept here")


@pytest.fixture(scope="module")
def cluster():
    made = PrivatePostgreSQL()
    yield made
    made.remove()


@pytest.fixture(scope="module")
def site(cluster, tmp_path_factory):
    folder = tmp_path_factory.mktemp("outage")
    with servers.site(cluster.url, folder, PLUMBSHADOW_WORKERS="1") as site:
        yield site


@pytest.fixture(scope="module")
def page(browser, site):
    """A phone on which Tove signed in and opened the log page of today's drill."""
    drill = site.ask("prepare_today")["drill"]
    context = browser.new_context(
        base_url=site.serve().address, viewport=PHONE, locale="en-GB", timezone_id="Europe/Zurich"
    )
    context.set_default_timeout(PATIENCE_S * 1000)
    page = context.new_page()
    failed = []
    page.on("pageerror", lambda error: failed.append(str(error)))
    page.goto(f"/sign-in/?next=/field/drills/{drill}/")
    page.get_by_label("Sign-in name").fill("tove")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("link", name="Sigrun Aasland")).to_be_visible()
    page.evaluate("navigator.serviceWorker.ready.then(() => 1)")
    until(page, lambda: any(row["drill"] == drill for row in kept(page, "forms")))
    yield page
    context.close()
    assert failed == []


def stored(site) -> list[str]:
    """The distances told of all results, each as often as it is stored."""
    rows = site.query(
        "SELECT revision.inputs->>'told_m' FROM assessments_attempt attempt"
        " LEFT JOIN assessments_revision revision ON revision.id = attempt.current_id ORDER BY 1"
    )
    return [told for (told,) in rows]


def nobody_does_anything(page):
    """It sends by itself, some seconds after the database is back."""


def send_now(page):
    page.locator(".waiting").click()
    page.get_by_role("button", name="Send now").click()


@pytest.mark.parametrize(
    ("way", "then", "told"),
    [
        ("stop", nobody_does_anything, ("310", "320", "330")),
        ("kill", send_now, ("410", "420", "430")),
    ],
)
def test_results_logged_while_the_database_is_gone_are_kept_told_and_each_stored_once(
    site, cluster, page, way, then, told
):
    log(page, told=told[0])
    waits(page, 0)
    getattr(cluster, way)()
    log(page, told=told[1])
    expect(page.get_by_text(UNABLE)).to_be_visible()
    log(page, told=told[2], student="Odd Berge")
    waits(page, 2)
    expect(page.locator(".field-mark").filter(has_text="score pending")).to_have_count(2)
    # Whoever opens the page anew meanwhile has what waits, and is still signed in.
    page.reload()
    waits(page, 2)
    expect(page.get_by_text(UNABLE)).to_be_visible()
    cluster.start()
    then(page)
    waits(page, 0)
    expect(page.get_by_text(UNABLE)).to_be_hidden()
    assert [each for each in stored(site) if each in told] == list(told)
    page.goto(page.url.split("#")[0])
    expect(page.get_by_text("score pending")).to_have_count(0)
