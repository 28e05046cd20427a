"""What a device sends is stored once, or comes back with a sentence."""

from datetime import UTC, datetime, timedelta

import pytest
from django.utils import timezone

from assessments.field.reading import Unreadable
from assessments.field.sending import receive
from assessments.models import Arrival, Attempt, FieldDevice, HeadcountEvent, LeadNote
from tests import builders
from tests.assessments.field.messages import (
    CLOCK,
    DEVICE,
    FIELDS,
    NOTED,
    crew,
    headcount,
    message,
    note,
    result,
)

pytestmark = pytest.mark.django_db


def only(answers):
    (answer,) = answers.values()
    return answer


def test_a_result_is_stored_and_answered_with_its_score():
    drill, lead, student = crew()
    item = result(drill, student)
    answer = receive(lead, message(item))[item["key"]]
    assert answer["state"] == "stored"
    assert answer["score"]["parts"][0] == ["result", "−10.0° left"]
    attempt = Attempt.objects.get(key=item["key"])
    assert attempt.current.inputs["times"] == "2025-06-20T09:30:00+02:00;2025-06-20T09:46:00+02:00"
    assert attempt.current.recorded_by == lead


def test_the_device_and_its_clock_stand_beside_the_result():
    drill, lead, student = crew()
    receive(lead, message(result(drill, student)))
    arrival = Arrival.objects.get()
    assert (str(arrival.device), arrival.made_at, arrival.offset_ms) == (DEVICE, NOTED, -1500)


def test_a_clock_that_was_never_compared_is_recorded_as_unknown():
    drill, lead, student = crew()
    receive(lead, message(result(drill, student, offset_ms=None)))
    assert Arrival.objects.get().offset_ms is None


def test_the_same_result_sent_again_is_one():
    drill, lead, student = crew()
    item = result(drill, student)
    first = only(receive(lead, message(item)))
    again = only(receive(lead, message(item)))
    assert again == first | {"state": "already"}
    assert Attempt.objects.count() == 1


@pytest.mark.parametrize("change", ["withdrawn", "cancelled", "standard"])
def test_what_was_stored_stays_stored_whatever_changed_before_it_was_sent_again(change):
    drill, lead, student = crew()
    item = result(drill, student)
    receive(lead, message(item))
    make(change, drill, student)
    assert only(receive(lead, message(item)))["state"] == "already"


def test_the_same_key_with_other_content_is_refused():
    drill, lead, student = crew()
    item = result(drill, student)
    receive(lead, message(item))
    other = item | {"fields": FIELDS | {"reading_deg": "10"}}
    answer = only(receive(lead, message(other)))
    assert answer["state"] == "refused"
    assert answer["address"] == Attempt.objects.get().get_absolute_url()
    assert Attempt.objects.get().current.inputs["reading_deg"] == "350"


def test_the_key_of_another_persons_result_is_refused():
    drill, lead, student = crew()
    item = result(drill, student)
    receive(lead, message(item))
    answer = only(receive(builders.assistant(drill.cohort), message(item)))
    assert answer["state"] == "refused"


def make(change, drill, student):
    if change == "withdrawn":
        student.enrolments.all().delete()
    elif change == "cancelled":
        drill.cancelled_at, drill.cancel_reason = timezone.now(), "thunder"
        drill.save()
    elif change == "standard":
        drill.exercise.tolerance = 5.0
        drill.exercise.save()
    elif change == "deleted":
        drill.delete()


@pytest.mark.parametrize(
    ("change", "problem", "words"),
    [
        ("withdrawn", "student", "no longer in the drill’s cohort"),
        ("cancelled", "cancelled", "thunder"),
        ("standard", "standard", "Within 5°"),
        ("deleted", "drill", "no longer there"),
    ],
)
def test_what_changed_meanwhile_comes_back_to_be_resolved(change, problem, words):
    drill, lead, student = crew()
    item = result(drill, student)
    make(change, drill, student)
    answer = only(receive(lead, message(item)))
    assert (answer["state"], answer["problem"]) == ("conflict", problem)
    assert words in answer["sentence"]
    assert not Attempt.objects.exists()


def test_a_cancelled_drill_takes_a_result_that_is_sent_all_the_same():
    drill, lead, student = crew()
    make("cancelled", drill, student)
    answer = only(receive(lead, message(result(drill, student, accepted=["cancelled"]))))
    assert answer["state"] == "stored"


def test_a_changed_standard_is_accepted_by_name_and_no_other():
    drill, lead, student = crew()
    item = result(drill, student)
    make("standard", drill, student)
    told = only(receive(lead, message(item)))["standard"]
    make_again = item | {"accepted": [told]}
    drill.exercise.tolerance = 4.0
    drill.exercise.save()
    assert only(receive(lead, message(make_again)))["problem"] == "standard"
    drill.exercise.tolerance = 5.0
    drill.exercise.save()
    assert only(receive(lead, message(make_again)))["state"] == "stored"


def test_practice_noted_does_not_become_assessed_in_silence():
    drill, lead, student = crew(assessed=False)
    item = result(drill, student)
    drill.assessed = True
    drill.save()
    assert only(receive(lead, message(item)))["problem"] == "standard"


@pytest.mark.parametrize(
    ("fields", "field"),
    [
        ({"mark_2": "half past"}, "mark_2"),
        ({"reading_deg": ""}, "reading_deg"),
        ({"reading_deg": "400"}, "reading_deg"),
        ({"mark_2": "0930"}, "mark_2"),
    ],
)
def test_a_bad_value_comes_back_beside_its_field(fields, field):
    drill, lead, student = crew()
    answer = only(receive(lead, message(result(drill, student, fields=FIELDS | fields))))
    assert answer["state"] == "refused"
    assert field in [error["field"] for error in answer["errors"]]
    assert all(error["sentence"] for error in answer["errors"])
    assert not Attempt.objects.exists()


def test_one_refused_result_holds_up_none_of_the_others():
    drill, lead, student = crew()
    bad = result(drill, student, fields=FIELDS | {"reading_deg": "x"})
    good = [result(drill, student) for _ in range(2)]
    answers = receive(lead, message(good[0], bad, good[1]))
    assert [answers[item["key"]]["state"] for item in (good[0], bad, good[1])] == [
        "stored",
        "refused",
        "stored",
    ]


def test_a_mended_result_is_stored_under_the_key_it_had():
    drill, lead, student = crew()
    bad = result(drill, student, fields=FIELDS | {"reading_deg": "x"})
    receive(lead, message(bad))
    receive(lead, message(bad | {"fields": FIELDS}))
    assert str(Attempt.objects.get().key) == bad["key"]


@pytest.mark.parametrize("role", ["student", "stranger"])
def test_whoever_does_not_log_there_stores_nothing(role):
    drill, _lead, student = crew()
    by = student if role == "student" else builders.lead(builders.cohort())
    answer = only(receive(by, message(result(drill, student))))
    assert (answer["state"], answer["problem"]) == ("conflict", "drill")
    assert not Attempt.objects.exists()


@pytest.mark.parametrize(
    "broken",
    [
        {"drill": "7"},
        {"key": "none"},
        {"made_at": "yesterday"},
        {"made_at": "2025-06-20T08:00:00"},
        {"fields": []},
        {"fields": {"mark_1": 3}},
        {"offset_ms": "slow"},
        {"student": True},
    ],
)
def test_an_item_that_cannot_be_read_is_refused_alone(broken):
    drill, lead, student = crew()
    good = result(drill, student)
    answers = receive(lead, message(result(drill, student) | broken, good))
    assert answers.pop(good["key"])["state"] == "stored"
    assert only(answers)["state"] == "refused"


@pytest.mark.parametrize(
    "broken",
    [{"device": "mine"}, {"clock": None}, {"results": {}}, {"results": [1]}, {"waiting": -1}],
)
def test_a_message_that_cannot_be_read_is_refused_as_a_whole(broken):
    drill, lead, student = crew()
    with pytest.raises(Unreadable):
        receive(lead, message(result(drill, student), **broken))
    assert not Attempt.objects.exists()


def test_a_device_that_was_heard_is_remembered_with_its_clock():
    _drill, lead, _student = crew()
    slow = datetime.fromisoformat(CLOCK) + timedelta(minutes=3)
    receive(lead, message(waiting=4), now=slow)
    receive(lead, message(waiting=2), now=slow)
    device = FieldDevice.objects.get()
    assert (device.person, device.waiting, device.offset_ms) == (lead, 2, 180_000)


def test_a_headcount_is_stored_once():
    drill, lead, student = crew()
    due = datetime(2025, 6, 20, 9, 0, tzinfo=UTC)
    item = headcount(drill, students=[student.pk], due_at=due.isoformat())
    states = [only(receive(lead, message(item)))["state"] for _ in range(2)]
    assert states == ["stored", "already"]
    event = HeadcountEvent.objects.get()
    assert (event.kind, event.students, event.due_at) == ("out", [student.pk], due)


def test_a_student_taken_out_of_the_cohort_can_still_be_noted_back():
    drill, lead, student = crew()
    student.enrolments.all().delete()
    item = headcount(drill, "back", students=[student.pk])
    assert only(receive(lead, message(item)))["state"] == "stored"


def test_nobody_of_another_school_is_sent_out():
    drill, lead, _student = crew()
    stranger = builders.person()
    item = headcount(drill, students=[stranger.pk])
    assert only(receive(lead, message(item)))["state"] == "refused"
    assert not HeadcountEvent.objects.exists()


def test_a_note_for_the_lead_is_kept_once_with_what_was_entered():
    drill, lead, _student = crew()
    item = note(drill)
    states = [only(receive(lead, message(item)))["state"] for _ in range(2)]
    assert states == ["stored", "already"]
    kept = LeadNote.objects.get()
    assert (kept.cohort, kept.said) == (drill.cohort, [["First mark", "09:30"]])


def test_a_note_about_a_drill_that_is_gone_goes_to_the_school():
    drill, lead, _student = crew()
    item = note(drill)
    drill.delete()
    assert only(receive(lead, message(item)))["state"] == "stored"
    assert LeadNote.objects.get().school == lead.school


def test_an_unknown_key_is_answered_under_what_was_sent():
    drill, lead, student = crew()
    assert set(receive(lead, message(result(drill, student, key="x")))) == {"x"}
