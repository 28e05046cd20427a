"""Recorded observations as labels and values."""

import pytest

from assessments.sheets.observed import observation_rows

ROW = {
    "method": "shadow-tip",
    "zone": "Europe/Oslo",
    "times": "2026-06-21T09:00;2026-06-21T09:15:30",
    "check": "compass",
    "reading_deg": "341",
    "reading_u_deg": "1.5",
}


def rows_of(facts=None, **changes) -> dict[str, str]:
    return dict(observation_rows(ROW | changes, facts or {}))


def test_marks_are_numbered_with_local_time_and_its_name():
    rows = rows_of()
    assert rows["Mark 1 of 2"] == "21 June 2026, 09:00 CEST"
    assert rows["Mark 2 of 2"] == "21 June 2026, 09:15:30 CEST"


def test_a_zone_without_a_name_is_given_by_its_offset():
    assert rows_of(zone="America/Bogota")["Mark 1 of 2"] == "21 June 2026, 09:00 UTC-05:00"


def test_blank_values_are_left_out():
    assert "Instrument" not in rows_of()
    assert "Declination, instructor’s own" not in rows_of()


@pytest.mark.parametrize(
    ("check", "label"),
    [
        ("compass", "Compass reading"),
        ("shadow", "Clockwise from the shadow"),
        ("landmark", "Clockwise from the mark"),
        ("direct", "True bearing"),
    ],
)
def test_each_check_names_its_reading(check, label):
    assert rows_of(check=check)[label] == "341°"


def test_a_landmark_check_names_the_mark_and_its_bearing():
    rows = rows_of({"mark": "Ness tower"}, check="landmark", landmark_deg="312.4")
    assert rows["Reference mark"] == "Ness tower"
    assert rows["True bearing of the mark"] == "312.4°"


def test_computed_shadows_name_their_date_and_order():
    rows = rows_of(method="first-last", times="", date="2026-06-21", order="night")
    assert rows["Date"] == "21 June 2026"
    assert rows["Shadows"] == "set of that day and the next rise, computed"


def test_hands_say_whether_the_hand_was_measured():
    hands = {"method": "hands", "times": "2026-06-21T09:00", "hands": "3.5"}
    assert rows_of({"hand_measured": False}, **hands)["A hand covers"] == "not measured"
    measured = rows_of({"hand_measured": True}, **hands, degrees_per_hand="9.5")
    assert measured["A hand covers"] == "9.5°"
    assert measured["Rule"] == "15° a hand"


def test_a_declared_correction_carries_its_side():
    assert rows_of(student_correction_deg="-12")["Correction declared"] == "12.0° to the left"


def test_a_declared_correction_of_nothing_is_kept():
    assert rows_of(student_correction_deg="0")["Correction declared"] == "0.0°"
