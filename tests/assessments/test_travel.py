"""Distances, legs, positions and checklists: scored, judged, refused, stored and corrected."""

from datetime import UTC, datetime

import pytest

from assessments import services
from assessments.refusals import Refused
from assessments.travel import score_row
from tests import builders
from tests.assessments import results

SETTING = {"tolerance": "5", "judged_on": "result", "rule": "guarded"}


def scored(method, *, steps=(), met=(), **changes):
    row = SETTING | {"method": method} | results.TRAVELLED[method] | changes
    return score_row(row, steps=tuple(steps), steps_met=tuple(met))


def test_a_pace_count_is_in_percent_with_its_side():
    score = scored("pace-count", measured_u_percent="0.5")
    # 268 paces at 65 a hundred metres are 412.3 m.
    assert score.value == pytest.approx(3.077, abs=0.001)
    assert (score.unit, score.side, score.verdict) == ("percent", "over", "within")
    assert score.expanded_u == pytest.approx(1.031, abs=0.001)


def test_a_distance_told_too_short_is_under():
    score = scored("distance", tolerance="12")
    assert score.value == pytest.approx(-12.5)
    assert (score.side, score.verdict) == ("under", "too close to call")


def test_plain_acceptance_leaves_the_uncertainty_out():
    assert scored("distance", tolerance="12", rule="plain").verdict == "outside"


def test_a_leg_is_judged_on_the_arrival_in_metres():
    score = scored("compass-leg", judged_on="arrival", tolerance="60")
    assert (score.unit, score.side, score.verdict) == ("m", "right", "within")
    assert score.value == pytest.approx(score.results["offset_m"], abs=1e-5)
    assert score.results["along_m"] < 0.0 < score.results["across_m"]
    assert [point["kind"] for point in score.drawing["points"]] == ["start", "goal", "arrival"]


def test_or_on_the_bearing_in_degrees():
    score = scored("compass-leg", judged_on="bearing", tolerance="5")
    assert (score.unit, score.side) == ("deg", "right")
    assert score.value == pytest.approx(score.results["bearing_error_deg"], abs=1e-5)
    assert "tolerance_m" not in score.drawing


def test_a_position_has_a_direction_and_no_side():
    score = scored("position", tolerance="100")
    assert (score.unit, score.side, score.verdict) == ("m", "", "within")
    assert score.value == pytest.approx(77.1, abs=0.5)
    assert score.results["bearing_deg"] == pytest.approx(316.1, abs=1.0)
    assert score.expanded_u == pytest.approx(6.0)


def test_a_position_on_the_point_has_no_direction():
    score = scored("position", plotted_lat="46.72", plotted_lon="8.18", tolerance="100")
    assert score.value == 0.0
    assert "bearing_deg" not in score.results


@pytest.mark.parametrize(
    ("met", "verdict", "missed"), [(("a", "b"), "within", 0), (("a",), "outside", 1)]
)
def test_a_checklist_needs_every_step(met, verdict, missed):
    score = scored("checklist", steps=("a", "b"), met=met)
    assert (score.verdict, score.value, score.unit) == (verdict, missed, "steps")
    assert score.results == {"steps": 2, "steps_met": 2 - missed}


@pytest.mark.parametrize(
    ("method", "changes", "column"),
    [
        ("pace-count", {"paces": ""}, "paces"),
        ("pace-count", {"paces": "many"}, "paces"),
        ("pace-count", {"paces": "0"}, "paces"),
        ("pace-count", {"paces": "nan"}, "paces"),
        ("pace-count", {"paces_per_100_m": "401"}, "paces_per_100_m"),
        ("distance", {"measured_m": "-4"}, "measured_m"),
        ("distance", {"measured_u_m": "-1"}, "measured_u_m"),
        ("compass-leg", {"goal_lat": "91"}, "goal_lat"),
        ("compass-leg", {"goal_lon": "nan"}, "goal_lon"),
        ("compass-leg", {"goal_lat": "46.72"}, "goal_lat"),
        ("compass-leg", {"goal_lat": "48.72"}, "goal_lat"),
        ("compass-leg", {"arrival_lat": "48.72"}, "arrival_lat"),
        ("compass-leg", {"arrival_lat": "46.72", "arrival_lon": "8.18"}, "arrival_lat"),
        ("position", {"plotted_lon": "12"}, "plotted_lat"),
        ("checklist", {}, "steps_met"),
    ],
)
def test_what_has_no_number_of_use_is_refused_at_its_column(method, changes, column):
    with pytest.raises(Refused) as refused:
        scored(method, **changes)
    assert refused.value.field == column
    assert refused.value.sentence.endswith(".")


pytest_db = pytest.mark.django_db


@pytest_db
@pytest.mark.parametrize("method", results.TRAVEL)
def test_a_stored_result_has_its_score_and_no_bearings(method):
    attempt = results.attempt(method)
    revision = attempt.current
    assert attempt.method == method
    assert revision.is_travel
    assert revision.error_deg is None
    assert revision.score_unit == attempt.exercise.unit
    assert revision.verdict in {"within", "outside", "too close to call"}
    assert revision.observed_at == datetime(2025, 6, 20, 8, 30, tzinfo=UTC)


@pytest_db
@pytest.mark.parametrize("method", results.TRAVEL)
def test_worked_out_again_nothing_differs(method):
    revision = results.attempt(method).current
    rows = services.recompute_difference(revision)
    assert rows
    assert not any(row.is_changed for row in rows)
    assert all(row.name for row in rows)


@pytest_db
def test_a_line_has_the_general_score_too():
    revision = results.attempt("shadow-tip").current
    assert (revision.score_unit, revision.score_side) == ("deg", "left")
    assert revision.score_value == revision.error_deg
    assert revision.score_expanded_u == revision.expanded_uncertainty_deg
    assert revision.results == {}


@pytest_db
def test_lines_and_distances_are_stored_together_in_their_order():
    cohort = builders.cohort()
    lead, student = builders.lead(cohort), builders.student(cohort)
    kinds = ["pace-count", "shadow-tip", "checklist"]
    entries = [
        services.Entry(
            drill=results.drill(kind, cohort=cohort),
            student=student,
            observation=results.observation(kind),
        )
        for kind in kinds
    ]
    stored = services.record_attempts(by=lead, entries=entries)
    assert [attempt.method for attempt in stored] == kinds


@pytest_db
def test_a_refusal_names_which_of_many_it_was():
    cohort = builders.cohort()
    lead, student = builders.lead(cohort), builders.student(cohort)
    drill = results.drill("pace-count", cohort=cohort)
    entries = [
        services.Entry(
            drill=drill,
            student=student,
            observation=results.observation("pace-count", columns={"paces": paces}),
        )
        for paces in ("260", "")
    ]
    with pytest.raises(Refused) as refused:
        services.record_attempts(by=lead, entries=entries)
    assert (refused.value.position, refused.value.field) == (1, "paces")
    assert not drill.attempts.exists()


@pytest_db
def test_a_correction_keeps_the_earlier_score():
    drill = results.drill("pace-count")
    lead = builders.lead(drill.cohort)
    attempt = results.attempt("pace-count", of=drill, by=lead)
    revision = services.correct_attempt(
        by=lead,
        attempt=attempt,
        observation=results.observation("pace-count", columns={"paces": "260"}),
        reason="A bead was missed.",
    )
    assert revision.number == 2
    assert revision.score_value == pytest.approx(0.0)
    assert attempt.revisions.get(number=1).score_value == pytest.approx(3.077, abs=0.001)


@pytest_db
def test_a_correction_that_changes_nothing_is_refused():
    drill = results.drill("position")
    lead = builders.lead(drill.cohort)
    attempt = results.attempt("position", of=drill, by=lead)
    with pytest.raises(Refused, match="Nothing differs"):
        services.correct_attempt(
            by=lead, attempt=attempt, observation=results.observation("position"), reason="No."
        )


@pytest_db
@pytest.mark.parametrize(
    ("times", "words"),
    [("", "Enter the time"), ("2099-01-01T10:00:00+01:00", "still to come")],
)
def test_a_time_that_cannot_be_is_refused(times, words):
    with pytest.raises(Refused, match=words) as refused:
        results.attempt("distance", columns={"times": times})
    assert refused.value.field == "times"


@pytest_db
def test_sending_the_same_result_twice_stores_one():
    drill = results.drill("checklist")
    lead, student = builders.lead(drill.cohort), builders.student(drill.cohort)
    entry = services.Entry(
        drill=drill, student=student, observation=results.observation("checklist")
    )
    for _ in range(2):
        services.record_attempts(by=lead, entries=[entry])
    assert drill.attempts.count() == 1


@pytest_db
def test_a_reference_as_coarse_as_the_tolerance_shows_nothing():
    coarse = results.attempt("pace-count", columns={"measured_u_percent": "3"}).current
    fine = results.attempt("pace-count", columns={"measured_u_percent": "1"}).current
    assert not coarse.can_show_within
    assert fine.can_show_within


@pytest.mark.django_db
def test_a_students_own_paces_turn_a_count_into_metres():
    drill = results.drill("pace-count")
    student = builders.student(drill.cohort, paces_per_100_m=67.0)
    observation = results.observation("pace-count", columns={"paces_per_100_m": ""})
    attempt = services.record_attempt(
        by=builders.lead(drill.cohort), drill=drill, student=student, observation=observation
    )
    # 268 paces at 67 a hundred metres are 400 m, and 400 m were measured.
    assert attempt.current.inputs["paces_per_100_m"] == "67"
    assert attempt.current.results["told_m"] == 400.0


@pytest.mark.django_db
def test_a_count_said_at_the_drill_goes_before_the_one_on_record():
    drill = results.drill("pace-count")
    student = builders.student(drill.cohort, paces_per_100_m=67.0)
    attempt = services.record_attempt(
        by=builders.lead(drill.cohort),
        drill=drill,
        student=student,
        observation=results.observation("pace-count"),
    )
    assert attempt.current.inputs["paces_per_100_m"] == "65"


@pytest.mark.django_db
def test_a_student_without_a_count_needs_one():
    drill = results.drill("pace-count")
    observation = results.observation("pace-count", columns={"paces_per_100_m": ""})
    with pytest.raises(Refused, match="none are on record") as refused:
        services.record_attempt(
            by=builders.lead(drill.cohort),
            drill=drill,
            student=builders.student(drill.cohort),
            observation=observation,
        )
    assert refused.value.field == "paces_per_100_m"
