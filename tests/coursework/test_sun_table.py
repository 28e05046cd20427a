"""`manage.py sun_table`: the printed day, and a sentence for every bad argument."""

import csv
import io
import re

import pytest
from django.core.management import CommandError, call_command

PLACE = {"--lat": "46.5", "--lon": "8", "--zone": "Europe/Zurich", "--date": "2026-05-10"}
HEADER = "time,azimuth_deg,elevation_deg,shadow_bearing_deg,shadow_length"


def printed(**changes):
    """The comment lines by name, and the rows."""
    options = PLACE | {f"--{name.replace('_', '-')}": value for name, value in changes.items()}
    out = io.StringIO()
    call_command("sun_table", *[f"{name}={value}" for name, value in options.items()], stdout=out)
    lines = out.getvalue().splitlines()
    comments = dict(line[2:].split(" ", 1) for line in lines[:3])
    assert lines[3] == HEADER
    return comments, list(csv.DictReader(lines[3:]))


def test_rise_noon_and_set_stand_first_with_local_times_to_the_second():
    comments, _ = printed()
    assert list(comments) == ["rise", "noon", "set"]
    assert all(re.fullmatch(r"\d\d:\d\d:\d\d", words) for words in comments.values())
    assert comments["rise"] < comments["noon"] < comments["set"]


def test_seconds_are_rounded_and_not_cut_off():
    # NREL table A5.1 (NREL/TP-560-34302): transit 18:46:04.97 UT, rise 13:12:43.46 UT; this day's
    # noon differs by hundredths of a second, so that cutting off would print :04.
    comments, _ = printed(lat="39.742476", lon="-105.1786", zone="UTC", date="2003-10-17")
    assert comments["noon"] == "18:46:05"


def test_rows_come_every_half_hour_unless_said_otherwise():
    assert len(printed()[1]) == 48
    assert len(printed(every="60")[1]) == 24
    assert printed(every="720")[1][1]["time"] == "2026-05-10T12:00:00+02:00"


def test_numbers_have_three_decimals_and_no_minus_zero():
    for row in printed(every="1")[1]:
        for name, text in row.items():
            if name != "time" and text:
                assert re.fullmatch(r"-?\d+\.\d{3}", text), (name, text)
                assert text not in ("-0.000", "360.000")


def test_a_sun_that_is_down_leaves_shadow_and_length_blank():
    row = printed()[1][0]
    assert float(row["elevation_deg"]) < 0.0
    assert row["shadow_bearing_deg"] == row["shadow_length"] == ""


def test_a_shadow_lies_opposite_to_the_sun():
    row = next(row for row in printed()[1] if row["time"] == "2026-05-10T13:30:00+02:00")
    assert float(row["shadow_bearing_deg"]) == pytest.approx(
        (float(row["azimuth_deg"]) + 180.0) % 360.0, abs=0.0015
    )


def test_a_skyline_shortens_the_day():
    comments, rows = printed(horizon="0:10")
    assert comments["rise"] > printed()[0]["rise"]
    assert sum(bool(row["shadow_length"]) for row in rows) < sum(
        bool(row["shadow_length"]) for row in printed()[1]
    )


def test_peaks_print_every_rise_and_every_set():
    comments, _ = printed(horizon="0:0 72:0 75:25 78:0")
    assert len(comments["rise"].split()) == len(comments["set"].split()) == 2


@pytest.mark.parametrize(
    ("date", "words"), [("2026-06-21", "up all day"), ("2026-12-21", "down all day")]
)
def test_the_polar_day_and_night_are_words(date, words):
    comments, _ = printed(lat="78", zone="Arctic/Longyearbyen", date=date)
    assert comments["rise"] == comments["set"] == words
    assert re.fullmatch(r"\d\d:\d\d:\d\d", comments["noon"])


def test_a_day_that_only_rises_has_no_set():
    days = [printed(lat="78.2", lon="15.6", zone="Arctic/Longyearbyen", date=f"2026-04-{day}")[0]
            for day in range(15, 25)]  # fmt: skip
    assert any(words["set"] == "none" and words["rise"] != "none" for words in days)


def test_an_hour_that_exists_twice_is_printed_with_its_offset():
    # The sun's noon far from the zone's own meridian falls into the doubled hour.
    comments, rows = printed(lon="155", date="2026-10-25", every="60")
    assert re.fullmatch(r"02:\d\d:\d\d\+0[12]:00", comments["noon"])
    assert len(rows) == 25


def test_a_date_that_the_zone_skips_is_refused():
    with pytest.raises(CommandError, match="2011-12-30 does not exist in Pacific/Apia"):
        printed(zone="Pacific/Apia", date="2011-12-30")


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("lat", "89.1", "-89 to 89 degrees"), ("lat", "nan", "-89 to 89 degrees"),
        ("lat", "north", "-89 to 89 degrees"), ("lon", "180.1", "-180 to 180 degrees"),
        ("lon", "inf", "-180 to 180"), ("elevation_m", "9001", "-500 to 9000 metres"),
        ("zone", "Middle/Nowhere", "not an IANA time zone"), ("date", "10.5.2026", "not a date"),
        ("date", "1989-12-31", "1990 to 2050"), ("date", "2051-01-01", "1990 to 2050"),
        ("every", "0", "1 to 1440"), ("every", "1441", "1 to 1440"), ("every", "2.5", "1 to 1440"),
        ("every", "٣", "1 to 1440"), ("horizon", "90-4", "bearing and an elevation"),
    ],
)  # fmt: skip
def test_a_bad_argument_is_refused_with_its_range(name, value, words):
    with pytest.raises(CommandError) as error:
        printed(**{name: value})
    assert words in str(error.value)
    assert f"“{value}”" in str(error.value) or value in str(error.value)


@pytest.mark.parametrize(
    "changes",
    [{"lat": "89", "date": "2026-06-21"}, {"lat": "-89"}, {"lon": "180"}, {"lon": "-180"},
     {"date": "1990-01-01"}, {"date": "2050-12-31"}, {"elevation_m": "-500"}, {"every": "1440"}],
)  # fmt: skip
def test_what_stands_at_the_limit_is_printed(changes):
    assert printed(**changes)[1]


@pytest.mark.parametrize("name", list(PLACE))
def test_each_part_of_place_and_date_is_needed(name):
    options = [f"{other}={value}" for other, value in PLACE.items() if other != name]
    with pytest.raises(CommandError, match=name):
        call_command("sun_table", *options, stdout=io.StringIO())
