"""What follows from one stored record."""

import pytest

from assessments.models import Revision

INPUTS = {
    "zone": "Pacific/Auckland",
    "times": "2026-02-03T06:30:00+13:00;2026-02-02T08:00:00+00:00",
    "check_time": "",
    "target_deg": "90",
    "tolerance_deg": "15",
    "judged_on": "own",
    "rule": "guarded",
    "student_correction_deg": "",
}


def revision(**fields) -> Revision:
    inputs = INPUTS | fields.pop("inputs", {})
    numbers = {"error_deg": -30.0, "own_error_deg": 4.0, "expanded_uncertainty_deg": 3.0}
    return Revision(inputs=inputs, **numbers | fields)


def test_recorded_times_are_on_the_clock_of_the_place():
    assert [f"{time:%d %H:%M}" for time in revision().recorded_times] == ["03 06:30", "02 21:00"]


def test_computed_times_are_not_recorded():
    assert revision(inputs={"times": ""}).recorded_times == []


@pytest.mark.parametrize(("judged_on", "judged"), [("own", 4.0), ("result", -30.0), ("", -30.0)])
def test_the_standard_says_which_error_is_judged(judged_on, judged):
    assert revision(inputs={"judged_on": judged_on}).judged_deg == judged


@pytest.mark.parametrize(
    ("counting", "correction", "laying"),
    [(None, None, None), (6.0, None, -2.0), (None, -1.5, 5.5), (6.0, -1.5, -0.5)],
)
def test_laying_is_what_counting_and_correcting_leave(counting, correction, laying):
    made = revision(counting_error_deg=counting, correction_error_deg=correction)
    assert made.laying_error_deg == laying


def test_laying_error_goes_round_the_circle():
    made = revision(own_error_deg=170.0, counting_error_deg=-30.0)
    assert made.laying_error_deg == pytest.approx(-160.0)


@pytest.mark.parametrize(
    ("expanded", "rule", "can"),
    [(14.9, "guarded", True), (15.0, "guarded", False), (15.0, "plain", True)],
)
def test_a_check_as_coarse_as_the_tolerance_shows_nothing(expanded, rule, can):
    made = revision(expanded_uncertainty_deg=expanded, inputs={"rule": rule})
    assert made.can_show_within is can


@pytest.mark.parametrize(("text", "declared"), [("", None), ("0", 0.0), ("-5", -5.0)])
def test_a_correction_of_nothing_is_declared_all_the_same(text, declared):
    assert revision(inputs={"student_correction_deg": text}).declared_deg == declared
