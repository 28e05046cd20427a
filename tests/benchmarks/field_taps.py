"""Twelve results of a shadow-tip line in the field log: taps and digits counted, time reckoned.

A group marks the first tip together, and a quarter of an hour later each line is finished and
checked by compass, without signal. Taps and digits are what the page itself saw. The human's time
follows from operator times of the keystroke-level model (Card, Moran and Newell 1980, from memory:
pointing 1.1 s, a key of an average typist 0.28 s, making up one's mind 1.35 s); a digit is also
reckoned as slow as a tap, for gloves. How long the page itself took was measured.

    .venv/bin/python -m pytest tests/benchmarks/field_taps.py -q -s
"""

from datetime import UTC, datetime, timedelta
from time import perf_counter

import pytest
from playwright.sync_api import expect

from assessments.models import Attempt
from tests import builders
from tests.assessments import results
from tests.assessments.field.conftest import contexts, quiet_server  # noqa: F401 - fixtures
from tests.assessments.field.hand import kept, sign_in, until, waits

STUDENTS = 12
TAP_S, DIGIT_S, MIND_S = 1.1, 0.28, 1.35
MINDS = 3
"""To whom, whether the time is right, what the needle says: once each for a result."""
COUNTING = """() => {
    window.seen = { taps: 0, keys: 0 };
    addEventListener("pointerdown", () => { window.seen.taps += 1; }, true);
    addEventListener("keydown", () => { window.seen.keys += 1; }, true);
}"""
CHOOSING = 2
"""Taps to choose from a list; a test's browser chooses without any."""


@pytest.fixture
def drill():
    # Near noon there, whenever this is run.
    longitude_deg = (11 - datetime.now(UTC).hour) * 15.0
    site = builders.site(longitude_deg=longitude_deg, zone="UTC")
    cohort = builders.cohort(course=builders.course(school=site.school))
    drill = results.drill(cohort=cohort, site=site, starts_at=datetime.now(UTC))
    builders.lead(cohort, name="Tove Haugland", username="tove")
    builders.instrument(school=site.school)
    for number in range(STUDENTS):
        builders.student(cohort, name=f"Student {number + 1:02}")
    return drill


@pytest.mark.browser
@pytest.mark.django_db(transaction=True)
def test_twelve_results(contexts, drill, live_server):  # noqa: F811
    context = contexts()
    sign_in(context, drill, "tove", live_server)
    page = context.new_page()
    page.clock.install(time=datetime.now(UTC))
    page.goto(f"/field/drills/{drill.pk}/")
    expect(page.get_by_role("link", name="Student 01")).to_be_visible()
    until(page, lambda: kept(page, "forms"))
    context.set_offline(True)
    page.evaluate(COUNTING)
    # The first marks are a quarter of an hour old by the time the second ones are made.
    page.clock.set_system_time(datetime.now(UTC) - timedelta(minutes=15))
    chosen = 0
    began = perf_counter()
    for number in range(STUDENTS):
        page.get_by_role("link", name=f"Student {number + 1:02}").click()
        page.get_by_role("button", name="now: First mark").click()
        until(page, lambda n=number: len(kept(page, "drafts")) == n + 1)
        page.get_by_role("link", name="Another student").click()
    marked = perf_counter() - began
    page.clock.set_system_time(datetime.now(UTC))
    began = perf_counter()
    for number in range(STUDENTS):
        page.get_by_role("link", name=f"Student {number + 1:02}").click()
        page.get_by_role("button", name="now: Second mark").click()
        instrument = page.get_by_label("Instrument")
        if not instrument.input_value():
            instrument.select_option(index=1)
            chosen += 1
        page.get_by_label("Compass reading").click()
        page.keyboard.type(f"{(352 + number) % 360:03}")
        page.get_by_role("button", name="Keep the result").click()
        expect(page.get_by_role("heading", name="Whose result?")).to_be_visible()
    finished = perf_counter() - began
    waits(page, STUDENTS)
    taps, digits = page.evaluate("[window.seen.taps, window.seen.keys]")
    context.set_offline(False)
    page.get_by_role("link", name="wait to be sent").click()
    page.get_by_role("button", name="Send now").click()
    waits(page, 0)
    assert Attempt.objects.count() == STUDENTS
    taps += chosen * CHOOSING
    minds_s = MINDS * STUDENTS * MIND_S
    quick, gloved = (taps * TAP_S + digits * each + minds_s for each in (DIGIT_S, TAP_S))
    print(
        f"\n{STUDENTS} results: {taps} taps ({taps / STUDENTS:.1f} each), {digits} digits "
        f"({digits / STUDENTS:.1f} each), an instrument chosen {chosen} time(s); "
        f"a hand needs {quick:.0f} s, in gloves {gloved:.0f} s, for all twelve; "
        f"the page itself took {marked + finished:.1f} s of a script's run."
    )
