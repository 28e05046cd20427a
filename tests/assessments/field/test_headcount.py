"""Who is out does not depend on the order in which devices are heard."""

import json
import uuid
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.field.headcount import last_count, who_is_out
from assessments.models import HeadcountEvent

TEN = datetime(2026, 6, 20, 10, 0, tzinfo=UTC)
FIRST, SECOND = uuid.UUID(int=1), uuid.UUID(int=2)


def event(kind, *students, at=0, outing=FIRST, due=None, number=None, key=None):
    return HeadcountEvent(
        key=key or uuid.uuid4(),
        kind=kind,
        outing=outing,
        students=list(students),
        noted_at=TEN + timedelta(minutes=at),
        due_at=None if due is None else TEN + timedelta(minutes=due),
        number=number,
    )


def names(events):
    return [(one.student, one.outing) for one in who_is_out(events)]


def test_those_sent_out_are_out_until_they_are_noted_back():
    events = [event("out", 1, 2, due=30), event("back", 1, at=20)]
    assert names(events) == [(2, FIRST)]


def test_a_return_that_is_heard_before_the_sending_out_counts():
    assert names([event("back", 1, at=20), event("out", 1, due=30)]) == []


def test_a_return_by_a_clock_that_is_wrong_counts():
    assert names([event("out", 1, at=60, due=90), event("back", 1, at=-300)]) == []


def test_sent_out_by_two_devices_both_have_to_say_back():
    events = [event("out", 1, due=30), event("out", 1, outing=SECOND, due=40)]
    assert names([*events, event("back", 1, at=5)]) == [(1, SECOND)]


def test_the_due_time_is_the_one_noted_last():
    events = [event("out", 1, due=30), event("due", at=10, due=60), event("due", at=5, due=45)]
    (out,) = who_is_out(events)
    assert out.due_at == TEN + timedelta(minutes=60)


def test_overdue_begins_at_the_due_minute():
    (out,) = who_is_out([event("out", 1, due=30)])
    assert not out.is_overdue(TEN + timedelta(minutes=29, seconds=59))
    assert out.is_overdue(TEN + timedelta(minutes=30))


def test_the_one_due_first_stands_first_and_without_a_time_last():
    events = [
        event("out", 1, outing=uuid.UUID(int=3)),
        event("out", 2, due=30),
        event("out", 3, outing=SECOND, due=10),
    ]
    assert [student for student, _outing in names(events)] == [3, 2, 1]


def test_the_last_count_is_the_one_noted_last():
    events = [event("count", number=12, at=30, outing=None), event("count", number=11, at=5)]
    assert last_count(events).number == 12
    assert last_count([]) is None


EVENTS = st.lists(
    st.builds(
        event,
        st.sampled_from(["out", "back", "due", "count"]),
        st.integers(1, 4),
        at=st.integers(-60, 60),
        outing=st.sampled_from([FIRST, SECOND]),
        due=st.none() | st.integers(0, 90),
        number=st.integers(0, 12),
        key=st.uuids(),
    ),
    max_size=12,
)


@given(EVENTS, st.randoms(use_true_random=False))
def test_any_order_gives_the_same_people(events, random):
    mixed = list(events)
    random.shuffle(mixed)
    assert who_is_out(mixed) == who_is_out(events)


@pytest.mark.browser
def test_devices_count_as_the_server_does(browser):
    """The script of the pages and the server's own reckoning, over the same events."""
    source = Path("static/field/headcount.js").read_text(encoding="utf-8")
    page = browser.new_page()
    page.evaluate(
        """async (source) => {
            window.count = await import("data:text/javascript," + encodeURIComponent(source));
        }""",
        source,
    )

    @given(EVENTS)
    def agrees(events):
        sent = [
            {
                "key": str(each.key),
                "kind": each.kind,
                "outing": str(each.outing),
                "students": each.students,
                "noted_at": each.noted_at.isoformat(),
                "due_at": each.due_at.isoformat() if each.due_at else None,
            }
            for each in events
        ]
        said = page.evaluate("(events) => count.whoIsOut(JSON.parse(events))", json.dumps(sent))
        told = {(one["student"], one["outing"], one["due_at"]) for one in said}
        own = {
            (one.student, str(one.outing), one.due_at.isoformat() if one.due_at else None)
            for one in who_is_out(events)
        }
        assert told == own

    agrees()
    page.close()
