"""Results into revisions: lines through the engine of the sun, all else through its own."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.utils.translation import gettext as _

import solar
from assessments.models import Attempt, NoResult, Revision
from assessments.observations import Observation, local_time
from assessments.refusals import Refused
from assessments.scored import CLOCK_ALLOWANCE, new_revision, score_rows, to_come
from assessments.travel import score_row
from coursework.models import Person
from coursework.models.methods import is_travel, unit_of
from coursework.solar_words import in_words
from solar.clock import ClockError


@dataclass(frozen=True, kw_only=True)
class Result:
    """One attempt with what was observed of it. `position`: its place among what was sent.

    `at` is taken for the time of an attempt without a result where none was noted.
    """

    attempt: Attempt
    row: dict[str, str]
    observation: Observation
    facts: dict[str, Any]
    position: int = 0
    at: datetime | None = None


def revisions_of(results: Sequence[Result], *, by: Person, now: datetime) -> list[Revision]:
    """The first revisions of results with their scores, in the same order, not yet saved.

    Refused for the first that cannot be scored or is still to come.
    """
    lines = [
        result
        for result in results
        if not is_travel(result.row["method"]) and not result.observation.no_result
    ]
    scored: dict[int, Revision] = {}
    if lines:
        rows, positions = [line.row for line in lines], [line.position for line in lines]
        scores = score_rows(rows, positions, now)
        for i, line in enumerate(lines):
            scored[id(line)] = new_revision(
                line.attempt,
                scores,
                i,
                row=line.row,
                by=by,
                observation=line.observation,
                facts=line.facts,
                now=now,
            )
    return [
        scored.get(id(result))
        or (_without_result if result.observation.no_result else _travelled)(result, by, now)
        for result in results
    ]


def _without_result(result: Result, by: Person, now: datetime) -> Revision:
    """The revision of an attempt that came to nothing: the reason instead of any number."""
    row, observation = result.row, result.observation
    try:
        if observation.no_result not in NoResult.values:
            raise Refused("no_result", _("Choose why there is no result."))
        if observation.no_result == NoResult.OTHER and not observation.remark.strip():
            raise Refused("remark", _("Say in a few words why there is no result."))
        last = row["times"].rsplit(";", 1)[-1]
        observed_at = _observed_at(row | {"times": last}, now) if last else result.at or now
    except Refused as refused:
        raise Refused(refused.field, refused.sentence, position=result.position) from refused
    none = {"instrument": "", "mark": "", "instrument_check": {}, "uncertainty": {}}
    return Revision(
        attempt=result.attempt,
        number=1,
        recorded_by=by,
        recorded_at=now,
        inputs=row,
        observed_at=observed_at,
        facts={**result.facts, **none, "assessor": by.name, "hand_measured": False},
        steps_met=list(observation.steps_met),
        sky=observation.sky,
        ground=observation.ground,
        remark=observation.remark,
        no_result=observation.no_result,
        score_unit=unit_of(row["method"], row["judged_on"]),
        engine=solar.ENGINE,
    )


def _travelled(result: Result, by: Person, now: datetime) -> Revision:
    """The revision of a distance, leg, position or checklist."""
    row, observation = result.row, result.observation
    try:
        observed_at = _observed_at(row, now)
        score = score_row(row, steps=tuple(result.facts["steps"]), steps_met=observation.steps_met)
    except Refused as refused:
        raise Refused(refused.field, refused.sentence, position=result.position) from refused
    return Revision(
        attempt=result.attempt,
        number=1,
        recorded_by=by,
        recorded_at=now,
        inputs=row,
        observed_at=observed_at,
        facts={**result.facts, "assessor": by.name, "instrument": "", "mark": ""},
        steps_met=list(observation.steps_met),
        sky=observation.sky,
        ground=observation.ground,
        remark=observation.remark,
        score_value=score.value,
        score_unit=score.unit,
        score_side=score.side,
        score_expanded_u=score.expanded_u,
        results=score.results,
        verdict=score.verdict,
        drawing=score.drawing,
        engine=solar.ENGINE,
    )


def _observed_at(row: dict[str, str], now: datetime) -> datetime:
    if not row["times"]:
        raise Refused("times", _("Enter the time."))
    try:
        observed_at = local_time(row["times"], row["zone"])
    except ClockError as error:
        raise Refused("times", in_words(error.sentence)) from error
    except ValueError as error:
        raise Refused("times", _("Enter the time.")) from error
    if observed_at > now + CLOCK_ALLOWANCE:
        raise Refused("times", to_come())
    return observed_at
