import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solar.faults import Faults
from solar.read_numbers import LARGEST, Range, number_column

ANY = Range(-math.inf, math.inf, "degrees")


def read(*texts, allowed=ANY, blank=math.nan, required=False, used=None):
    """Values and sentences of a column named lat."""
    faults = Faults({"method": [""] * len(texts), "lat": list(texts)})
    values = number_column(
        "lat", list(texts), allowed, faults, blank=blank, required=required, used=used
    )
    return values.tolist(), faults.sentence.tolist()


@pytest.mark.parametrize(
    ("text", "value"),
    [("0", 0), ("-0", 0), ("+5", 5), ("1e2", 100), ("1E-2", 0.01), (".5", 0.5), ("5.", 5),
     ("-12.25", -12.25), ("007", 7), ("1e-400", 0)],
)  # fmt: skip
def test_plain_and_scientific_numbers_are_read(text, value):
    assert read(text) == ([value], [""])


@pytest.mark.parametrize(
    "text",
    ["nan", "NaN", "inf", "-inf", "Infinity", "1e400", "-1e400", "1,5", "1_0", "0x10", "--1", "1e",
     "e5", ".", "1 2", "٣", "９", "½", "−5", "5°", "north", "\x00", "\u200b1", "💥", "1e5e5"],
)  # fmt: skip
def test_whatever_is_no_finite_number_is_refused(text):
    values, sentences = read(text)
    assert math.isnan(values[0])
    assert sentences == [f"lat “{text}”: it is not a finite number."]


@pytest.mark.parametrize("text", ["1e9", "-1e9"])
def test_the_largest_measurement_is_taken(text):
    assert read(text) == ([float(text)], [""])


@pytest.mark.parametrize("text", ["1000000001", "-1.1e9", "1e308"])
def test_a_number_beyond_any_measurement_is_refused(text):
    values, sentences = read(text)
    assert math.isnan(values[0])
    assert "too large" in sentences[0]


def test_blank_is_the_value_that_blank_means():
    assert read("", "7", blank=15.0) == ([15.0, 7.0], ["", ""])
    assert read("", "", blank=15.0) == ([15.0, 15.0], ["", ""])


def test_blank_is_refused_where_the_column_is_required():
    _, sentences = read("", "7", required=True)
    assert sentences == ["lat is blank: it is required.", ""]


@pytest.mark.parametrize(
    ("allowed", "inside", "outside", "words"),
    [
        (Range(0, 45, "degrees"), ("0", "45"), ("-0.001", "45.001"), "from 0 to 45 degrees"),
        (Range(0, 12, "hands", above_lowest=True), ("0.001", "12"), ("0", "12.001"),
         "more than 0 and at most 12 hands"),
        (Range(0, math.inf, "metres", above_lowest=True), ("1e-9", "1e9"), ("0", "-1"),
         "more than 0 metres"),
        (Range(0, math.inf, "degrees"), ("0", "1e9"), ("-0.001",), "at least 0 degrees"),
    ],
)  # fmt: skip
def test_a_range_takes_its_limits_and_refuses_one_step_beyond(allowed, inside, outside, words):
    assert read(*inside, allowed=allowed)[1] == [""] * len(inside)
    values, sentences = read(*outside, allowed=allowed)
    assert all(map(math.isnan, values))
    assert all(sentence.endswith(f"it must be {words}.") for sentence in sentences)


def test_the_range_does_not_count_where_the_row_has_no_use_for_the_value():
    allowed = Range(0, 12, "hands")
    _, sentences = read("99", "99", "x", allowed=allowed, used=np.array([True, False, False]))
    assert [bool(sentence) for sentence in sentences] == [True, False, True]


@given(st.floats(-LARGEST, LARGEST))
def test_a_number_as_python_writes_it_reads_back_exactly(value):
    assert read(repr(value)) == ([value], [""])


@given(st.text(max_size=12))
def test_any_text_is_a_finite_number_or_has_its_sentence(text):
    values, sentences = read(text, blank=1.0)
    assert math.isfinite(values[0]) is not bool(sentences[0])
