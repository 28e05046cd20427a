"""Every page against WCAG 2.2, levels A and AA, by axe-core in a real browser.

The rules are axe-core's, tagged wcag2a to wcag22aa: https://www.w3.org/TR/WCAG22/
"""

from concurrent.futures import ThreadPoolExecutor

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.conf import settings
from django.db import connections
from django.test import Client

from tests.assessments import test_access as of_assessments
from tests.assessments.certification import test_access as of_certification
from tests.conftest import PHONE
from tests.coursework import made
from tests.coursework import test_access as of_coursework

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
OPTIONS = {"runOnly": {"type": "tag", "values": WCAG}, "resultTypes": ["violations"]}
# Parts that pages load into themselves: they are looked at where they stand.
PARTS_OF_PAGES = {
    "position-read", "skyline-editor", "drill-conflicts", "planned-lesson-conflicts", "planner-map",
}  # fmt: skip
NARROWEST = {"width": 320, "height": 640}
PARTS = {
    "coursework": (of_coursework, made.one_of_everything),
    "results": (of_assessments, of_assessments.one_of_everything),
    "certifications": (of_certification, of_certification.one_of_everything),
}


def pages(table, world, client) -> list[str]:
    """The addresses that answer with a page for whoever signed in at `client`."""
    found = []
    for name in table.TABLE:
        if name in PARTS_OF_PAGES:
            continue
        address = table.address(name, world)
        answer = client.get(address)
        if answer.status_code == 200 and answer.headers["Content-Type"].startswith("text/html"):
            found.append(address)
    return found


def made_and_visited(table, build, role: str, client: Client) -> list[str]:
    """Builds the world, signs in, and returns the addresses of its pages."""
    try:
        world = build()
        client.force_login(getattr(world, role))
        return pages(table, world, client)
    finally:
        connections.close_all()


def violations(page) -> list[str]:
    """What axe-core finds on the page as it stands, a line each."""
    found = Axe().run(page, options=OPTIONS).response["violations"]
    return [
        f"{rule['id']}: {node['target']} {node.get('failureSummary', '')[:300]}"
        for rule in found
        for node in rule["nodes"][:3]
    ]


def sideways(page) -> list[str]:
    """What makes the page scroll sideways at 320 px, as at 400 % of a desk: criterion 1.4.10."""
    page.set_viewport_size(NARROWEST)
    return page.evaluate(
        """() => {
            const whole = document.scrollingElement;
            if (whole.scrollWidth <= whole.clientWidth) return [];
            return [...document.body.querySelectorAll("*")]
                .filter((each) => each.getBoundingClientRect().right > whole.clientWidth + 1)
                .slice(-3)
                .map((each) => `too wide at 320 px: ${each.outerHTML.slice(0, 150)}`);
        }"""
    )


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize("role", ["administrator", "student"])
def test_every_page_keeps_to_the_guidelines(browser, live_server, part, role):
    table, build = PARTS[part]
    client = Client()
    # In a thread of its own: the browser's driver keeps a loop in this one, and signing wants one.
    with ThreadPoolExecutor(1) as aside:
        addresses = aside.submit(made_and_visited, table, build, role, client).result()
    context = browser.new_context(base_url=live_server.url, viewport=PHONE, bypass_csp=True)
    name = settings.SESSION_COOKIE_NAME
    context.add_cookies(
        [{"name": name, "value": client.cookies[name].value, "url": live_server.url}]
    )
    page = context.new_page()
    found = {}
    for address in addresses:
        page.goto(address, wait_until="load", timeout=30_000)
        if broken := violations(page) + sideways(page):
            found[address] = broken
        page.set_viewport_size(PHONE)
    context.close()
    assert len(addresses) > 5
    assert found == {}


def test_a_page_with_a_fault_is_found(browser, live_server):
    context = browser.new_context(base_url=live_server.url, bypass_csp=True)
    page = context.new_page()
    page.goto("/sign-in/")
    assert violations(page) == sideways(page) == []
    page.evaluate("document.querySelector('label').remove()")
    assert any(line.startswith("label") for line in violations(page))
    page.evaluate("document.querySelector('h1').style.width = '700px'")
    assert sideways(page) != []
    context.close()
