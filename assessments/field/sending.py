"""What a device sends, stored one by one: each item gets an answer of its own.

Sending anything twice is no harm. What cannot be stored comes back with a sentence: `refused`
with the fields to mend, `conflict` where the drill, its standard or its people have changed since.
"""

import uuid
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db import IntegrityError, transaction
from django.http import QueryDict
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from assessments import policies, services
from assessments.field.answers import score_of
from assessments.field.reading import Unreadable, moment_of, number_of, texts_of, uuid_of
from assessments.field.standard import digest, standard_tag
from assessments.forms import log_form
from assessments.forms.no_result import BUTTON, NoResultForm
from assessments.forms.setting import Setting
from assessments.models import Arrival, Attempt, FieldDevice, HeadcountEvent, LeadNote
from assessments.refusals import Refused
from coursework.models import Cohort, Drill, Person

MOST_ITEMS = 100
"""What one message may hold of each kind; a device sends fewer and comes again."""


@dataclass(frozen=True)
class Device:
    """Which device is sending, and by how much its clock is behind the server's."""

    key: uuid.UUID
    offset: timedelta


def receive(by: Person, sent: Mapping[str, Any], *, now: datetime | None = None) -> dict[str, Any]:
    """Store what a device of `by` sends; returns an answer for each item by its key.

    Raises Unreadable where the message as a whole cannot be made out.
    """
    now = now or timezone.now()
    device = _heard(by, sent, now)
    answers: dict[str, Any] = {}
    for kind, store in (("headcounts", _headcount), ("results", _result), ("notes", _note)):
        for item in _items(sent, kind):
            key = str(item.get("key", ""))
            try:
                answers[key] = store(by, device, item, now)
            except Unreadable as fault:
                answers[key] = _refused(str(fault))
    return answers


def _items(sent: Mapping[str, Any], kind: str) -> list[dict]:
    items = sent.get(kind, [])
    if not isinstance(items, list) or len(items) > MOST_ITEMS:
        raise Unreadable(_("Too much was sent at once."))
    if not all(isinstance(item, dict) for item in items):
        raise Unreadable(_("What was sent cannot be read."))
    return items


def _heard(by: Person, sent: Mapping[str, Any], now: datetime) -> Device:
    key = uuid_of(sent.get("device"))
    offset = now - moment_of(sent.get("clock"))
    device = Device(key, offset)
    heard = {
        "last_heard_at": now,
        "offset_ms": _milliseconds(offset),
        "waiting": number_of(sent.get("waiting", 0)),
    }
    FieldDevice.objects.update_or_create(
        key=key, person=by, defaults=heard, create_defaults={**heard, "first_heard_at": now}
    )
    return device


def _drill(by: Person, number: Any) -> Drill | None:
    drills = policies.field_drills(by).select_related("exercise", "site", "cohort__course__school")
    return drills.filter(pk=number_of(number)).first()


def _milliseconds(span: timedelta) -> int:
    return round(span / timedelta(milliseconds=1))


def _result(by: Person, device: Device, item: dict, now: datetime) -> dict[str, Any]:
    key = uuid_of(item.get("key"))
    said = [item.get("drill"), item.get("student"), item.get("fields")]
    mark = digest(said)
    found = _arrived(by, key, mark)
    if found is not None:
        return found
    drill = _drill(by, said[0])
    if drill is None:
        return _conflict(
            "drill",
            _("The drill is no longer there, or it is no longer yours to log results at."),
        )
    accepted = item.get("accepted") or []
    if drill.is_cancelled and "cancelled" not in accepted:
        reason = drill.cancel_reason or _("no reason given")
        return _conflict(
            "cancelled", _("The drill was cancelled: %(reason)s.") % {"reason": reason.rstrip(".")}
        )
    standard = standard_tag(drill)
    if item.get("standard") != standard and standard not in accepted:
        sentence = _("Its task or standard was changed after you noted the result. Now: %(words)s")
        words = " ".join(str(each) for each in drill.exercise.standard_in_words)
        return _conflict("standard", sentence % {"words": words}) | {"standard": standard}
    student = policies.students_to_log(by, drill).filter(pk=number_of(said[1])).first()
    if student is None:
        return _conflict("student", _("The student is no longer in the drill’s cohort."))
    return _store(by, device, item, key, drill, student, mark, now)


def _store(by, device, item, key, drill: Drill, student: Person, mark, now) -> dict[str, Any]:
    setting = Setting.of_drill(drill, student)
    posted = _posted(item, key)
    if BUTTON in posted:
        form = NoResultForm(posted)
    else:
        form = log_form(setting.method)(posted, setting=setting)
    made_at = moment_of(item.get("made_at"))
    offset_ms = item.get("offset_ms")
    try:
        if form.is_valid():
            with transaction.atomic():
                attempt = services.record_attempt(
                    by=by, drill=drill, student=student, observation=form.observation, key=key
                )
                Arrival.objects.create(
                    attempt=attempt,
                    device=device.key,
                    made_at=made_at,
                    offset_ms=None if offset_ms is None else number_of(offset_ms, signed=True),
                    received_at=now,
                    digest=mark,
                )
            return {"state": "stored", "score": score_of(attempt)}
    except Refused as refused:
        form.refuse(refused)
    except IntegrityError:
        # The same result arrived twice at once and the other one won.
        found = _arrived(by, key, mark)
        if found is None:
            raise
        return found
    return _refused(_("Some of it cannot be stored as it is."), form)


def _arrived(by: Person, key: uuid.UUID, mark: str) -> dict[str, Any] | None:
    """The answer where the key is stored already, whatever became of drill and student since."""
    attempt = Attempt.objects.filter(key=key).select_related("arrival", "current").first()
    if attempt is None:
        return None
    arrival = getattr(attempt, "arrival", None)
    first = attempt.revisions.get(number=1)
    if arrival is None or arrival.digest != mark or first.recorded_by_id != by.pk:
        return _refused(
            _("This result was stored before with other content. Correct it on its own page.")
        ) | {"address": attempt.get_absolute_url()}
    return {"state": "already", "score": score_of(attempt)}


def _posted(item: dict, key: uuid.UUID) -> QueryDict:
    posted = QueryDict(mutable=True)
    for name, texts in texts_of(item.get("fields")).items():
        posted.setlist(name, texts)
    posted["key"] = str(key)
    return posted


def _refused(sentence: str, form=None) -> dict[str, Any]:
    errors = []
    for name, sentences in form.errors.items() if form is not None else ():
        label = form.fields[name].label if name in form.fields else ""
        errors += [{"field": name, "label": str(label), "sentence": each} for each in sentences]
    return {"state": "refused", "sentence": sentence, "errors": errors}


def _conflict(problem: str, sentence: str) -> dict[str, Any]:
    return {"state": "conflict", "problem": problem, "sentence": sentence, "errors": []}


def _headcount(by: Person, device: Device, item: dict, now: datetime) -> dict[str, Any]:
    key = uuid_of(item.get("key"))
    if HeadcountEvent.objects.filter(key=key).exists():
        return {"state": "already"}
    drill = _drill(by, item.get("drill"))
    if drill is None:
        return _refused(_("The drill is no longer there, or it is no longer yours."))
    kind = item.get("what")
    if kind not in HeadcountEvent.Kind.values:
        raise Unreadable(_("What was sent cannot be read."))
    is_count = kind == HeadcountEvent.Kind.COUNT
    students = _students(by, item.get("students", []))
    event = HeadcountEvent(
        key=key,
        drill=drill,
        kind=kind,
        outing=None if is_count else uuid_of(item.get("outing")),
        students=[] if is_count else students,
        due_at=moment_of(item["due_at"]) if item.get("due_at") else None,
        number=number_of(item.get("number"), highest=500) if is_count else None,
        noted_by=by,
        noted_at=moment_of(item.get("noted_at")),
        device=device.key,
        received_at=now,
    )
    try:
        with transaction.atomic():
            event.save()
    except IntegrityError:
        # It arrived twice at once; the other one is the same.
        return {"state": "already"}
    return {"state": "stored"}


def _students(by: Person, numbers: Iterable) -> list[int]:
    # Not only those of the cohort: whoever was taken out of it meanwhile may still be out there.
    if not isinstance(numbers, list) or len(numbers) > 200:
        raise Unreadable(_("What was sent cannot be read."))
    wanted = {number_of(number) for number in numbers}
    known = Person.objects.filter(school=by.school_id, pk__in=wanted).values_list("pk", flat=True)
    if set(known) != wanted:
        raise Unreadable(_("One of these students is not known at the school."))
    return sorted(wanted)


def _note(by: Person, device: Device, item: dict, now: datetime) -> dict[str, Any]:
    key = uuid_of(item.get("key"))
    if LeadNote.objects.filter(key=key).exists():
        return {"state": "already"}
    if by.school_id is None:
        return _refused(_("Your account belongs to no school, so there is no lead to hand it to."))
    said = item.get("said")
    if not isinstance(said, list) or len(said) > 60:
        raise Unreadable(_("What was sent cannot be read."))
    drill = _drill(by, item.get("drill"))
    cohort: Cohort | None = drill.cohort if drill is not None else None
    try:
        with transaction.atomic():
            LeadNote.objects.create(
                key=key,
                school_id=by.school_id,
                cohort=cohort,
                about=str(item.get("about", ""))[:300],
                said=[[str(part)[:2000] for part in pair][:2] for pair in said],
                reason=str(item.get("reason", ""))[:600],
                noted_by=by,
                made_at=moment_of(item.get("made_at")),
                received_at=now,
            )
    except IntegrityError:
        return {"state": "already"}
    return {"state": "stored", "address": reverse("lead-notes")}
