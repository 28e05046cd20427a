"""Angles, positions and times as pages write them."""

from datetime import UTC, datetime

import pytest

from coursework.templatetags import coursework as tags


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (2.14, "2.1° to the right"),
        (-17.66, "17.7° to the left"),
        (0.04, "0.0°"),
        (-0.04, "0.0°"),
        (None, "–"),
    ],
)
def test_a_signed_angle_says_its_side(value, text):
    assert tags.side(value) == text


@pytest.mark.parametrize(
    ("value", "text"),
    [(8, "008°"), (45.04, "045°"), (301.5, "301.5°"), (359.96, "000°"), (360.0, "000°")],
)
def test_a_bearing_has_three_places(value, text):
    assert tags.bearing(value) == text


@pytest.mark.parametrize(("value", "text"), [(15.0, "15°"), (4.5, "4.5°"), (-2.0, "−2°")])
def test_an_angle_as_entered_has_no_idle_zeros(value, text):
    assert tags.short_degrees(value) == text


def test_an_angle_without_a_value_is_a_dash():
    assert (tags.degrees(None), tags.degrees(2.149)) == ("–", "2.1°")


def test_positions_name_their_hemisphere():
    assert (tags.latitude(46.72), tags.latitude(-44.26)) == ("46.7200° N", "44.2600° S")
    assert (tags.longitude(8.183), tags.longitude(-70.5)) == ("8.1830° E", "70.5000° W")


@pytest.mark.parametrize(
    ("zone", "text"),
    [
        ("Europe/Zurich", "Sat 20 June 2026, 09:30 CEST"),
        ("America/Sao_Paulo", "Sat 20 June 2026, 04:30 UTC-03"),
    ],
)
def test_a_time_is_local_and_names_its_zone(zone, text):
    assert tags.local_time(datetime(2026, 6, 20, 7, 30, tzinfo=UTC), zone) == text


def test_the_time_of_day_names_its_zone_too():
    assert tags.local_hour(datetime(2026, 1, 20, 7, 30, tzinfo=UTC), "Europe/Zurich") == "08:30 CET"
