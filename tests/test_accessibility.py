"""Every page against WCAG 2.2, levels A and AA, by axe-core in a real browser.

The rules are axe-core's, tagged wcag2a to wcag22aa: https://www.w3.org/TR/WCAG22/
That the words of a drawing can be read on a phone is a rule of our own.
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
SMALLEST_LETTERS_PX = 11.0
# Drawings that a part of the site shows at least, so that none is held to nothing.
DRAWN = {"coursework": 1, "results": 8, "certifications": 0}
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


def drawings(page) -> list[dict]:
    """Of each drawing that is shown, its smallest letters in px, and what cannot be read in it."""
    return page.evaluate(
        """() => [...document.querySelectorAll("svg")]
            .map((svg) => [svg, [...svg.querySelectorAll("text")].filter((each) =>
                each.getClientRects().length && each.textContent.trim())])
            .filter(([, texts]) => texts.length)
            .map(([svg, texts]) => {
                const sizes = texts.map((each) =>
                    parseFloat(getComputedStyle(each).fontSize) * Math.abs(each.getScreenCTM().a));
                const boxes = texts.map((each) => {
                    const { left, right, top, bottom } = each.getBoundingClientRect();
                    // Above and below its letters a line is empty.
                    const empty = (bottom - top) * 0.22;
                    return { left, right, top: top + empty, bottom: bottom - empty,
                        said: each.textContent };
                });
                const cut = boxes.filter((each) =>
                    each.left < 0 || each.right > document.documentElement.clientWidth);
                const over = boxes.flatMap((one, n) => boxes.slice(n + 1)
                    .filter((two) => one.left < two.right && two.left < one.right
                        && one.top < two.bottom && two.top < one.bottom)
                    .map((two) => `${one.said} / ${two.said}`));
                const name = svg.querySelector("title")?.textContent ?? svg.outerHTML.slice(0, 80);
                return { name, smallest: Math.min(...sizes),
                    unread: [...cut.map((each) => `cut: ${each.said}`), ...over] };
            })"""
    )


def illegible(shown: list[dict]) -> list[str]:
    """What of drawings on a phone is too small to be read, cut off or written over, a line each."""
    found = []
    for each in shown:
        if each["smallest"] < SMALLEST_LETTERS_PX:
            found.append(f"{each['name']}: letters of {each['smallest']:.1f} px")
        found += [f"{each['name']}: {words}" for words in each["unread"]]
    return found


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
    found, drawn = {}, 0
    for address in addresses:
        page.goto(address, wait_until="load", timeout=30_000)
        shown = drawings(page)
        drawn += len(shown)
        if broken := illegible(shown) + violations(page) + sideways(page):
            found[address] = broken
        page.set_viewport_size(PHONE)
    context.close()
    assert len(addresses) > 5
    assert found == {}
    assert drawn >= DRAWN[part]


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


@pytest.mark.parametrize(
    ("words", "fault"),
    [
        ('<text x="5" y="40" font-size="5">small</text>', "letters of"),
        ('<text x="190" y="40" font-size="14">far out</text>', "cut"),
        ('<text x="5" y="40">one</text><text x="9" y="42">two</text>', "one / two"),
    ],
)
def test_a_drawing_that_cannot_be_read_is_found(browser, live_server, words, fault):
    context = browser.new_context(base_url=live_server.url, viewport=PHONE, bypass_csp=True)
    page = context.new_page()
    page.goto("/sign-in/")
    assert drawings(page) == []
    page.evaluate(
        '(words) => { document.body.innerHTML = \'<svg viewBox="0 0 200 100" width="100%"\''
        " + ' font-size=\"10\">' + words + '</svg>'; }",
        words,
    )
    assert any(fault in line for line in illegible(drawings(page)))
    context.close()
