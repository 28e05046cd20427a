import numpy as np
import pytest

from solar.daylight import upper_transit
from tests.solar.rows import problem, row, scored, scores_of

SHORTEST = {"method": "shortest-shadow"}


def at_noon(date, latitude, **changes):
    noon = upper_transit(np.datetime64(f"{date}T12:00", "us"), longitude_deg=0.0)
    return SHORTEST | {"lat": str(latitude), "lon": "0", "times": f"{noon}Z"} | changes


@pytest.mark.parametrize(
    ("date", "latitude"),
    [("2026-05-10", 46.5), ("2026-05-10", -46.5), ("2026-06-21", 10.0), ("2026-06-21", 30.0),
     ("2026-12-21", -10.0), ("2026-12-21", 0.0)],
)  # fmt: skip
def test_at_noon_the_line_is_right_on_whichever_side_the_sun_culminates(date, latitude):
    result = scored(**at_noon(date, latitude))
    assert result["problem"] == ""
    assert result["method_error_deg"] == pytest.approx(0.0, abs=0.001)


def test_a_mark_before_noon_turns_the_line_to_the_left():
    early = scored(**SHORTEST, times="2026-05-10T13:00")["method_error_deg"]
    late = scored(**SHORTEST, times="2026-05-10T13:50")["method_error_deg"]
    assert -45.0 < early < 0.0 < late < 45.0


@pytest.mark.parametrize(("latitude", "refused"), [("20.5", True), ("20.4", False)])
def test_a_sun_within_three_degrees_of_the_zenith_is_refused(latitude, refused):
    # The declination is 23.43 degrees; refraction lifts the sun by less than a hundredth.
    sentence = problem(**at_noon("2026-06-21", latitude))
    assert ("zenith" in sentence) is refused


def test_a_shadow_of_more_than_20_sticks_is_refused():
    assert "no end that can be marked" in problem(**at_noon("2026-12-21", 64.0))
    assert problem(**at_noon("2026-12-21", 63.0)) == ""


def test_one_point_is_drawn_at_the_tip():
    scores = scores_of(row(**SHORTEST, stick_m="2"))
    tip = scores.geometry.points_m[0, 0]
    height = np.radians(scores.geometry.elevation_deg[0, 0])
    assert np.linalg.norm(tip) == pytest.approx(2.0 / np.tan(height))
    assert scores.columns["marking_scatter_deg"].tolist() == pytest.approx([np.nan], nan_ok=True)
