"""The main job with the keyboard alone: sign in, log a result at a drill, read it, print it.

At every stop of the way the focus must be seen and not be covered: WCAG 2.2, success criteria
2.1.1, 2.4.7 and 2.4.11, https://www.w3.org/TR/WCAG22/
"""

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from assessments.models import Attempt
from tests import builders
from tests.assessments import results

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PASSWORD = "a stick and its shadow"
FARTHEST = 80  # stops of the Tab key to anything on a page
FOCUS = """() => {
  const at = document.activeElement, look = getComputedStyle(at), box = at.getBoundingClientRect();
  const inside = [box.left + box.width / 2, Math.min(box.top + box.height / 2, innerHeight - 1)];
  const above = document.elementFromPoint(...inside);
  return {
    what: at.outerHTML.slice(0, 120),
    seen: look.outlineStyle !== "none" && parseFloat(look.outlineWidth) >= 2,
    free: Boolean(above) && (at.contains(above) || above.contains(at)),
  };
}"""


@pytest.fixture
def drill():
    drill = results.drill(starts_at=timezone.now())
    builders.lead(drill.cohort, username="tove", password=PASSWORD)
    builders.student(drill.cohort, name="Sigrun Aasland")
    return drill


def go_to(page, target):
    """Press Tab until the target has the focus; every stop on the way must be seen."""
    expect(target).to_be_visible()
    for _ in range(FARTHEST):
        page.keyboard.press("Tab")
        stop = page.evaluate(FOCUS)
        assert (stop["seen"], stop["free"]) == (True, True), stop["what"]
        if target.evaluate("element => element === document.activeElement"):
            return
    pytest.fail(f"{target} is not among the first {FARTHEST} stops.")


def follow(page, target):
    go_to(page, target)
    page.keyboard.press("Enter")


def type_into(page, label, text):
    go_to(page, page.get_by_label(label))
    page.keyboard.type(text)


def test_a_result_is_logged_read_and_printed_with_the_keyboard_alone(desk_page, drill):
    page = desk_page
    # Without motion a page is where it scrolls to as soon as a key was pressed.
    page.emulate_media(reduced_motion="reduce")
    page.goto("/sign-in/")
    # The first field has the focus as the page opens.
    page.keyboard.type("tove")
    type_into(page, "Password", PASSWORD)
    page.keyboard.press("Enter")
    follow(page, page.get_by_role("link", name="Skip to the page"))
    follow(page, page.get_by_role("link", name="Log a result"))
    follow(page, page.get_by_role("link", name="Sigrun Aasland"))
    expect(page.get_by_label("First mark")).to_be_visible()
    type_into(page, "First mark", "0930")
    type_into(page, "Second mark", "0946")
    go_to(page, page.get_by_label("compass", exact=True))
    # Arrow keys go through a group of choices.
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    expect(page.get_by_label("True bearing of the line")).to_be_visible()
    type_into(page, "True bearing of the line", "350")
    follow(page, page.get_by_role("button", name="Log the result"))

    expect(page.locator(".split-words")).to_contain_text("The method itself was")
    assert Attempt.objects.get().current.inputs["reading_deg"] == "350"
    sheet = page.get_by_role("link", name="Print, A4")
    go_to(page, sheet)
    assert page.request.get(sheet.get_attribute("href")).body().startswith(b"%PDF")


def test_the_light_of_the_pages_is_chosen_with_the_keyboard_and_nothing_typed_is_lost(
    desk_page, drill
):
    page = desk_page
    page.goto("/sign-in/")
    page.get_by_label("Sign-in name").fill("tove")
    red = page.get_by_role("button", name="red", exact=True)
    follow(page, red)
    expect(page.locator("html")).to_have_attribute("data-light", "red")
    expect(red).to_have_attribute("aria-pressed", "true")
    expect(page.get_by_label("Sign-in name")).to_have_value("tove")
    page.get_by_label("Password").fill(PASSWORD)
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Today", exact=True)).to_be_visible()
    # The field log, which no server writes anew, takes the same choice.
    page.goto("/field/")
    expect(page.locator("html")).to_have_attribute("data-light", "red")
    expect(page.locator(".field-top").get_by_role("button", name="red")).to_be_visible()


def test_without_scripts_the_light_is_chosen_by_a_button(browser, live_server, drill):
    context = browser.new_context(base_url=live_server.url, java_script_enabled=False)
    page = context.new_page()
    page.set_default_timeout(10_000)
    page.goto("/sign-in/")
    page.get_by_role("button", name="dark", exact=True).click()
    expect(page.locator("html")).to_have_attribute("data-light", "dark")
    black_or_nearly = page.evaluate(
        "getComputedStyle(document.body).backgroundColor.match(/\\d+/g).every(part => part < 30)"
    )
    assert black_or_nearly
    page.emulate_media(media="print")
    ink = "getComputedStyle(document.body).color"
    assert page.evaluate(ink) == "rgb(0, 0, 0)"
    context.close()


def test_at_twice_and_four_times_the_size_nothing_is_cut_off_at_the_side(desk_page, drill):
    """WCAG 2.2, 1.4.10: a window of 1280 pixels has 640, then 320 of a page's own."""
    page = desk_page
    attempt = results.attempt(of=drill, student=builders.student(drill.cohort, name="Ulf Ek"))
    page.goto("/sign-in/")
    page.get_by_label("Sign-in name").fill("tove")
    page.get_by_label("Password").fill(PASSWORD)
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Today", exact=True)).to_be_visible()
    drill_address = f"/drills/{drill.pk}/"
    addresses = [
        "/", "/calendar/?view=month", "/attempts/", drill_address, f"{drill_address}log/",
        f"{drill_address}log/?student={attempt.student_id}", f"{drill_address}table/",
        attempt.get_absolute_url(), f"/students/{attempt.student_id}/record/",
        f"/sites/{drill.site_id}/", f"/sites/{drill.site_id}/planner/", "/manual/faults/",
    ]  # fmt: skip
    wide = []
    for width in (640, 320):
        page.set_viewport_size({"width": width, "height": 800})
        for address in addresses:
            page.goto(address)
            if page.evaluate("document.documentElement.scrollWidth") > width:
                wide.append((width, address))
    assert wide == []
