"""Scored rows made into revisions: what is refused, what is kept, what is frozen."""

import re
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any

import numpy as np
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

import solar
from assessments.models import Attempt, Revision
from assessments.models.revisions import SCORE_FIELDS
from assessments.observations import ROW_COLUMNS, Observation, local_time
from assessments.uncertainty import standard_parts
from coursework.models import Person
from solar.clock import zone_of
from solar.scoring import Scores, score

_WRITTEN = {"sky", "ground", "remark", "reason"}
_UTC_TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ")
CLOCK_ALLOWANCE = timedelta(minutes=5)
"""How far a device's clock may run ahead of the server's before its times are refused."""


class Refused(ValueError):  # noqa: N818 - named for what it says to the assessor
    """A result that cannot be stored. `field` is the column or part it is about, '' for all."""

    def __init__(self, field: str, sentence: str, *, position: int = 0) -> None:
        super().__init__(sentence)
        self.field = field
        self.sentence = sentence
        self.position = position


def score_rows(rows: Sequence[dict[str, str]], positions: Sequence[int], now: datetime) -> Scores:
    """The scores of batch rows; Refused for the first that cannot be scored or is still to come.

    `positions` are the places of the rows among what was sent, for the refusal.
    """
    scores = score({name: [row[name] for row in rows] for name in ROW_COLUMNS})
    for i, (row, position) in enumerate(zip(rows, positions, strict=True)):
        if scores.columns["problem"][i]:
            raise refusal_of(scores, i, row, position)
        future = _("That time is still to come.")
        if scores.observed_at[i] > now + CLOCK_ALLOWANCE:
            raise Refused("times" if row["times"] else "date", future, position=position)
        check_time = row["check_time"] and local_time(row["check_time"], row["zone"])
        if check_time and check_time > now + CLOCK_ALLOWANCE:
            raise Refused("check_time", future, position=position)
    return scores


def refusal_of(scores: Scores, i: int, row: dict[str, str], position: int) -> Refused:
    """The problem of a row without the column's name and value: a form shows it at the field."""
    column, sentence = scores.fault_column[i], scores.columns["problem"][i]
    sentence = sentence.removeprefix(f"{column} “{row.get(column, '')}”: ")
    zone = zone_of(row["zone"])
    # The batch file speaks UTC; people read their own clock.
    sentence = _UTC_TIME.sub(
        lambda found: f"{datetime.fromisoformat(found[0]).astimezone(zone):%H:%M %Z}", sentence
    )
    return Refused(column, sentence[:1].upper() + sentence[1:], position=position)


def new_revision(
    attempt: Attempt,
    scores: Scores,
    i: int,
    *,
    row: dict[str, str],
    by: Person,
    observation: Observation,
    facts: dict[str, Any],
    now: datetime,
) -> Revision:
    """The first revision of row `i` with its score, not yet saved."""
    instrument, mark = observation.instrument, observation.mark
    facts = {
        **facts,
        "assessor": by.name,
        "instrument": str(instrument) if instrument else "",
        "mark": mark.name if mark else "",
        # A hand taken for 15 degrees because nobody measured it splits nothing.
        "hand_measured": bool(row["degrees_per_hand"]),
    }
    numbers = numbers_of(scores, i, facts)
    facts["uncertainty"] = standard_parts(
        row,
        expanded_deg=numbers["expanded_uncertainty_deg"],
        last_time=scores.observed_at[i],
        check_time=local_time(row["check_time"], row["zone"]) if row["check_time"] else None,
    )
    return Revision(
        attempt=attempt,
        number=1,
        recorded_by=by,
        recorded_at=now,
        inputs=row,
        observed_at=scores.observed_at[i],
        instrument=instrument,
        facts=facts,
        steps_met=list(observation.steps_met),
        sky=observation.sky,
        ground=observation.ground,
        remark=observation.remark,
        **numbers,
        verdict=scores.columns["verdict"][i],
        drawing=scores.drawing(i),
        engine=solar.ENGINE,
        magnetic_model=scores.magnetic_model[i],
    )


def numbers_of(scores: Scores, i: int, facts: dict[str, Any]) -> dict[str, float | None]:
    """The columns of a score as numbers, None where blank or where the split is not known."""
    numbers = {
        name: None if np.isnan(scores.columns[name][i]) else float(scores.columns[name][i])
        for name in SCORE_FIELDS
    }
    if not facts["hand_measured"]:
        numbers["counting_error_deg"] = None
    return numbers


def check_texts(revision: Revision, position: int) -> None:
    """What people wrote has its limits; the numbers come from the engine."""
    others = {item.name for item in Revision._meta.concrete_fields} - _WRITTEN
    try:
        revision.clean_fields(exclude=others)
    except ValidationError as error:
        name, sentences = next(iter(error.message_dict.items()))
        raise Refused(name, sentences[0], position=position) from error
