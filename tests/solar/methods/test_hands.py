import pytest
from hypothesis import given
from hypothesis import strategies as st

from solar.methods.hands import hand_deg
from tests.solar.rows import problem, row, scored, scores_of

HANDS = {"method": "hands"}
SOUTH = {"lat": "-46.5", "lon": "8.0"}
MORNING, EVENING = {"times": "2026-05-10T10:00"}, {"times": "2026-05-10T17:00"}
SKYLINE = {"horizon": "0:4"}


def assumed(**changes):
    """Where the rule puts the sun, how many hands it should have been, and its azimuth."""
    scores = scores_of(row(**HANDS | changes))
    assert scores.columns["problem"] == [""]
    drawing = scores.drawing(0)
    return (
        drawing["assumed_sun_deg"], drawing["hands_perfect"], drawing["marks"][0]["sun_azimuth_deg"]
    )  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "start", "turn"),
    [
        (MORNING, 90.0, 1), (EVENING, 270.0, -1),
        (SOUTH | MORNING, 90.0, -1), (SOUTH | {"times": "2026-05-10T15:00"}, 270.0, 1),
    ],
)  # fmt: skip
def test_the_rule_turns_the_hands_from_due_east_or_to_due_west(changes, start, turn):
    bearing, hands, _ = assumed(**changes, rule_deg_per_hand="12")
    assert bearing == pytest.approx((start + turn * 12.0 * hands) % 360.0, abs=1e-4)


def test_north_is_the_azimuth_less_the_assumed_bearing():
    bearing, _, azimuth = assumed()
    assert scored(**HANDS)["method_error_deg"] == pytest.approx(azimuth - bearing, abs=1e-4)


def test_the_perfect_count_is_the_lower_limb_over_the_skyline_in_hands():
    elevation = scored(**HANDS)["sun_elevation_deg"]
    assert assumed()[1] == pytest.approx((elevation - 0.2667) / 15.0, abs=1e-5)
    assert assumed(**SKYLINE)[1] == pytest.approx((elevation - 0.2667 - 4.0) / 15.0, abs=1e-5)
    assert assumed(degrees_per_hand="10")[1] == pytest.approx((elevation - 0.2667) / 10, abs=1e-5)


def test_measuring_the_hand_without_mending_the_rule_changes_the_line():
    assert scored(**HANDS, degrees_per_hand="10")["method_error_deg"] != pytest.approx(
        scored(**HANDS)["method_error_deg"], abs=1.0
    )
    mended = scored(**HANDS, degrees_per_hand="10", rule_deg_per_hand="10")
    assert mended["method_error_deg"] == pytest.approx(scored(**HANDS)["method_error_deg"])


@pytest.mark.parametrize(
    ("changes", "sign"),
    [
        (MORNING, -1),
        (EVENING, 1),
        (SOUTH | MORNING, 1),
        (SOUTH | {"times": "2026-05-10T15:00"}, -1),
    ],
)
def test_a_hand_too_many_turns_north_by_what_the_rule_gives_a_hand(changes, sign):
    perfect = assumed(**changes)[1]
    result = scored(**HANDS | changes | {"hands": repr(perfect + 1.0), "rule_deg_per_hand": "11"})
    assert result["counting_error_deg"] == pytest.approx(sign * 11.0, abs=1e-3)


def test_a_perfect_count_has_no_counting_error():
    result = scored(**HANDS, hands=repr(assumed()[1]))
    assert result["counting_error_deg"] == pytest.approx(0.0, abs=1e-4)


@pytest.mark.parametrize(
    ("times", "half", "word"),
    [("2026-05-10T10:00", "afternoon", "before its highest"),
     ("2026-05-10T17:00", "forenoon", "past its highest")],
)  # fmt: skip
def test_a_half_that_contradicts_the_sun_is_refused(times, half, word):
    result = scored(**HANDS | {"times": times, "half": half})
    assert result["fault_column"] == "half"
    assert word in result["problem"]


@pytest.mark.parametrize(
    ("times", "half"), [("2026-05-10T10:00", "forenoon"), ("2026-05-10T17:00", "afternoon")]
)
def test_a_half_that_agrees_changes_nothing(times, half):
    assert scored(**HANDS | {"times": times, "half": half}) == scored(**HANDS | {"times": times})


@pytest.mark.parametrize(
    ("latitude", "time", "side"),
    [("10", "2026-06-21T09:00Z", "north"), ("-10", "2026-12-21T09:00Z", "south"),
     ("0", "2026-06-21T09:00Z", "north")],
)  # fmt: skip
def test_a_sun_on_the_other_side_than_the_rule_supposes_is_refused(latitude, time, side):
    result = scored(**HANDS | {"lat": latitude, "times": time})
    assert result["fault_column"] == "lat"
    assert f"culminates {side} of the zenith" in result["problem"]
    assert "the rule does not hold" in result["problem"]


def test_on_the_equator_the_northern_rule_holds_in_the_southern_summer():
    assert problem(**HANDS | {"lat": "0", "times": "2026-12-21T09:00Z"}) == ""


@pytest.mark.parametrize(
    ("changes", "refused"),
    [({"hands": "12"}, False), ({"hands": "12.01"}, True), ({"hands": "0"}, True),
     ({"degrees_per_hand": "2"}, False), ({"degrees_per_hand": "1.99"}, True),
     ({"rule_deg_per_hand": "30"}, False), ({"rule_deg_per_hand": "30.01"}, True)],
)  # fmt: skip
def test_hands_and_their_degrees_have_limits(changes, refused):
    result = scored(**HANDS | changes)
    assert result["fault_column"] == (next(iter(changes)) if refused else "")


def test_a_hand_of_ten_centimetres_at_sixty_covers_nine_and_a_half_degrees():
    # 2 * atan(10 / 120), worked out by hand.
    assert hand_deg(breadth_m=0.10, reach_m=0.60) == pytest.approx(9.527, abs=0.001)


@given(st.floats(0.01, 0.5), st.floats(0.1, 1.5), st.floats(0.1, 10))
def test_only_the_proportion_of_breadth_to_reach_counts(breadth, reach, scale):
    assert hand_deg(breadth_m=breadth * scale, reach_m=reach * scale) == pytest.approx(
        hand_deg(breadth_m=breadth, reach_m=reach)
    )


@pytest.mark.parametrize(("breadth", "reach"), [(0.0, 0.6), (0.1, 0.0), (-0.1, 0.6)])
def test_a_hand_has_a_breadth_and_a_reach(breadth, reach):
    with pytest.raises(ValueError, match="more than nothing"):
        hand_deg(breadth_m=breadth, reach_m=reach)
