import pytest

from tests.solar.rows import problem, row, scored, scores_of

WATCH = {"method": "watch"}
SOUTH = {"lat": "-41.0", "lon": "174.5", "zone": "Pacific/Auckland"}


def test_in_the_northern_hemisphere_south_is_halfway_to_twelve():
    # Ten by summer time is nine by the sun's own count: south lies 45 degrees beyond the sun.
    result = scored(**WATCH)
    assert result["method_error_deg"] == pytest.approx(result["sun_azimuth_deg"] + 45.0 - 180.0)


def test_in_the_southern_hemisphere_north_is_halfway_to_twelve():
    result = scored(**WATCH | SOUTH | {"times": "2026-06-21T09:00"})
    assert result["method_error_deg"] == pytest.approx(result["sun_azimuth_deg"] - 45.0)


def test_summer_time_in_the_south_is_taken_off_too():
    result = scored(**WATCH | SOUTH | {"times": "2026-12-21T10:00"})
    turned = (result["sun_azimuth_deg"] - 45.0 + 180.0) % 360.0 - 180.0
    assert result["method_error_deg"] == pytest.approx(turned)


def test_the_equator_belongs_to_the_northern_rule():
    result = scored(**WATCH | {"lat": "0", "times": "2026-12-21T10:00Z", "zone": "UTC"})
    assert result["problem"] == ""
    assert result["method_error_deg"] == pytest.approx(result["sun_azimuth_deg"] + 30.0 - 180.0)


@pytest.mark.parametrize("latitude", ["0", "10", "23"])
def test_the_rule_does_not_hold_where_the_sun_culminates_on_the_other_side(latitude):
    result = scored(**WATCH | {"lat": latitude, "times": "2026-06-21T10:00Z"})
    assert result["fault_column"] == "lat"
    assert "rule does not hold" in result["problem"]


def test_just_outside_the_tropics_it_holds():
    assert problem(**WATCH | {"lat": "23.5", "times": "2026-06-21T10:00Z"}) == ""


def test_calling_summer_time_no_moves_the_line_by_an_hour_of_the_dial():
    yes, no = (scored(**WATCH, summer_time=word)["method_error_deg"] for word in ("yes", "no"))
    assert no - yes == pytest.approx(-15.0)


def test_half_an_hour_of_summer_is_half_of_that():
    island = {"lat": "-31.5", "lon": "159.0", "zone": "Australia/Lord_Howe",
              "times": "2026-01-10T10:00"}  # fmt: skip
    yes, no = (
        scored(**WATCH | island, summer_time=word)["method_error_deg"] for word in ("yes", "no")
    )
    assert yes - no == pytest.approx(-7.5)


def test_a_zone_that_jumped_over_the_date_line_that_year_is_off_by_no_whole_day():
    # Samoa in 2011: its smallest offset of the year is a day away from its last.
    times = "2011-12-31T10:00"
    result = scored(**WATCH | {"lat": "-40", "lon": "-171.8", "zone": "Pacific/Apia",
                               "times": times})  # fmt: skip
    turned = (result["sun_azimuth_deg"] - 45.0 + 180.0) % 360.0 - 180.0
    assert result["method_error_deg"] == pytest.approx(turned)


def test_a_time_with_an_offset_is_brought_to_the_zone():
    assert scored(**WATCH | {"times": "2026-05-10T04:00-04:00"}) == scored(**WATCH)


def test_the_clock_moves_the_sun_and_the_hand_alike():
    # The sun's azimuth moves faster than the rule's fifteen degrees an hour here: what is
    # left of a quarter of a minute is the difference of the two rates.
    before, after = (
        scored(**WATCH | {"times": f"2026-05-10T{time}"})["method_error_deg"]
        for time in ("09:59:30", "10:00:30")
    )
    result = scored(**WATCH, judged_on="own")
    assert result["expanded_uncertainty_deg"] == pytest.approx(
        2.0 * abs(after - before) / 60.0 * 15.0, abs=1e-6
    )


def test_the_drawing_shows_where_the_rule_puts_the_sun():
    drawing = scores_of(row(**WATCH)).drawing(0)
    assert drawing["assumed_sun_deg"] == pytest.approx(180.0 - 45.0)
    assert drawing["marks"][0]["east_m"] is None
