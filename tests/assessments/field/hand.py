"""What a hand does at the pages of the field log, and what an eye waits for."""

from time import monotonic

from django.test import Client
from playwright.sync_api import expect

from assessments.models import Attempt

PATIENCE_S = 20
"""How long a state may take to come about on a busy machine; no test waits for a time to pass."""


def person(drill, username):
    return drill.cohort.enrolments.get(person__username=username).person


def sign_in(context, drill, username, live_server):
    client = Client()
    client.force_login(person(drill, username))
    cookie = client.cookies["sessionid"]
    context.add_cookies([{"name": "sessionid", "value": cookie.value, "url": live_server.url}])


KEPT = """async (name) => {
    const base = await new Promise((done) => {
        const asked = indexedDB.open("plumbshadow-field");
        asked.onsuccess = () => done(asked.result);
    });
    const rows = await new Promise((done) => {
        const asked = base.transaction(name).objectStore(name).getAll();
        asked.onsuccess = () => done(asked.result);
    });
    base.close();
    return rows;
}"""


def kept(page, name):
    """All rows of one of the device's own tables, once the page has made them."""
    return page.evaluate(KEPT, name)


def until(page, condition):
    """Wait until `condition` holds: a function, or an expression of the page, asked anew each time.

    A condition that the page itself would poll is refused by its Content-Security-Policy.
    """
    give_up_at = monotonic() + PATIENCE_S
    while not (condition() if callable(condition) else page.evaluate(condition)):
        assert monotonic() < give_up_at, f"Never came true: {condition}"
        page.wait_for_timeout(50)


def opened(context, drill):
    page = context.new_page()
    page.goto(f"/field/drills/{drill.pk}/")
    expect(page.get_by_role("link", name="Sigrun Aasland")).to_be_visible()
    # The form and the files are carried once this is so.
    page.evaluate("navigator.serviceWorker ? navigator.serviceWorker.ready.then(() => 1) : 1")
    until(page, lambda: any(row["drill"] == drill.pk for row in kept(page, "forms")))
    return page


def log(page, told="350", student="Sigrun Aasland", measured="400"):
    # One hand at a time: a tab behind another one is drawn seldom.
    page.bring_to_front()
    page.get_by_role("link", name=student).click()
    page.get_by_role("button", name="now").click()
    if page.get_by_label("Measured distance").input_value() != measured:
        page.get_by_label("Measured distance").fill(measured)
    page.get_by_label("Distance told").fill(told)
    page.get_by_role("button", name="Keep the result").click()
    expect(page.get_by_role("heading", name="Whose result?")).to_be_visible()


def waits(page, number):
    if number:
        words = f"{number} wait{'s' if number == 1 else ''} to be"
        expect(page.locator(".waiting")).to_contain_text(words)
    else:
        # Nor is anything left to resolve, which would stand behind these words.
        expect(page.locator(".waiting")).to_have_text("Nothing waits")


def stored():
    return sorted(one.current.inputs["told_m"] for one in Attempt.objects.select_related("current"))


def cookies(context):
    return "; ".join(f"{each['name']}={each['value']}" for each in context.cookies())
