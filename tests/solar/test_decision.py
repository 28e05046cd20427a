import numpy as np
import pytest

from solar.decision import can_show_within, decide, sideways_miss_m


def one(judged, *, tolerance=10.0, expanded=3.0, guarded=True):
    return decide(
        judged, tolerance_deg=tolerance, expanded_u_deg=expanded, guarded=guarded
    ).tolist()


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize(
    ("error", "verdict"),
    [
        (0.0, "within"),
        (7.0, "within"),
        (np.nextafter(7.0, 8.0), "too close to call"),
        (13.0, "too close to call"),
        (np.nextafter(13.0, 14.0), "outside"),
        (180.0, "outside"),
    ],
)
def test_a_guarded_verdict_leaves_a_band_of_u_on_either_side(error, verdict, sign):
    assert one(sign * error) == verdict


@pytest.mark.parametrize(
    ("error", "verdict"), [(10.0, "within"), (np.nextafter(10.0, 11.0), "outside")]
)
def test_a_plain_verdict_uses_no_uncertainty(error, verdict):
    assert one(error, guarded=False, expanded=9.0) == verdict


def test_where_u_exceeds_the_tolerance_nothing_is_within():
    assert one(0.0, expanded=10.5) == "too close to call"


def test_no_number_gives_no_verdict():
    assert one(np.nan) == ""
    assert one(1.0, expanded=np.nan) == ""


def test_rows_are_judged_each_by_its_own_rule():
    verdicts = decide(
        [8.0, 8.0], tolerance_deg=[10.0, 10.0], expanded_u_deg=[3.0, 3.0], guarded=[True, False]
    )
    assert verdicts.tolist() == ["too close to call", "within"]


@pytest.mark.parametrize(("expanded", "possible"), [(9.999, True), (10.0, False), (11.0, False)])
def test_a_check_can_show_within_only_with_u_under_the_tolerance(expanded, possible):
    assert bool(can_show_within(tolerance_deg=10.0, expanded_u_deg=expanded)) is possible


@pytest.mark.parametrize(("error", "miss"), [(0, 0), (30, 500), (-30, -500), (90, 1000), (180, 0)])
def test_the_sideways_miss_is_the_sine_and_is_negative_to_the_left(error, miss):
    assert float(sideways_miss_m(error, distance_m=1000.0)) == pytest.approx(miss, abs=1e-9)
