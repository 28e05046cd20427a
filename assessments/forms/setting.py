"""What a result form has to know before anything is typed."""

from dataclasses import dataclass
from datetime import date

from django.db.models import Q, QuerySet

from assessments.models import Revision
from coursework.models import Drill, Instrument, Person, ReferenceMark


@dataclass(frozen=True, kw_only=True)
class Setting:
    """The method, the clock and the choices that a drill or an earlier record offers."""

    method: str
    zone: str
    day: date
    steps: tuple[str, ...]
    instruments: QuerySet[Instrument]
    marks: QuerySet[ReferenceMark]
    degrees_per_hand: float | None = None
    paces_per_100_m: float | None = None

    @classmethod
    def of_drill(cls, drill: Drill, student: Person) -> "Setting":
        """For a new result of a drill."""
        return cls(
            method=drill.exercise.method,
            zone=drill.site.zone,
            day=drill.starts_at.astimezone(drill.site.zone_info).date(),
            steps=tuple(drill.exercise.step_list),
            instruments=Instrument.objects.filter(school=drill.site.school_id).in_use(),
            marks=drill.site.marks.all(),
            degrees_per_hand=student.degrees_per_hand,
            paces_per_100_m=student.paces_per_100_m,
        )

    @classmethod
    def of_revision(cls, revision: Revision) -> "Setting":
        """For a correction: method, clock and steps as they stood when it was recorded."""
        site = revision.attempt.drill.site
        return cls(
            method=revision.inputs["method"],
            zone=revision.inputs["zone"],
            day=revision.local_observed_at.date(),
            steps=tuple(revision.facts["steps"]),
            instruments=Instrument.objects.filter(school=site.school_id).filter(
                Q(retired_at=None) | Q(pk=revision.instrument_id)
            ),
            marks=site.marks.all(),
        )
