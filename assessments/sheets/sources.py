"""Sheets made from what is stored: attempts with their revisions, and exercises.

Names, standard, place and skyline of an attempt are those of its revision's inputs and facts,
as they stood; today's rows only fill in what a record does not keep.
"""

from collections.abc import Iterable

from assessments.models import Attempt, Revision
from assessments.sheets.contents import Place, Record, SkillSheet, Standard, TravelStandard
from assessments.sheets.observed import observation_rows
from assessments.sheets.place_words import skyline_words
from assessments.sheets.travel_words import TravelNumbers
from assessments.sheets.words import Numbers
from coursework.models import Exercise, Method, Person
from solar.horizon import TerrainHorizon


def numbers_of(revision: Revision) -> Numbers | TravelNumbers:
    """The stored score of a revision with its standard, for sentences."""
    inputs = revision.inputs
    if revision.is_travel:
        return TravelNumbers(
            method=revision.method,
            judged_on=inputs["judged_on"],
            rule=inputs["rule"],
            tolerance=revision.tolerance,
            unit=revision.score_unit,
            value=revision.score_value,
            side=revision.score_side,
            expanded_u=revision.score_expanded_u,
            verdict=revision.verdict,
            results=revision.results,
            missed=_missed(revision),
        )
    return Numbers(
        method=inputs["method"],
        target_deg=float(inputs.get("target_deg") or 0.0),
        laid_deg=revision.laid_true_deg,
        error_deg=revision.error_deg,
        method_error_deg=revision.method_error_deg,
        own_error_deg=revision.own_error_deg,
        expanded_uncertainty_deg=revision.expanded_uncertainty_deg,
        tolerance_deg=float(inputs["tolerance_deg"]),
        verdict=revision.verdict,
        judged_on=inputs.get("judged_on") or "result",
        rule=inputs.get("rule") or "guarded",
        counting_error_deg=revision.counting_error_deg,
        declared_correction_deg=_number(inputs.get("student_correction_deg")),
        correction_error_deg=revision.correction_error_deg,
        marking_scatter_deg=revision.marking_scatter_deg,
    )


def _missed(revision: Revision) -> tuple[str, ...]:
    """The steps of a checklist that were not met."""
    if revision.method != Method.CHECKLIST:
        return ()
    return tuple(step for step in revision.facts["steps"] if step not in revision.steps_met)


def standard_of(numbers: Numbers | TravelNumbers) -> Standard | TravelStandard:
    """The standard that a score was judged by."""
    if isinstance(numbers, TravelNumbers):
        return TravelStandard(
            method=numbers.method,
            tolerance=numbers.tolerance,
            unit=numbers.unit,
            judged_on=numbers.judged_on,
            rule=numbers.rule,
        )
    return Standard(
        target_deg=numbers.target_deg,
        tolerance_deg=numbers.tolerance_deg,
        judged_on=numbers.judged_on,
        rule=numbers.rule,
    )


def place_of(revision: Revision) -> Place:
    inputs = revision.inputs
    return Place(
        name=revision.facts.get("site", ""),
        latitude_deg=float(inputs["lat"]),
        longitude_deg=float(inputs["lon"]),
        elevation_m=_number(inputs.get("elevation_m")) or 0.0,
        zone=inputs["zone"],
        skyline=skyline_words(TerrainHorizon.parse(inputs.get("horizon", "")).pairs),
        slope_deg=_number(inputs.get("slope_deg")) or 0.0,
        downhill_deg=_number(inputs.get("downhill_deg")) or 0.0,
    )


def record_of(attempt: Attempt) -> Record:
    """The attempt's current revision as it is printed."""
    revision = attempt.current
    facts = revision.facts
    return Record(
        observed_at=revision.observed_at,
        place=place_of(revision),
        assessor=facts.get("assessor") or revision.recorded_by.name,
        numbers=numbers_of(revision),
        drawing=revision.drawing,
        no_result=revision.no_result_words,
        observations=tuple(observation_rows(revision.inputs, facts)) if revision.has_result else (),
        steps=tuple(facts.get("steps", ())),
        steps_met=tuple(revision.steps_met),
        sky=revision.sky,
        ground=revision.ground,
        remark=revision.remark,
        assessed=attempt.assessed,
        sun_azimuth_deg=revision.sun_azimuth_deg,
        sun_elevation_deg=revision.sun_elevation_deg,
        declination_used_deg=revision.declination_used_deg,
        revision=revision.number,
        revision_reason=revision.reason,
        engine=revision.engine,
        magnetic_model=revision.magnetic_model,
    )


def attempt_sheet(attempt: Attempt) -> SkillSheet:
    """The sheet of one attempt; `attempt.current` and its `recorded_by` are read."""
    revision = attempt.current
    facts, inputs = revision.facts, revision.inputs
    numbers = numbers_of(revision)
    return SkillSheet(
        kind="attempt",
        exercise=facts.get("exercise", ""),
        method=inputs["method"],
        method_name=str(Method(inputs["method"]).label),
        task=facts.get("task", ""),
        standard=standard_of(numbers),
        school=facts.get("school", ""),
        course=facts.get("course", ""),
        cohort=facts.get("cohort", ""),
        student=facts.get("student") or attempt.student.name,
        steps=tuple(facts.get("steps", ())),
        records=(record_of(attempt),),
    )


def exercise_sheet(
    exercise: Exercise, student: Person, attempts: Iterable[Attempt], *, drawn: int = 3
) -> SkillSheet:
    """The sheet of a student's attempts at one exercise, whatever order they come in.

    The standard on top is the exercise's of today; each verdict is by the standard of its day.
    The attempts should come with `current__recorded_by` selected.
    """
    records = sorted((record_of(attempt) for attempt in attempts), key=lambda r: r.observed_at)
    return _of_exercise(
        exercise, kind="exercise", student=student.name, records=tuple(records), drawn=drawn
    )


def blank_sheet(exercise: Exercise) -> SkillSheet:
    """A sheet to fill in in the field."""
    return _of_exercise(exercise, kind="blank")


def _of_exercise(exercise: Exercise, **more) -> SkillSheet:
    return SkillSheet(
        exercise=exercise.title,
        method=exercise.method,
        method_name=str(exercise.get_method_display()),
        task=exercise.task,
        standard=_standard_of_today(exercise),
        school=exercise.course.school.name,
        course=exercise.course.title,
        steps=tuple(exercise.step_list),
        **more,
    )


def _standard_of_today(exercise: Exercise) -> Standard | TravelStandard:
    shared = {
        "judged_on": exercise.judged_on,
        "rule": exercise.rule,
        "attempts_needed": exercise.attempts_needed,
        "distinct_days": exercise.distinct_days,
        "forenoon_and_afternoon": exercise.forenoon_and_afternoon,
        "distinct_assessors": exercise.distinct_assessors,
    }
    if exercise.is_travel:
        return TravelStandard(
            method=exercise.method, tolerance=exercise.tolerance, unit=exercise.unit, **shared
        )
    return Standard(target_deg=exercise.target_deg, tolerance_deg=exercise.tolerance, **shared)


def _number(text: str | None) -> float | None:
    return float(text) if text else None
