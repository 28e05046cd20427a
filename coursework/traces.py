"""What the records of the site hold about a person, declared model by model.

Every field of every model that points to a person is declared here or, for models that this
package does not know, by their own app when it starts. What is declared decides what a person
gets when they ask for their data, and what goes and what stays when the data are erased.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from django.apps import apps
from django.db.models import Model, QuerySet
from django.utils.translation import gettext_lazy as _


def everything(rows: QuerySet) -> QuerySet:
    return rows


def nothing(rows: QuerySet) -> QuerySet:
    return rows.none()


@dataclass(frozen=True, kw_only=True)
class Trace:
    """One field that points to a person.

    `field` is 'app.Model.field'. `columns` are lookups from a row that the person gets of each
    row; none where the rows are about others (what someone recorded), which are only counted.
    `private` ones go to nobody but the person, and `shown` leaves out what is hidden from a reader
    for the time being. `going` picks the rows that an erasure removes,
    by `remove`; the others stay under the anonymous label.
    """

    field: str
    words: str
    columns: tuple[str, ...] = ()
    private: bool = False
    shown: Callable[[Model, QuerySet], QuerySet] = lambda _reader, rows: rows
    going: Callable[[QuerySet], QuerySet] = nothing
    remove: Callable[[QuerySet], object] = lambda rows: rows.delete()

    @cached_property
    def model(self) -> type[Model]:
        return apps.get_model(self.field.rpartition(".")[0])

    def rows(self, person) -> QuerySet:
        name = self.field.rpartition(".")[2]
        return self.model._base_manager.filter(**{name: person})


def without_name(text: str, name: str, label: str) -> str:
    """The text with the label for the name, where the name stands as whole words."""
    return re.sub(rf"(?<!\w){re.escape(name)}(?!\w)", lambda _match: label, text)


@dataclass(frozen=True, kw_only=True)
class Texts:
    """Texts of a model in which people of a school may be named, and the way to the school."""

    model: str
    columns: tuple[str, ...]
    school: str

    def rename(self, person, label: str) -> None:
        """Put the label wherever the whole name stands in texts of the person's school."""
        model = apps.get_model(self.model)
        for column in self.columns:
            found = model._base_manager.filter(
                **{self.school: person.school_id, f"{column}__contains": person.name}
            )
            for row in found:
                setattr(row, column, without_name(getattr(row, column), person.name, label))
                row.save(update_fields=[column])


_traces: dict[str, Trace] = {}
_texts: list[Texts] = []
_renamers: list[Callable[[object, str], None]] = []


def declare(*found: Trace | Texts) -> None:
    """Add declarations; a field declared twice takes the later one."""
    for item in found:
        if isinstance(item, Trace):
            _traces[item.field] = item
        elif item not in _texts:
            _texts.append(item)


def declare_renamer(renamer: Callable[[object, str], None]) -> None:
    """Add a function of person and label that replaces the name where it was frozen."""
    if renamer not in _renamers:
        _renamers.append(renamer)


def declared() -> list[Trace]:
    return list(_traces.values())


def rename_everywhere(person, label: str) -> None:
    """Put the label for the name in every frozen or free text, before the name is gone."""
    for renamer in _renamers:
        renamer(person, label)
    if person.name:
        for texts in _texts:
            texts.rename(person, label)


def declare_coursework() -> None:
    """What this package and Django's own apps hold."""
    declare(
        Trace(
            field="coursework.Enrolment.person",
            words=_("roles in cohorts"),
            columns=("cohort__name", "cohort__course__title", "role"),
            going=everything,
        ),
        Trace(
            field="coursework.HandMeasurement.person",
            words=_("measurements of the hand"),
            columns=("measured_at", "breadth_cm", "reach_cm", "degrees", "measured_by__name"),
            going=everything,
        ),
        Trace(
            field="coursework.PaceMeasurement.person",
            words=_("counts of paces"),
            columns=("measured_at", "paces", "distance_m", "paces_per_100_m", "measured_by__name"),
            going=everything,
        ),
        Trace(
            field="coursework.Contact.person",
            words=_("emergency contact and medical note"),
            columns=(
                "emergency_name",
                "emergency_phone",
                "emergency_agreed_at",
                "medical_note",
                "medical_agreed_at",
            ),
            private=True,
            going=everything,
        ),
        Trace(
            field="coursework.Approval.person",
            words=_("first aid and assessor approvals"),
            columns=("kind", "detail", "issued_on", "expires_on", "recorded_by__name"),
            going=everything,
        ),
        Trace(
            field="coursework.Attendance.person",
            words=_("attendance at lessons"),
            columns=("cohort__name", "lesson__title", "present", "marked_at", "marked_by__name"),
            going=everything,
        ),
        Trace(
            field="coursework.Invitation.person",
            words=_("links to sign in for the first time"),
            columns=("made_at", "expires_at", "accepted_at", "made_by__name"),
            going=everything,
        ),
        Trace(
            field="coursework.Invitation.accepted_by",
            words=_("invitations accepted"),
            columns=("note", "made_at", "accepted_at", "made_by__name"),
            going=everything,
        ),
        Trace(
            field="coursework.FollowUp.person",
            words=_("follow-ups of incidents to be done"),
            columns=("task", "due_on", "done_on"),
        ),
        Trace(field="coursework.FollowUp.added_by", words=_("follow-ups of incidents asked for")),
        Trace(field="coursework.FollowUp.done_by", words=_("follow-ups of incidents done")),
        Trace(field="coursework.Incident.reported_by", words=_("incidents reported")),
        Trace(field="coursework.IncidentNote.by", words=_("notes on incidents")),
        Trace(field="coursework.Decision.decided_by", words=_("go-or-stay decisions")),
        Trace(field="coursework.InstrumentCheck.checked_by", words=_("checks of instruments")),
        Trace(field="coursework.Attendance.marked_by", words=_("attendance marked for others")),
        Trace(field="coursework.Course.published_by", words=_("course versions published")),
        Trace(field="coursework.Invitation.made_by", words=_("invitations made")),
        Trace(field="coursework.HandMeasurement.measured_by", words=_("hands measured")),
        Trace(field="coursework.PaceMeasurement.measured_by", words=_("counts of paces taken")),
        Trace(field="coursework.Approval.recorded_by", words=_("approvals recorded")),
        Trace(
            field="coursework.Drill.lead",
            words=_("drills led"),
            columns=("exercise__title", "site__name", "starts_at"),
        ),
        Trace(
            field="coursework.PlannedLesson.lead",
            words=_("planned lessons led"),
            columns=("lesson__title", "cohort__name", "starts_at"),
        ),
        Trace(field="coursework.PlanException.by", words=_("exceptions made in planning")),
        Trace(
            field="coursework.LessonException.by",
            words=_("exceptions made in planning of lessons"),
        ),
        Trace(
            field="coursework.CalendarFeed.person",
            words=_("private calendar address"),
            columns=("made_at",),
            going=everything,
        ),
        Trace(
            field="otp_totp.TOTPDevice.user",
            words=_("second step at sign-in"),
            columns=("confirmed", "created_at", "last_used_at"),
            going=everything,
        ),
        Trace(
            field="otp_static.StaticDevice.user",
            words=_("sets of spare codes for signing in"),
            columns=("created_at", "last_used_at"),
            going=everything,
        ),
        Trace(
            field="admin.LogEntry.user",
            words=_("changes made on the maintenance pages"),
            going=everything,
        ),
        Texts(
            model="coursework.Incident",
            columns=("what", "people", "harm_note", "action"),
            school="school",
        ),
        Texts(model="coursework.IncidentNote", columns=("text",), school="incident__school"),
        Texts(
            model="coursework.FollowUp", columns=("task", "done_note"), school="incident__school"
        ),
        Texts(model="coursework.Decision", columns=("reason",), school="site__school"),
        Texts(
            model="coursework.PlanException",
            columns=("sentence", "reason"),
            school="drill__cohort__course__school",
        ),
        Texts(
            model="coursework.Drill",
            columns=("wet_plan", "cancel_reason"),
            school="cohort__course__school",
        ),
        Texts(
            model="coursework.LessonException",
            columns=("sentence", "reason"),
            school="planned_lesson__cohort__course__school",
        ),
        Texts(
            model="coursework.PlannedLesson",
            columns=("place", "note", "cancel_reason"),
            school="cohort__course__school",
        ),
        Texts(model="coursework.Invitation", columns=("note",), school="school"),
    )
    declare_renamer(_forget_maintenance)


def _forget_maintenance(person, label: str) -> None:
    """Django's admin keeps names in its log of changes."""
    if person.name:
        entries = apps.get_model("admin.LogEntry")._base_manager
        entries.filter(object_repr__contains=person.name).update(object_repr=label)
