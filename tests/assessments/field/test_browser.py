"""The field log in a real browser: no signal, lost answers, killed pages, two tabs, two people."""

import json
from datetime import timedelta
from time import monotonic

import pytest
from django.test import Client
from django.utils import timezone
from playwright.sync_api import expect

from assessments.models import Arrival, Attempt, HeadcountEvent, LeadNote
from tests import builders
from tests.assessments import results
from tests.conftest import PHONE

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


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
        context.set_default_timeout(8_000)
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
    for _ in range(100):
        if asked and pages:
            pages[0].wait_for_timeout(50)
    for context in made:
        context.close()


def person(drill, username):
    return drill.cohort.enrolments.get(person__username=username).person


def sign_in(context, drill, username, live_server):
    client = Client()
    client.force_login(person(drill, username))
    cookie = client.cookies["sessionid"]
    context.add_cookies([{"name": "sessionid", "value": cookie.value, "url": live_server.url}])


@pytest.fixture
def device(contexts, drill, live_server):
    """A page of Tove's on which the drill's log page was opened once with signal."""
    context = contexts()
    sign_in(context, drill, "tove", live_server)
    return opened(context, drill)


CARRIED = """async (drill) => {
    const base = await new Promise((done) => {
        const asked = indexedDB.open("plumbshadow-field");
        asked.onsuccess = () => done(asked.result);
    });
    const rows = await new Promise((done) => {
        const asked = base.transaction("forms").objectStore("forms").getAll();
        asked.onsuccess = () => done(asked.result);
    });
    base.close();
    return rows.some((row) => row.drill === drill);
}"""


def until(page, condition, given=None):
    """Wait up to 8 s for a condition of the page, asked anew each time.

    A condition that the page itself would poll is refused by its Content-Security-Policy.
    """
    give_up_at = monotonic() + 8
    while not page.evaluate(condition, given):
        assert monotonic() < give_up_at, f"Never came true: {condition}"
        page.wait_for_timeout(50)


def opened(context, drill):
    page = context.new_page()
    page.goto(f"/field/drills/{drill.pk}/")
    expect(page.get_by_role("link", name="Sigrun Aasland")).to_be_visible()
    # The form and the files are carried once this is so.
    page.evaluate("navigator.serviceWorker ? navigator.serviceWorker.ready.then(() => 1) : 1")
    until(page, CARRIED, drill.pk)
    return page


def log(page, told="350", student="Sigrun Aasland", measured="400"):
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


def test_the_score_is_shown_as_soon_as_it_is_known(device):
    log(device)
    expect(device.locator(".field-score")).to_contain_text("−12.5 % under")
    waits(device, 0)
    assert stored() == ["350"]


def test_after_one_visit_everything_opens_without_signal_and_is_sent_with_it(device, drill):
    device.context.set_offline(True)
    device.goto("/field/")
    device.get_by_role("link", name=drill.exercise.title).click()
    log(device)
    expect(device.locator(".field-mark")).to_contain_text("score pending")
    waits(device, 1)
    device.reload()
    waits(device, 1)
    assert stored() == []
    device.context.set_offline(False)
    waits(device, 0)
    assert stored() == ["350"]


def test_what_the_last_result_shared_is_there_for_the_next(device):
    log(device)
    device.get_by_role("link", name="Odd Berge").click()
    expect(device.get_by_label("Measured distance")).to_have_value("400")
    expect(device.get_by_label("Distance told")).to_have_value("")
    assert device.get_by_label("Distance told").get_attribute("inputmode") == "decimal"
    assert (
        device.get_by_role("textbox", name="Time it was done").get_attribute("inputmode")
        == "numeric"
    )


FAULTY = """
    const real = window.fetch;
    window.sends = 0;
    window.fault = null;
    window.fetch = async (address, options) => {
        const isSend = String(address).endsWith("/field/send/");
        if (!isSend || !window.fault) return real(address, options);
        window.sends += 1;
        if (window.fault === "stopped") throw new TypeError("connection refused");
        const answer = await real(address, options);
        if (window.fault === "lost") throw new TypeError("connection reset");
        const whole = await answer.text();
        return new Response(whole.slice(0, whole.length / 2), { status: 200 });
    };
    true;
"""


@pytest.mark.parametrize("fault", ["lost", "half", "stopped"])
def test_a_server_that_stops_before_in_or_after_its_answer_loses_and_doubles_nothing(device, fault):
    device.evaluate(FAULTY)
    device.evaluate("(fault) => { window.fault = fault; }", fault)
    log(device)
    until(device, "window.sends > 0")
    expect(device.get_by_text("No answer from the server")).to_be_visible()
    waits(device, 1)
    assert stored() == ([] if fault == "stopped" else ["350"])
    device.evaluate("window.fault = null")
    device.locator(".waiting").click()
    device.get_by_role("button", name="Send now").click()
    waits(device, 0)
    assert stored() == ["350"]


def test_a_page_that_is_killed_comes_back_with_what_waited_and_what_was_typed(device, drill):
    context = device.context
    context.set_offline(True)
    log(device, told="340")
    device.get_by_role("link", name="Odd Berge").click()
    device.get_by_label("Distance told").fill("4")
    device.get_by_label("Distance told").press_sequentially("10")
    device.wait_for_timeout(600)
    # Ended from outside: the page is not asked and not told.
    device.close(run_before_unload=False)
    page = context.new_page()
    page.goto(f"/field/drills/{drill.pk}/")
    waits(page, 1)
    page.get_by_role("link", name="Odd Berge").click()
    expect(page.get_by_text("What you had typed is still here.")).to_be_visible()
    expect(page.get_by_label("Distance told")).to_have_value("410")
    context.set_offline(False)
    page.goto(f"/field/drills/{drill.pk}/")
    waits(page, 0)
    assert stored() == ["340"]


FULL = """
    const put = IDBObjectStore.prototype.put;
    window.isFull = true;
    IDBObjectStore.prototype.put = function (...row) {
        const isRefused = window.isFull && this.name === "items";
        if (isRefused) throw new DOMException("", "QuotaExceededError");
        return put.apply(this, row);
    };
    true;
"""


def test_a_device_that_is_full_says_so_and_keeps_the_form(device):
    device.evaluate(FULL)
    device.get_by_role("link", name="Sigrun Aasland").click()
    device.get_by_role("button", name="now").click()
    device.get_by_label("Measured distance").fill("400")
    device.get_by_label("Distance told").fill("350")
    device.get_by_role("button", name="Keep the result").click()
    expect(device.get_by_role("alert")).to_contain_text("this device has no room left")
    expect(device.get_by_label("Distance told")).to_have_value("350")
    device.evaluate("window.isFull = false")
    device.get_by_role("button", name="Keep the result").click()
    expect(device.get_by_role("heading", name="Whose result?")).to_be_visible()
    waits(device, 0)
    assert stored() == ["350"]


def test_two_tabs_send_each_result_once(device, drill):
    context = device.context
    second = opened(context, drill)
    context.set_offline(True)
    for told in ("310", "320"):
        log(device, told=told)
        log(second, told=f"{told}.5", student="Odd Berge")
    context.set_offline(False)
    for page in (device, second):
        page.evaluate("window.dispatchEvent(new Event('online'))")
        page.evaluate("window.dispatchEvent(new Event('online'))")
    waits(device, 0)
    waits(second, 0)
    assert stored() == ["310", "310.5", "320", "320.5"]


def test_two_devices_log_the_same_drill(device, contexts, drill, live_server):
    other = contexts()
    sign_in(other, drill, "runa", live_server)
    second = opened(other, drill)
    log(device, told="310")
    log(second, told="320")
    waits(device, 0)
    waits(second, 0)
    assert stored() == ["310", "320"]
    assert Arrival.objects.values("device").distinct().count() == 2


def test_whoever_signs_out_leaves_nothing_to_be_seen_and_loses_nothing(device, drill, live_server):
    context = device.context
    context.set_offline(True)
    log(device)
    device.goto("/field/")
    device.get_by_role("button", name="Sign out: Tove Haugland").click()
    expect(device.get_by_text("Nobody is signed in on this device.")).to_be_visible()
    device.goto(f"/field/drills/{drill.pk}/#waiting")
    expect(device.get_by_text("Nobody is signed in on this device.")).to_be_visible()
    for name in ("Tove", "Sigrun", drill.exercise.title):
        assert name not in device.content()
    context.set_offline(False)
    device.goto("/field/")
    expect(device.get_by_role("link", name="Sign in")).to_be_visible()
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


def cookies(context):
    return "; ".join(f"{each['name']}={each['value']}" for each in context.cookies())


def test_signing_out_at_the_desk_closes_the_field_log_too(device):
    device.goto("/")
    device.get_by_role("button", name="Menu").click()
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


def test_a_result_of_a_student_who_left_is_given_to_another(device, drill):
    device.context.set_offline(True)
    log(device)
    drill.cohort.enrolments.get(person__name="Sigrun Aasland").delete()
    device.context.set_offline(False)
    expect(device.locator(".waiting")).to_contain_text("1 to resolve")
    device.locator(".waiting").click()
    expect(device.get_by_text("no longer in the drill’s cohort")).to_be_visible()
    device.get_by_label("Give it to").select_option(label="Odd Berge")
    device.get_by_role("button", name="Give it to").click()
    waits(device, 0)
    assert Attempt.objects.get().student.name == "Odd Berge"


def test_a_result_of_a_cancelled_drill_is_sent_on_purpose_or_handed_to_the_lead(device, drill):
    device.context.set_offline(True)
    log(device, told="310")
    log(device, told="320")
    drill.cancelled_at, drill.cancel_reason = timezone.now(), "thunder"
    drill.save()
    device.context.set_offline(False)
    expect(device.locator(".waiting")).to_contain_text("2 to resolve")
    device.locator(".waiting").click()
    device.get_by_role("button", name="Send it all the same").first.click()
    expect(device.locator(".waiting")).to_contain_text("1 to resolve")
    device.get_by_role("button", name="Hand it to the lead as a note").click()
    expect(device.locator(".waiting")).not_to_contain_text("resolve")
    waits(device, 0)
    assert stored() == ["310"]
    assert ["Distance told", "320"] in LeadNote.objects.get().said


def test_a_refused_result_is_mended_beside_its_field(device):
    log(device, told="three hundred")
    expect(device.locator(".waiting")).to_contain_text("1 to resolve")
    device.locator(".waiting").click()
    device.get_by_role("link", name="Mend it").click()
    expect(device.locator(".field-fault")).to_contain_text("“three hundred” is not a number.")
    device.get_by_label("Distance told").fill("300")
    device.get_by_role("button", name="Keep and send again").click()
    waits(device, 0)
    assert stored() == ["300"]


def test_nothing_is_discarded_but_by_a_typed_word(device):
    log(device, told="x")
    expect(device.locator(".waiting")).to_contain_text("1 to resolve")
    device.locator(".waiting").click()
    answers = iter(["yes", "discard"])
    device.on("dialog", lambda dialog: dialog.accept(next(answers)))
    device.get_by_role("button", name="Discard…").click()
    expect(device.get_by_text("Not discarded")).to_be_visible()
    expect(device.locator(".field-line")).to_have_count(1)
    device.get_by_role("button", name="Discard…").click()
    expect(device.get_by_text("Every result noted here is stored")).to_be_visible()


def test_what_waits_is_saved_as_a_file_and_loaded_on_another_device(
    device, contexts, drill, live_server, tmp_path
):
    device.context.set_offline(True)
    log(device)
    device.locator(".waiting").click()
    with device.expect_download() as download:
        device.get_by_role("button", name="Save as a file").click()
    path = tmp_path / "saved.json"
    download.value.save_as(path)
    assert len(json.loads(path.read_text())["items"]) == 1
    other = contexts()
    sign_in(other, drill, "tove", live_server)
    second = opened(other, drill)
    second.locator(".waiting").click()
    for _ in range(2):
        second.get_by_label("Load a saved file").set_input_files(path)
        expect(second.get_by_role("status")).to_be_visible()
    waits(second, 0)
    device.context.set_offline(False)
    waits(device, 0)
    assert stored() == ["350"]


SLOW = """
    const RealDate = Date;
    const BEHIND_MS = 200_000;
    window.Date = class extends RealDate {
        constructor(...given) {
            given.length ? super(...given) : super(RealDate.now() - BEHIND_MS);
        }
        static now() { return RealDate.now() - BEHIND_MS; }
    };
"""


def test_a_clock_that_is_wrong_is_said_recorded_and_set_right(contexts, drill, live_server):
    context = contexts()
    context.add_init_script(SLOW)
    sign_in(context, drill, "tove", live_server)
    page = opened(context, drill)
    expect(page.get_by_text("This device’s clock is 3 min")).to_contain_text("slow")
    log(page)
    waits(page, 0)
    attempt = Attempt.objects.select_related("arrival", "current").get()
    assert abs(attempt.arrival.offset_ms - 200_000) < 5_000
    assert abs(attempt.current.observed_at - timezone.now()) < timedelta(seconds=30)
    assert attempt.arrival.received_at - attempt.arrival.made_at > timedelta(seconds=190)


def test_who_is_out_stands_on_top_without_signal_and_is_loud_when_overdue(device, drill):
    device.goto(f"/field/drills/{drill.pk}/#out")
    device.context.set_offline(True)
    device.get_by_label("Odd Berge").check()
    device.get_by_label("15 min").check()
    device.get_by_role("button", name="Send out").click()
    expect(device.locator(".out-strip")).to_contain_text("1 out")
    device.goto("/field/")
    expect(device.locator(".out-strip")).to_contain_text("Odd Berge due")
    device.context.set_offline(False)
    waits(device, 0)
    event = HeadcountEvent.objects.get()
    assert event.kind == "out"
    HeadcountEvent.objects.filter(pk=event.pk).update(due_at=timezone.now() - timedelta(minutes=7))
    device.reload()
    expect(device.locator(".out-strip.is-overdue")).to_contain_text("OVERDUE by 7 min")
    expect(device).to_have_title("OVERDUE: Odd Berge")


def test_no_device_says_all_in_without_being_up_to_date(device, contexts, drill, live_server):
    other = contexts()
    sign_in(other, drill, "runa", live_server)
    second = opened(other, drill)
    device.goto(f"/field/drills/{drill.pk}/#out")
    expect(device.get_by_text("All in, by what had reached the server")).to_be_visible()
    second.goto(f"/field/drills/{drill.pk}/#out")
    second.get_by_label("Odd Berge").check()
    second.get_by_role("button", name="Send out").click()
    waits(second, 0)
    device.reload()
    expect(device.locator(".out-strip")).to_contain_text("Odd Berge due")
    device.context.set_offline(True)
    device.get_by_role("button", name="Back: Odd Berge").click()
    expect(device.get_by_text("this device is not up to date")).to_be_visible()
    assert "All in" not in device.locator("#field-body").inner_text()
    device.context.set_offline(False)
    expect(device.get_by_text("All in, by what had reached the server")).to_be_visible()
    expect(device.get_by_text("Runa Lie")).to_be_visible()


def test_what_to_do_when_someone_is_lost_is_one_tap_away(device, drill):
    drill.site.lost_steps = "Stop and stay.\nThree whistles."
    drill.site.rally_words = "The stone gate."
    drill.site.save()
    device.reload()
    device.wait_for_load_state("networkidle")
    device.context.set_offline(True)
    device.goto(f"/field/drills/{drill.pk}/")
    device.get_by_role("link", name="If someone is lost").click()
    expect(device.get_by_role("listitem").filter(has_text="Three whistles.")).to_be_visible()
    expect(device.get_by_text("The stone gate.")).to_be_visible()


def test_the_light_is_kept_on_the_device(device):
    device.get_by_role("button", name="red").click()
    device.reload()
    expect(device.locator("html")).to_have_attribute("data-light", "red")
    expect(device.get_by_role("button", name="red")).to_have_attribute("aria-pressed", "true")


def test_a_line_by_shadow_takes_few_taps(contexts, live_server):
    drill = results.drill(starts_at=timezone.now())
    builders.lead(drill.cohort, username="tove")
    builders.student(drill.cohort, name="Sigrun Aasland")
    context = contexts()
    sign_in(context, drill, "tove", live_server)
    page = opened(context, drill)
    page.get_by_role("link", name="Sigrun Aasland").click()
    page.locator("[name=date]").fill("2025-06-20")
    page.get_by_role("textbox", name="First mark").fill("0930")
    page.get_by_role("textbox", name="Second mark").fill("0946")
    page.get_by_label("plumb line’s shadow").check()
    page.get_by_role("textbox", name="Time of the check").fill("0950")
    page.get_by_role("radio", name="true bearing").check()
    expect(page.get_by_role("textbox", name="Second mark")).to_have_value("0946")
    page.get_by_label("True bearing of the line").fill("350")
    page.get_by_role("button", name="Keep the result").click()
    expect(page.locator(".field-score")).to_contain_text("result −10.0° left")
