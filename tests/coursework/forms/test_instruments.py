"""What is typed when an instrument is checked."""

import pytest
from django.core.exceptions import ValidationError

from coursework.forms.instruments import InstrumentForm, ReadingsField
from tests import builders


@pytest.mark.parametrize(
    ("typed", "readings"),
    [
        ("119 120 121", [119.0, 120.0, 121.0]),
        ("119;120\n121,5", [119.0, 120.0, 121.5]),
        ("  0°  360°\t359.5 ", [0.0, 360.0, 359.5]),
    ],
)
def test_readings_are_apart_by_spaces_semicolons_or_lines(typed, readings):
    assert ReadingsField().clean(typed) == readings


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", "Enter the readings."),
        ("119 120", "There are 2 readings; it takes from 3 to 50."),
        ("119", "There is 1 reading"),
        ("119 120 north", "“north” is not a reading"),
        ("119 120 361", "“361” is not a reading"),
        ("119 120 -1", "“-1” is not a reading"),
        ("119 120 nan", "“nan” is not a reading"),
        ("119 " * 51, "There are 51 readings"),
    ],
)
def test_what_is_no_reading_is_said(typed, said):
    with pytest.raises(ValidationError) as refused:
        ReadingsField().clean(typed)
    assert said in refused.value.messages[0]


def edit(instrument, **typed) -> InstrumentForm:
    fields = {"kind": "compass", "label": "7", "correction_deg": "5", "reading_u_deg": "2"}
    return InstrumentForm(fields | {"check_interval_days": "365"} | typed, instance=instrument)


@pytest.mark.django_db
def test_before_a_check_correction_and_uncertainty_are_typed():
    instrument = edit(builders.instrument()).save()
    assert (instrument.correction_deg, instrument.reading_u_deg) == (5.0, 2.0)


@pytest.mark.django_db
def test_after_a_check_they_are_those_of_the_check():
    made = builders.instrument_check()
    instrument = edit(made.instrument).save()
    assert instrument.correction_deg == made.correction_deg
    assert instrument.reading_u_deg == made.reading_u_deg


@pytest.mark.django_db
def test_another_interval_moves_the_day_it_is_due():
    made = builders.instrument_check()
    instrument = edit(made.instrument, check_interval_days="1").save()
    instrument.refresh_from_db()
    assert f"{instrument.due_on}" == "2026-01-11"
