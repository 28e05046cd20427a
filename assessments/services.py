"""Storing attempts: scored first, all or nothing, and never over an earlier record."""

import uuid
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from assessments import policies
from assessments.certification.signing import reopen_for
from assessments.models import Attempt, Revision
from assessments.models.attempts import CURRENT
from assessments.observations import (
    BLANK_MEANS,
    Observation,
    facts_of,
    observed_columns,
    setting_columns,
    setting_of,
)
from assessments.recomputing import Difference, recompute_difference
from assessments.records.summaries import follow
from assessments.refusals import Refused
from assessments.scored import check_texts
from assessments.scoring import Result, revisions_of
from coursework.models import Drill, Enrolment, Person, Role

__all__ = [
    "Difference",
    "Entry",
    "Refused",
    "correct_attempt",
    "recompute_difference",
    "record_attempt",
    "record_attempts",
]


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One result to be stored. `key` is made by whoever recorded it first, even offline."""

    drill: Drill
    student: Person
    observation: Observation
    key: uuid.UUID = field(default_factory=uuid.uuid4)


def record_attempt(
    *,
    by: Person,
    drill: Drill,
    student: Person,
    observation: Observation,
    key: uuid.UUID | None = None,
    now: datetime | None = None,
) -> Attempt:
    """Store one result; see `record_attempts`."""
    entry = Entry(drill=drill, student=student, observation=observation, key=key or uuid.uuid4())
    return record_attempts(by=by, entries=[entry], now=now)[0]


def record_attempts(
    *, by: Person, entries: Sequence[Entry], now: datetime | None = None
) -> list[Attempt]:
    """Score results and store them, all or none; returns their attempts in the same order.

    A key that is already stored gives the attempt it has, as long as the same person sends
    the same content. PermissionDenied where `by` does not log for the drill; Refused says
    which part of which entry (`position`) cannot be stored and why. `now` is the instant of
    recording, for whoever records on another's clock; the server's own where left out.
    """
    now = now or timezone.now()
    _check_people(by, entries)
    rows = [
        {
            "attempt": str(entry.key),
            **setting_of(entry.drill),
            **entry.observation.filled(entry.drill.exercise.method, entry.student),
        }
        for entry in entries
    ]
    try:
        with transaction.atomic():
            stored = _already_stored(by, entries, rows)
            new = [
                (position, entry, rows[position])
                for position, entry in enumerate(entries)
                if entry.key not in stored
            ]
            stored.update(_store(by, new, now))
    except IntegrityError:
        # The same key arrived twice at once and the other one won: it is there to be read now.
        stored = _already_stored(by, entries, rows)
        if any(entry.key not in stored for entry in entries):
            raise
    return [stored[entry.key] for entry in entries]


def correct_attempt(
    *,
    by: Person,
    attempt: Attempt,
    observation: Observation,
    reason: str,
    seen: int | None = None,
    now: datetime | None = None,
) -> Revision:
    """Add a revision with what should have been recorded; place and standard stay as they were.

    `seen` is the number of the revision that the correction was made from: a newer one
    refuses it. PermissionDenied for those who may not correct; Refused otherwise, with reason.
    """
    if not policies.may_correct(by, attempt):
        raise PermissionDenied
    reason = reason.strip()
    if not reason:
        raise Refused("reason", _("Say why the record is corrected."))
    now = now or timezone.now()
    with transaction.atomic():
        attempt = Attempt.objects.select_for_update().get(pk=attempt.pk)
        last = Revision.objects.get(pk=attempt.current_id)
        setting = {name: last.inputs[name] for name in setting_columns(last.method)}
        row = {"attempt": str(attempt.key), **setting, **observation.filled(last.method)}
        if _same_content(last, row, observation):
            if last.number > 1 and last.recorded_by_id == by.pk and last.reason == reason:
                return last  # the same correction, sent twice
            raise Refused("", _("Nothing differs from the record as it stands."))
        if seen is not None and seen != last.number:
            raise Refused(
                "", _("Someone corrected this attempt meanwhile. Look at it before you go on.")
            )
        _check_belongings(attempt.drill, observation, 0)
        result = Result(
            attempt=attempt,
            row=row,
            observation=observation,
            facts=last.facts,
            at=last.observed_at,
        )
        (revision,) = revisions_of([result], by=by, now=now)
        revision.number = last.number + 1
        revision.reason = reason
        check_texts(revision, 0)
        revision.save()
        attempt.take(revision)
        attempt.save(update_fields=CURRENT)
        follow([attempt])
        reopen_for(revision)
    return revision


def _check_people(by: Person, entries: Sequence[Entry]) -> None:
    allowed: dict[tuple[int, bool], bool] = {}
    for entry in entries:
        asked = entry.drill.pk, entry.student.pk == by.pk
        if asked not in allowed:
            allowed[asked] = policies.may_log_for(by, entry.drill, entry.student)
            if not allowed[asked] and not policies.may_log(by, entry.drill):
                raise PermissionDenied
    cohorts = {entry.drill.cohort_id for entry in entries}
    enrolled = set(
        Enrolment.objects.filter(cohort__in=cohorts, role=Role.STUDENT).values_list(
            "cohort_id", "person_id"
        )
    )
    for position, entry in enumerate(entries):
        is_own = entry.student.pk == by.pk
        if not allowed[entry.drill.pk, is_own]:
            if is_own:
                sentence = _("Nobody logs their own result, practice aside.")
            else:
                sentence = _("You may log your own practice here, and nobody else’s result.")
            raise Refused("student", sentence, position=position)
        if (entry.drill.cohort_id, entry.student.pk) not in enrolled:
            sentence = _("%(name)s is not a student of this drill’s cohort.")
            raise Refused("student", sentence % {"name": entry.student}, position=position)
        _check_belongings(entry.drill, entry.observation, position)


def _check_belongings(drill: Drill, observation: Observation, position: int) -> None:
    mark, instrument = observation.mark, observation.instrument
    if mark is not None and mark.site_id != drill.site_id:
        raise Refused("landmark_deg", _("That mark belongs to another site."), position=position)
    if instrument is not None and instrument.school_id != drill.site.school_id:
        sentence = _("That instrument belongs to another school.")
        raise Refused("instrument", sentence, position=position)


def _already_stored(
    by: Person, entries: Sequence[Entry], rows: Sequence[dict[str, str]]
) -> dict[uuid.UUID, Attempt]:
    attempts = Attempt.objects.in_bulk([entry.key for entry in entries], field_name="key")
    if not attempts:
        return {}
    firsts = {
        revision.attempt_id: revision
        for revision in Revision.objects.filter(attempt__in=attempts.values(), number=1)
    }
    for position, (entry, row) in enumerate(zip(entries, rows, strict=True)):
        attempt = attempts.get(entry.key)
        if attempt is None:
            continue
        first = firsts[attempt.pk]
        same = (
            attempt.drill_id == entry.drill.pk
            and attempt.student_id == entry.student.pk
            and first.recorded_by_id == by.pk
            and _same_content(first, row, entry.observation)
        )
        if not same:
            sentence = _("This result was sent before with other content, or by someone else.")
            raise Refused("key", sentence, position=position)
    return attempts


def _same_content(revision: Revision, row: dict[str, str], observation: Observation) -> bool:
    # Place and standard are left out: a site mended between two sends is no other result.
    return (
        revision.method == row["method"]
        and all(
            _said(revision.inputs, name) == _said(row, name)
            for name in observed_columns(row["method"])
        )
        and revision.no_result == observation.no_result
        and revision.instrument_id == _instrument_of(observation)
        and revision.steps_met == list(observation.steps_met)
        and (revision.sky, revision.ground, revision.remark)
        == (observation.sky, observation.ground, observation.remark)
    )


def _instrument_of(observation: Observation) -> int | None:
    # Nothing was read off where there is no result.
    if observation.instrument is None or observation.no_result:
        return None
    return observation.instrument.pk


def _said(row: dict[str, str], name: str) -> str:
    """What a column says, blank or written out: a stick of 1 m is what blank means."""
    return row[name] or BLANK_MEANS.get(name, "")


def _store(
    by: Person, new: Sequence[tuple[int, Entry, dict[str, str]]], now: datetime
) -> dict[uuid.UUID, Attempt]:
    if not new:
        return {}
    results = []
    for position, entry, row in new:
        drill = entry.drill
        attempt = Attempt(
            key=entry.key,
            drill=drill,
            exercise=drill.exercise,
            method=drill.exercise.method,
            student=entry.student,
            assessed=drill.assessed,
            created_at=now,
        )
        facts = {**facts_of(drill), "student": entry.student.name}
        results.append(
            Result(
                attempt=attempt,
                row=row,
                observation=entry.observation,
                facts=facts,
                position=position,
                at=min(now, drill.ends_at),
            )
        )
    attempts = [result.attempt for result in results]
    revisions = revisions_of(results, by=by, now=now)
    for result, revision in zip(results, revisions, strict=True):
        check_texts(revision, result.position)
    Attempt.objects.bulk_create(attempts)
    Revision.objects.bulk_create(revisions)
    for attempt, revision in zip(attempts, revisions, strict=True):
        attempt.take(revision)
    Attempt.objects.bulk_update(attempts, CURRENT, batch_size=200)
    follow(attempts)
    return {attempt.key: attempt for attempt in attempts}
