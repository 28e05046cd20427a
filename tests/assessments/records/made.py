"""Stored results with a known own error: read back from the stored score, not assumed."""

from datetime import datetime, timedelta

from assessments.observations import Observation
from assessments.services import Entry, record_attempts
from solar.scoring import score
from tests import builders
from tests.assessments import results

START = datetime(2025, 5, 6, 10, 0)


def lines(student, owns, *, drill, by, method="shadow-tip", check="direct", start=START, **columns):
    """One result a day: each line turned from the method's own one by so many degrees."""
    entries = []
    for number, own in enumerate(owns):
        day = start + timedelta(days=number)
        observed = dict(results.OBSERVED[method])
        if "times" in observed:
            marks = 2 if method == "shadow-tip" else 1
            times = [day + timedelta(minutes=16 * mark) for mark in range(marks)]
            observed["times"] = ";".join(f"{time.isoformat()}+02:00" for time in times)
        observed |= columns
        part = method_error(drill, observed)
        declination = columns.get("declination_deg")
        laid = drill.exercise.target_deg + part + own - float(declination or 0.0)
        given = {"check": check, "reading_deg": f"{laid % 360.0:.6f}"}
        entries.append(
            Entry(
                drill=drill,
                student=student,
                observation=Observation(columns=observed | given),
            )
        )
    return record_attempts(by=by, entries=entries)


def method_error(drill, observed) -> float:
    from assessments.observations import ROW_COLUMNS, setting_of

    given = {"attempt": "x", **setting_of(drill), **observed}
    given |= {"check": "direct", "reading_deg": "0"}
    scores = score({name: [given.get(name, "")] for name in ROW_COLUMNS})
    assert scores.columns["problem"] == [""]
    return float(scores.columns["method_error_deg"][0])


def class_of(method="shadow-tip", **exercise):
    """A drill in Otago or the Alps with its lead and one student."""
    site = exercise.pop("site", None)
    cohort = builders.cohort()
    fields = {"site": site(cohort)} if site else {}
    drill = results.drill(
        method,
        cohort=cohort,
        exercise=builders.exercise(course=cohort.course, method=method, **exercise),
        **fields,
    )
    return drill, builders.lead(cohort), builders.student(cohort)
