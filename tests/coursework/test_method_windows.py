"""`manage.py method_windows`: stretches as printed, and a sentence for every bad argument."""

import csv
import io
import re

import pytest
from django.core.management import CommandError, call_command

from solar.columns import SUN_METHODS

ASKED = {
    "--lat": "46.5", "--lon": "8", "--zone": "Europe/Zurich", "--from": "2026-06-21",
    "--to": "2026-06-21", "--method": "shadow-tip",
}  # fmt: skip
HEADER = "date,from,to,worst_method_error_deg,marking_scatter_deg"


def printed(**changes):
    options = ASKED | {f"--{name.strip('_')}": value for name, value in changes.items()}
    out = io.StringIO()
    call_command(
        "method_windows", *[f"{name}={value}" for name, value in options.items()], stdout=out
    )
    lines = out.getvalue().splitlines()
    assert lines[0] == HEADER
    return list(csv.DictReader(lines))


def test_a_june_shadow_tip_line_is_good_for_a_while_around_noon():
    (stretch,) = printed()
    assert stretch["date"] == "2026-06-21"
    assert "12:" < stretch["from"] < stretch["to"] < "15:"
    assert 0.0 < abs(float(stretch["worst_method_error_deg"])) <= 5.0
    assert float(stretch["marking_scatter_deg"]) > 1.0


def test_at_an_equinox_it_is_good_nearly_all_day():
    (stretch,) = printed(from_="2026-03-20", to="2026-03-20")
    assert (stretch["from"], stretch["to"]) < ("08:00", "17:00")
    assert stretch["to"] > "16:00"


def test_a_wider_limit_gives_longer_stretches():
    narrow, wide = printed(limit="2")[0], printed(limit="10")[0]
    assert wide["from"] < narrow["from"] <= narrow["to"] < wide["to"]


def test_a_finer_step_finds_the_same_hours_more_closely():
    coarse, fine = printed()[0], printed(every="1")[0]
    assert fine["from"] <= coarse["from"] and coarse["to"] <= fine["to"]


def test_a_longer_interval_scatters_less():
    short, long = (float(printed(interval=minutes)[0]["marking_scatter_deg"])
                   for minutes in ("10", "40"))  # fmt: skip
    assert long < short


@pytest.mark.parametrize("method", SUN_METHODS)
def test_every_method_prints_times_and_three_decimals(method):
    for stretch in printed(method=method, limit="180"):
        assert re.fullmatch(r"\d\d:\d\d", stretch["from"])
        assert re.fullmatch(r"\d\d:\d\d", stretch["to"])
        assert re.fullmatch(r"-?\d+\.\d{3}", stretch["worst_method_error_deg"])
        assert stretch["worst_method_error_deg"] != "-0.000"
        marked = method in ("shadow-tip", "first-last", "equal-shadow")
        assert bool(re.fullmatch(r"\d+\.\d{3}", stretch["marking_scatter_deg"])) is marked


def test_several_dates_are_printed_in_order():
    dates = [stretch["date"] for stretch in printed(to="2026-06-25")]
    assert dates == sorted(dates)
    assert len(set(dates)) == 5


def test_where_nothing_is_good_enough_only_the_header_is_printed():
    assert printed(method="watch", limit="0") == []
    assert printed(lat="78", from_="2026-12-21", to="2026-12-21") == []


def test_a_skyline_takes_hours_away():
    open_field = printed(method="equal-shadow", limit="180")[0]
    valley = printed(method="equal-shadow", limit="180", horizon="0:25")[0]
    assert valley["from"] > open_field["from"]


@pytest.mark.parametrize("method", SUN_METHODS)
def test_a_date_that_the_zone_skips_prints_nothing(method):
    assert printed(method=method, zone="Pacific/Apia", lat="-13.8", lon="-171.8",
                   from_="2011-12-30", to="2011-12-30") == []  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"to": "2026-06-20"}, "is before --from"),
        ({"to": "2032-06-21"}, "five years"),
        ({"method": "sundial"}, "invalid choice"),
        ({"limit": "-1"}, "0 to 180 degrees"), ({"limit": "181"}, "0 to 180 degrees"),
        ({"interval": "0"}, "1 to 600 minutes"), ({"interval": "601"}, "1 to 600 minutes"),
        ({"every": "0"}, "1 to 1440"), ({"from_": "soon"}, "not a date"),
        ({"lat": "90"}, "-89 to 89"), ({"zone": "Nowhere"}, "IANA"), ({"horizon": "x"}, "such as"),
    ],
)  # fmt: skip
def test_a_bad_argument_is_refused_in_a_sentence(changes, words):
    with pytest.raises(CommandError) as error:
        printed(**changes)
    assert words in str(error.value)


@pytest.mark.parametrize("changes", [{"interval": "1"}, {"interval": "600"}, {"limit": "180"}])
def test_what_stands_at_the_limit_is_taken(changes):
    assert isinstance(printed(**changes), list)


@pytest.mark.parametrize("name", list(ASKED))
def test_every_part_of_the_question_is_needed(name):
    options = [f"{other}={value}" for other, value in ASKED.items() if other != name]
    with pytest.raises(CommandError, match=name):
        call_command("method_windows", *options, stdout=io.StringIO())
