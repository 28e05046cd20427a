"""Scored rows made into revisions: what is refused, what is kept, what is frozen."""

import re
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any

import numpy as np
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

import solar
from assessments.models import Attempt, Revision, Side
from assessments.models.revisions import SCORE_FIELDS
from assessments.observations import ROW_COLUMNS, Observation, local_time
from assessments.refusals import Refused
from assessments.uncertainty import standard_parts
from coursework.models import Person, Unit
from coursework.solar_words import in_words
from solar.clock import zone_of
from solar.scoring import Scores, score

_WRITTEN = {"sky", "ground", "remark", "reason"}
_UTC_TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ")
CLOCK_ALLOWANCE = timedelta(minutes=5)
"""How far a device's clock may run ahead of the server's before its times are refused."""


def score_rows(rows: Sequence[dict[str, str]], positions: Sequence[int], now: datetime) -> Scores:
    """The scores of batch rows; Refused for the first that cannot be scored or is still to come.

    `positions` are the places of the rows among what was sent, for the refusal.
    """
    scores = score({name: [row[name] for row in rows] for name in ROW_COLUMNS})
    too_late = now + CLOCK_ALLOWANCE
    for i, (row, position) in enumerate(zip(rows, positions, strict=True)):
        if scores.columns["problem"][i]:
            raise refusal_of(scores, i, row, position)
        if scores.observed_at[i] > too_late:
            raise Refused("times" if row["times"] else "date", to_come(), position=position)
        check_time = row["check_time"] and local_time(row["check_time"], row["zone"])
        if check_time and check_time > too_late:
            raise Refused("check_time", to_come(), position=position)
    return scores


def to_come() -> str:
    return _("That time is still to come.")


def refusal_of(scores: Scores, i: int, row: dict[str, str], position: int) -> Refused:
    """The problem of a row without the column's name and value: a form shows it at the field."""
    column = scores.fault_column[i]
    sentence = in_words(scores.columns["problem"][i].values["what"])
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
    day = scores.observed_at[i].astimezone(zone_of(row["zone"])).date()
    facts = {
        **facts,
        "assessor": by.name,
        "instrument": str(instrument) if instrument else "",
        "instrument_check": instrument.state_on(day) if instrument else {},
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
    own = row["judged_on"] == "own"
    judged_deg = numbers["own_error_deg" if own else "error_deg"]
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
        score_value=judged_deg,
        score_unit=Unit.DEGREES,
        score_side=side_of(judged_deg),
        score_expanded_u=numbers["expanded_uncertainty_deg"],
        verdict=scores.columns["verdict"][i],
        drawing=scores.drawing(i),
        engine=solar.ENGINE,
        magnetic_model=scores.magnetic_model[i],
    )


def side_of(error_deg: float) -> str:
    """Right or left; none where the line is right, or turned by half a circle."""
    if error_deg == 0.0 or abs(error_deg) == 180.0:
        return ""
    return Side.RIGHT if error_deg > 0.0 else Side.LEFT


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
