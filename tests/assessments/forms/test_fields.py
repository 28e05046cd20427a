"""Numbers and times as people type them."""

from datetime import date, datetime

import pytest
from django.core.exceptions import ValidationError
from hypothesis import given
from hypothesis import strategies as st

from assessments.forms.fields import (
    NumberField,
    clock_text,
    read_clock,
    signed_text,
    size_and_side,
)

DAY = date(2025, 6, 20)
ZONE = "Europe/Zurich"


@pytest.mark.parametrize(
    ("typed", "text"),
    [
        ("12", "12"),
        ("12.5", "12.5"),
        ("12,5", "12.5"),
        (" 12,50 ", "12.5"),
        ("12°", "12"),
        (".5", "0.5"),
        ("−3", "-3"),
        ("-0", "0"),
    ],
)
def test_a_number_is_taken_with_comma_or_point(typed, text):
    assert NumberField().clean(typed) == text


@pytest.mark.parametrize("typed", ["abc", "1e3", "1_0", "nan", "inf", "1,2,3", "--1", "１２"])
def test_what_is_not_a_number_is_named(typed):
    with pytest.raises(ValidationError, match="is not a number"):
        NumberField().clean(typed)


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("-0.1", "Must be from 0 to 360."),
        ("360.1", "Must be from 0 to 360."),
        ("0", None),
        ("360", None),
    ],
)
def test_a_range_holds_its_limits(typed, sentence):
    field = NumberField(lowest=0.0, highest=360.0)
    if sentence is None:
        assert field.clean(typed) == typed
    else:
        with pytest.raises(ValidationError) as caught:
            field.clean(typed)
        assert caught.value.messages == [sentence]


@pytest.mark.parametrize(("typed", "is_taken"), [("0", False), ("0.001", True)])
def test_a_length_has_to_be_more_than_nothing(typed, is_taken):
    field = NumberField(above=0.0)
    if is_taken:
        assert field.clean(typed) == typed
    else:
        with pytest.raises(ValidationError, match="more than 0"):
            field.clean(typed)


def test_a_missing_number_has_its_own_sentence():
    with pytest.raises(ValidationError, match="Enter the reading"):
        NumberField(missing="Enter the reading.").clean(" ")


@pytest.mark.parametrize(
    "typed", ["9:15", "09:15", "9.15", "0915", "915", "09:15:00", "091500", "2025-06-20 09:15"]
)
def test_a_time_is_taken_as_people_write_it(typed):
    moment = read_clock(typed, day=DAY, zone=ZONE)
    assert moment.isoformat() == "2025-06-20T09:15:00+02:00"


def test_a_date_before_the_time_is_another_day():
    moment = read_clock("2025-06-21 00:10", day=DAY, zone=ZONE)
    assert moment.isoformat() == "2025-06-21T00:10:00+02:00"


@pytest.mark.parametrize("typed", ["25:00", "09:61", "09:15:99"])
def test_a_time_that_no_clock_shows_is_refused(typed):
    with pytest.raises(ValidationError, match="no time of day"):
        read_clock(typed, day=DAY, zone=ZONE)


@pytest.mark.parametrize("typed", ["nine", "9", "9:1", "09:15 pm", "09:15+2"])
def test_what_is_not_a_time_is_named(typed):
    with pytest.raises(ValidationError, match="is not a time"):
        read_clock(typed, day=DAY, zone=ZONE)


def test_a_date_that_does_not_exist_is_refused():
    with pytest.raises(ValidationError, match="is not a date"):
        read_clock("2025-02-30 09:15", day=DAY, zone=ZONE)


def test_a_time_that_the_clocks_left_out_is_refused():
    with pytest.raises(ValidationError, match="02:30 on 30 Mar 2025 does not exist in"):
        read_clock("02:30", day=date(2025, 3, 30), zone=ZONE)


def test_a_time_that_was_shown_twice_needs_its_offset():
    with pytest.raises(ValidationError, match="happens twice") as refused:
        read_clock("02:30", day=date(2025, 10, 26), zone=ZONE)
    assert "Write 02:30+02:00 for the first time, 02:30+01:00 for" in refused.value.messages[0]
    moment = read_clock("02:30+01:00", day=date(2025, 10, 26), zone=ZONE)
    assert moment == datetime.fromisoformat("2025-10-26T01:30:00+00:00")


@given(st.datetimes(datetime(1990, 1, 1), datetime(2050, 1, 1)))
def test_a_time_written_out_is_read_back(naive):
    naive = naive.replace(microsecond=0)
    moment = read_clock(f"{naive}", day=DAY, zone="UTC")
    assert read_clock(clock_text(moment, day=DAY), day=DAY, zone="UTC") == moment


@given(st.text(max_size=30))
def test_any_text_is_a_time_or_a_sentence(typed):
    try:
        assert read_clock(typed, day=DAY, zone=ZONE).utcoffset() is not None
    except ValidationError as error:
        assert error.messages[0].endswith((".", "offset."))


@pytest.mark.parametrize("signed", ["12.5", "-12.5", "0", ""])
def test_a_size_and_a_side_make_the_signed_number_again(signed):
    assert signed_text(*size_and_side(signed, ("right", "left"))) == signed


def test_nothing_to_the_left_is_nothing():
    assert signed_text("0", "left") == "0"
