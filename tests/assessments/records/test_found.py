"""From stored results to findings: a made student with exactly one fault, and one without."""

from datetime import UTC

import pytest

from assessments.models import Attempt
from assessments.records.points import lines_of
from assessments.records.student import StudentRecord
from solar.declination import declination
from tests import builders
from tests.assessments.records import made

pytestmark = pytest.mark.django_db
SCATTER = [1.4, -1.4, 0.6, -0.6, 1.0, -1.0]


def record_of(student) -> StudentRecord:
    return StudentRecord(lines_of(Attempt.objects.filter(student=student)))


def names(student) -> set[str]:
    return {finding.name for finding in record_of(student).found.findings}


def test_a_careful_student_has_no_finding():
    drill, lead, student = made.class_of()
    made.lines(student, SCATTER, drill=drill, by=lead)
    assert names(student) == set()


def test_the_made_lines_have_the_own_errors_they_were_made_with():
    drill, lead, student = made.class_of()
    made.lines(student, SCATTER, drill=drill, by=lead)
    found = [point.own_error_deg for point in record_of(student).points]
    assert found == pytest.approx(SCATTER, abs=1e-4)


def test_a_constant_pull_is_found():
    drill, lead, student = made.class_of(judged_on="own")
    made.lines(student, [11.0 + value for value in SCATTER], drill=drill, by=lead)
    assert names(student) == {"pull"}


def test_a_pull_that_a_small_declination_would_explain_is_told_with_the_hint():
    # Twice the 3.4 degrees of the place, which a plain pull may well be.
    drill, lead, student = made.class_of(judged_on="own")
    made.lines(student, [6.8 + value for value in SCATTER], drill=drill, by=lead)
    found = record_of(student).found.findings
    assert [finding.name for finding in found] == ["pull", "declination"]


@pytest.mark.parametrize(("rule", "expected"), [("15", {"hand"}), ("9.5", set())])
def test_a_hand_that_covers_less_than_the_rule_turns_is_found(rule, expected):
    drill, lead, student = made.class_of("hands", judged_on="own")
    columns = {"degrees_per_hand": "9.5", "rule_deg_per_hand": rule}
    made.lines(student, SCATTER, drill=drill, by=lead, method="hands", **columns)
    assert names(student) == expected


def otago(cohort):
    return builders.site(
        school=cohort.course.school,
        latitude_deg=-45.1,
        longitude_deg=169.3,
        zone="Pacific/Auckland",
    )


@pytest.mark.parametrize("factor", [1.0, -1.0, 2.0])
def test_a_declination_put_on_a_shadow_line_is_found(factor):
    drill, lead, student = made.class_of(site=otago, judged_on="own")
    start = made.START.replace(hour=2)  # noon there, by the offset that the times carry
    there = declination(
        [made.START.replace(tzinfo=UTC)], latitude_deg=-45.1, longitude_deg=169.3
    ).declination_deg[0]
    assert there == pytest.approx(24.5, abs=1.5)
    own = [there * factor + value for value in SCATTER]
    made.lines(student, own, drill=drill, by=lead, start=start)
    assert "declination" in names(student)
    assert "pull" not in names(student)


def test_no_declination_is_found_where_a_student_is_careful_under_a_large_one():
    drill, lead, student = made.class_of(site=otago, judged_on="own")
    made.lines(student, SCATTER, drill=drill, by=lead, start=made.START.replace(hour=2))
    assert names(student) == set()


@pytest.mark.parametrize(("own", "expected"), [(-15.0, {"summer-time"}), (0.0, set())])
def test_a_watch_on_summer_time_is_found(own, expected):
    drill, lead, student = made.class_of("watch", judged_on="own")
    owns = [own + value for value in SCATTER]
    made.lines(student, owns, drill=drill, by=lead, method="watch")
    assert names(student) == expected


def test_a_line_that_the_method_made_good_is_found():
    # On a June morning a shadow-tip line lies far to the left.
    drill, lead, student = made.class_of(tolerance=10.0)
    start = made.START.replace(month=6, hour=9)
    part = made.method_error(
        drill, {"times": "2025-06-06T09:00:00+02:00;2025-06-06T09:16:00+02:00"}
    )
    assert part < -11.0
    made.lines(student, [-part], drill=drill, by=lead, start=start)
    assert names(student) == {"cancelled"}


def test_a_line_that_is_good_where_the_method_is_right_is_no_luck():
    drill, lead, student = made.class_of(tolerance=10.0)
    start = made.START.replace(month=6, hour=13, minute=20)
    made.lines(student, [0.5], drill=drill, by=lead, start=start)
    assert names(student) == set()


def test_a_line_laid_end_for_end_is_found_and_stays_out_of_the_averages():
    drill, lead, student = made.class_of(judged_on="own")
    made.lines(student, [*SCATTER, 178.0], drill=drill, by=lead)
    record = record_of(student)
    assert {finding.name for finding in record.found.findings} == {"swapped"}
    assert record.all.swapped == 1
    assert abs(record.all.own.mean_deg) < 1.0
    assert record.all.own.count == len(SCATTER)


def test_it_says_how_many_attempts_are_lacking():
    drill, lead, student = made.class_of()
    made.lines(student, [7.0, 7.0], drill=drill, by=lead)
    record = record_of(student)
    assert record.found.findings == () or {one.name for one in record.found.findings} == {
        "cancelled"
    }
    assert {note.name: note.wanted for note in record.found.not_yet}["pull"] == 3
