"""From what was observed and the drill to one row of the batch format."""

from dataclasses import replace

import pytest

from assessments.observations import (
    ROW_COLUMNS,
    Observation,
    local_time,
    number_text,
    setting_of,
)
from coursework.models import Instrument, ReferenceMark
from solar.columns import BESIDE_FILE, COLUMNS
from tests.assessments import results

COMPASS = Instrument(kind="compass", correction_deg=-1.5, reading_u_deg=1.0)
PROTRACTOR = Instrument(kind="protractor", correction_deg=3.0, reading_u_deg=0.5)


def filled(check="compass", instrument=None, mark=None, **columns):
    observation = Observation(columns={"check": check} | columns, instrument=instrument, mark=mark)
    return observation.filled()


def test_the_row_has_the_columns_that_the_engine_takes():
    assert set(ROW_COLUMNS) == {*COLUMNS, *BESIDE_FILE}


def test_what_was_entered_goes_before_what_the_instrument_says():
    row = filled(instrument=COMPASS, correction_deg="2", reading_u_deg="3")
    assert (row["correction_deg"], row["reading_u_deg"]) == ("2", "3")


def test_the_instrument_fills_in_what_was_left_blank():
    row = filled(instrument=COMPASS)
    assert (row["correction_deg"], row["reading_u_deg"]) == ("-1.5", "1")


def test_a_protractor_corrects_no_compass():
    row = filled(check="shadow", instrument=PROTRACTOR)
    assert (row["correction_deg"], row["reading_u_deg"]) == ("", "0.5")


def test_the_mark_gives_its_bearing_where_none_was_entered():
    mark = ReferenceMark(name="Spire", bearing_deg=204.6)
    assert filled(check="landmark", mark=mark)["landmark_deg"] == "204.6"


def test_the_mark_says_how_sure_its_bearing_is():
    mark = ReferenceMark(name="Spire", bearing_deg=204.6, bearing_u_deg=0.2)
    assert filled(check="landmark", mark=mark)["landmark_u_deg"] == "0.2"
    assert filled(check="landmark", mark=mark, landmark_u_deg="0.4")["landmark_u_deg"] == "0.4"


def test_a_column_that_is_no_part_of_an_observation_is_an_error():
    with pytest.raises(ValueError, match="tolerance_deg"):
        filled(tolerance_deg="1")


@pytest.mark.parametrize(
    ("value", "text"), [(0.0, "0"), (-0.0, "0"), (1e-5, "0.00001"), (360.0, "360"), (-2.5, "-2.5")]
)
def test_numbers_are_written_without_exponent(value, text):
    assert number_text(value) == text


def test_a_time_without_offset_is_read_on_the_clock_of_the_place():
    assert local_time("2025-06-20T09:30", "Europe/Zurich").isoformat() == (
        "2025-06-20T09:30:00+02:00"
    )


def test_a_time_with_offset_is_put_on_the_clock_of_the_place():
    assert local_time("2025-06-20T07:30:00+00:00", "Europe/Zurich").hour == 9


@pytest.mark.django_db
def test_place_and_standard_come_from_the_drill():
    drill = results.drill()
    drill.site.horizon, drill.exercise.rule = "90:4.5", "plain"
    row = setting_of(drill)
    assert (row["lat"], row["lon"], row["zone"]) == ("46.72", "8.18", "Europe/Zurich")
    assert (row["horizon"], row["tolerance_deg"], row["rule"]) == ("90:4.5", "15", "plain")


def test_an_observation_is_replaced_and_never_changed():
    observation = Observation(columns={"check": "direct"})
    other = replace(observation, sky="haze")
    assert (observation.sky, other.sky) == ("", "haze")
