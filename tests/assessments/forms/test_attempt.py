"""The result form: only the fields that method and check need, each with its own sentence."""

import pytest
from django.http import QueryDict

from assessments.forms.attempt import CorrectionForm, LogForm
from assessments.forms.setting import Setting
from assessments.observations import BLANK_MEANS
from assessments.services import Refused
from tests import builders
from tests.assessments import results

pytestmark = pytest.mark.django_db

COMMON = {"date": "2025-06-20", "check": "direct", "reading_deg": "350", "stick_m": "1"}
COMMON |= {"mark_u_mm": "5", "key": "6d6f8a0e-0f57-4f0b-9d6e-5b1f0a3c7d11"}
TYPED = {
    "shadow-tip": {"mark_1": "09:30", "mark_2": "09:46"},
    "first-last": {"timing": "day"},
    "equal-shadow": {"mark_1": "10:00"},
    "shortest-shadow": {"mark_1": "13:28"},
    "hands": {"mark_1": "09:10", "hands": "3,5", "rule_deg_per_hand": "15"},
    "watch": {"mark_1": "16:10"},
    "pole-star": {"mark_1": "23:30"},
    "southern-cross": {"mark_1": "23:30"},
}
CHECKS = {
    "compass": {"reading_deg"},
    "shadow": {"reading_deg", "check_time"},
    "landmark": {"reading_deg", "landmark"},
    "direct": {"reading_deg"},
}


def setting_of(method="shadow-tip", *, student=None, **fields) -> Setting:
    drill = results.drill(method, **fields)
    return Setting.of_drill(drill, student or builders.student(drill.cohort))


def filled(method="shadow-tip", *, setting=None, leave_out=(), **typed) -> LogForm:
    data = {**COMMON, **TYPED[method], **typed}
    for name in leave_out:
        del data[name]
    return LogForm(data, setting=setting or setting_of(method))


def columns_of(form) -> dict:
    assert form.is_valid(), form.errors
    return form.observation.columns


def sentence(form, name) -> str:
    assert not form.is_valid()
    return form.errors[name][0]


@pytest.mark.parametrize("method", results.LINES)
def test_what_each_method_needs_is_enough(method):
    assert columns_of(filled(method))["reading_deg"] == "350"


@pytest.mark.parametrize("method", results.LINES)
def test_what_is_typed_scores_as_the_same_batch_row(method):
    drill = results.drill(method)
    student = builders.student(drill.cohort)
    form = filled(method, setting=Setting.of_drill(drill, student))
    assert form.is_valid(), form.errors
    given = {name: text for name, text in form.observation.columns.items() if text}
    expected = results.observation(method).columns | {"degrees_per_hand": ""}
    for name, text in expected.items():
        assert given.get(name, "") == text, name


@pytest.mark.parametrize("check", CHECKS)
def test_each_check_asks_only_for_what_it_needs(check):
    form = filled(check=check, leave_out=["reading_deg"])
    assert not form.is_valid()
    assert set(form.errors) == CHECKS[check]


@pytest.mark.parametrize("method", results.LINES)
def test_blank_forms_name_what_is_missing(method):
    form = LogForm({"check": "compass"}, setting=setting_of(method))
    assert not form.is_valid()
    assert "reading_deg" in form.errors
    assert form.errors["date"] == ["Enter the date."]


def test_a_shadow_tip_needs_two_marks():
    assert sentence(filled(leave_out=["mark_2"]), "mark_2") == "Enter the time."


def test_more_marks_are_taken_and_blank_ones_left_out():
    form = filled(mark_count="4", mark_3="10:01:30", mark_4="")
    assert columns_of(form)["times"].count(";") == 2


def test_a_bad_time_has_its_sentence_at_its_own_mark():
    form = filled(mark_count="3", mark_3="25:00")
    assert "no time of day" in sentence(form, "mark_3")
    assert set(form.errors) == {"mark_3"}


def test_first_and_last_need_both_times_where_they_were_timed():
    form = filled("first-last", timing="recorded", mark_1="07:00")
    assert "choose computed times" in sentence(form, "mark_2")


def test_first_and_last_over_a_night_have_two_dates():
    form = filled(
        "first-last", timing="recorded", mark_1="20:30", mark_2="06:30", date_2="2025-06-21"
    )
    assert columns_of(form)["times"] == "2025-06-20T20:30:00+02:00;2025-06-21T06:30:00+02:00"


def test_computed_times_leave_no_room_for_typed_ones():
    assert "Leave this blank" in sentence(filled("first-last", mark_1="07:00"), "mark_1")


def test_the_hand_that_was_measured_is_filled_in():
    drill = results.drill("hands")
    student = builders.student(drill.cohort, degrees_per_hand=8.5)
    form = LogForm(setting=Setting.of_drill(drill, student))
    assert form["degrees_per_hand"].value() == "8.5"


@pytest.mark.parametrize(
    ("size", "side", "text"),
    [("", "left", ""), ("0", "left", "0"), ("18", "right", "18"), ("18", "left", "-18")],
)
def test_a_declared_correction_has_a_size_and_a_side(size, side, text):
    form = filled(student_correction=size, student_correction_side=side)
    assert columns_of(form)["student_correction_deg"] == text


def test_a_declination_of_ones_own_has_a_size_and_a_side():
    form = filled(check="compass", declination="4,5", declination_side="west")
    assert columns_of(form)["declination_deg"] == "-4.5"


def test_a_shadow_check_after_a_computed_night_is_on_the_next_morning():
    form = filled("first-last", timing="night", check="shadow", check_time="08:00")
    assert columns_of(form)["check_time"] == "2025-06-21T08:00:00+02:00"


def test_only_compasses_of_the_school_are_offered_to_a_compass_check():
    setting = setting_of()
    school = builders.school()
    theirs = builders.instrument(school=school, kind="compass")
    form = filled(setting=setting, check="compass", instrument=str(theirs.pk))
    assert not form.is_valid()
    assert "instrument" in form.errors


@pytest.mark.parametrize(
    ("column", "name"),
    [
        ("times", "mark_2"),
        ("reading_deg", "reading_deg"),
        ("student_correction_deg", "student_correction"),
        ("stick_m", "stick_m"),
        ("lat", "__all__"),
        ("", "__all__"),
    ],
)
def test_a_refusal_stands_at_the_field_it_is_about(column, name):
    form = filled()
    assert form.is_valid()
    form.refuse(Refused(column, "No."))
    assert form.errors[name] == ["No."]


def test_a_refusal_of_computed_times_stands_where_they_were_chosen():
    form = filled("first-last")
    assert form.is_valid()
    form.refuse(Refused("date", "No rise."))
    assert form.errors["date"] == ["No rise."]


def test_another_check_keeps_what_was_typed_and_judges_nothing():
    posted = QueryDict(mutable=True)
    posted.update({**COMMON, "check": "landmark", "mark_1": "later", "sky": "haze", "show": "1"})
    form = LogForm.redrawn(posted, setting=setting_of())
    assert "landmark" in form.fields
    assert (form["mark_1"].value(), form["sky"].value()) == ("later", "haze")
    assert form["key"].value() == COMMON["key"]
    assert not form.errors


@pytest.mark.parametrize(("count", "marks"), [("2", 3), ("11", 12), ("12", 12), ("x", 3)])
def test_another_mark_is_added_up_to_twelve(count, marks):
    posted = QueryDict(mutable=True)
    posted.update({**COMMON, "mark_count": count, "add_mark": "1"})
    form = LogForm.redrawn(posted, setting=setting_of())
    assert len(form.part.mark_names) == marks


def test_the_next_result_starts_with_the_check_of_the_last():
    compass_drill = results.drill()
    compass = builders.instrument(school=compass_drill.site.school, correction_deg=2.0)
    attempt = results.attempt(
        of=compass_drill,
        columns={"check": "compass", "declination_deg": "-3"},
        instrument=compass,
        sky="haze",
    )
    setting = Setting.of_drill(compass_drill, attempt.student)
    carried = LogForm.carried(setting, attempt.current)
    assert carried["check"] == "compass"
    assert carried["instrument"] == compass.pk
    assert (carried["declination"], carried["declination_side"]) == ("3", "west")
    # The instrument's own correction is not written out: it may be mended before the next one.
    assert carried["correction"] == ""
    assert carried["sky"] == "haze"
    assert "reading_deg" not in carried


@pytest.mark.parametrize("method", results.LINES)
@pytest.mark.parametrize("check", CHECKS)
def test_a_record_opened_for_correction_and_sent_back_is_the_same(method, check):
    drill = results.drill(method)
    mark = builders.mark(site=drill.site)
    columns = {"check": check, "student_correction_deg": "-5"}
    if check == "shadow":
        columns["check_time"] = "2025-06-20T17:00:00+02:00"
    attempt = results.attempt(
        method, of=drill, columns=columns, mark=mark if check == "landmark" else None
    )
    revision = attempt.current
    setting = Setting.of_revision(revision)
    empty = CorrectionForm(initial=CorrectionForm.initial_of(setting, revision), setting=setting)
    data = {name: empty[name].value() for name in empty.fields}
    data = {name: value for name, value in data.items() if value is not None}
    form = CorrectionForm(data | {"reason": "None."}, setting=setting)
    assert form.is_valid(), form.errors
    filled_again = form.observation.filled()
    for name, text in filled_again.items():
        usual = BLANK_MEANS.get(name, "") if name in form.fields else ""
        assert text == (revision.inputs[name] or usual), name
