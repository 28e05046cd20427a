"""Moving a cohort to a newer version of its course."""

from dataclasses import dataclass, field
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from coursework import policies
from coursework.models import Cohort, Course, Drill, Exercise, Lesson, Person, PlannedLesson
from coursework.models.bookings import Booking


@dataclass(frozen=True)
class DrillsAtMove:
    """What becomes of a cohort's drills and planned lessons.

    `follow`: to come and without results, their exercise is in the new version too; `orphaned`:
    to come, but the new version lacks it; `kept`: held already, or with results. The same of
    lessons, where those begun are left out: they stay with the lesson as it was.
    """

    follow: list[tuple[Drill, Exercise]]
    orphaned: list[Drill]
    kept: list[Drill]
    lessons_follow: list[tuple[PlannedLesson, Lesson]] = field(default_factory=list)
    lessons_orphaned: list[PlannedLesson] = field(default_factory=list)


def newer_versions(cohort: Cohort) -> models.QuerySet[Course]:
    """The published versions that a cohort can be moved to, the newest first."""
    course = cohort.course
    return course.versions.published().filter(number__gt=course.number)


def drills_at_move(cohort: Cohort, course: Course, now: datetime) -> DrillsAtMove:
    """What happens to each drill of a cohort that moves to `course` at that instant."""
    exercises = {exercise.key: exercise for exercise in course.exercises.all()}
    drills = list(cohort.drills.with_places().order_by("starts_at", "id"))
    recorded = _with_results(cohort)
    follow, orphaned, kept = [], [], []
    for drill in drills:
        if drill.pk in recorded or drill.starts_at <= now:
            kept.append(drill)
        elif drill.exercise.key in exercises:
            follow.append((drill, exercises[drill.exercise.key]))
        elif drill.exercise.course_id != course.pk:
            orphaned.append(drill)
    return DrillsAtMove(follow, orphaned, kept, *_lessons_at_move(cohort, course, now))


def _lessons_at_move(
    cohort: Cohort, course: Course, now: datetime
) -> tuple[list[tuple[PlannedLesson, Lesson]], list[PlannedLesson]]:
    lessons = {lesson.key: lesson for lesson in course.lessons.all()}
    coming = cohort.planned_lessons.filter(starts_at__gt=now).with_places()
    follow, orphaned = [], []
    for planned in coming.order_by("starts_at", "id"):
        if planned.lesson.key in lessons:
            follow.append((planned, lessons[planned.lesson.key]))
        elif planned.lesson.course_id != course.pk:
            orphaned.append(planned)
    return follow, orphaned


@transaction.atomic
def move_cohort(
    by: Person, cohort: Cohort, course: Course, *, now: datetime | None = None
) -> DrillsAtMove:
    """Put a cohort on a newer version; drills and lessons to come follow by their keys."""
    policies.require(policies.may_arrange(by, cohort))
    cohort = Cohort.objects.select_for_update().select_related("course").get(pk=cohort.pk)
    if not newer_versions(cohort).filter(pk=course.pk).exists():
        raise ValidationError(_("A cohort moves to a newer published version of its own course."))
    if course.cohorts.filter(name=cohort.name).exists():
        raise ValidationError(
            _("Another cohort of that version is called “%(name)s”. Rename one of them first."),
            params={"name": cohort.name},
        )
    now = now or timezone.now()
    drills = drills_at_move(cohort, course, now)
    for drill, exercise in drills.follow:
        _follow(drill, now, exercise=exercise)
    for planned, lesson in drills.lessons_follow:
        _follow(planned, now, lesson=lesson)
    shown = ["sequence", "changed_at"]
    Drill.objects.bulk_update([one for one, _new in drills.follow], ["exercise", *shown])
    moved = [one for one, _new in drills.lessons_follow]
    PlannedLesson.objects.bulk_update(moved, ["lesson", *shown])
    cohort.course = course
    cohort.save(update_fields=["course"])
    return drills


def _follow(booking: Booking, now: datetime, **what) -> None:
    """Give it what it is of from now on; calendars are told where it is called otherwise there."""
    before = booking.title
    for name, new in what.items():
        setattr(booking, name, new)
    if booking.title != before:
        booking.sequence += 1
        booking.changed_at = now


def _with_results(cohort: Cohort) -> set[int]:
    """Numbers of the cohort's drills that records of other parts of the program rest on.

    Plans and decisions of coursework itself do not hold a drill to its exercise; results do.
    """
    found: set[int] = set()
    for relation in Drill._meta.related_objects:
        if relation.on_delete is models.PROTECT and relation.related_model._meta.app_label != (
            Drill._meta.app_label
        ):
            rows = relation.related_model._base_manager.filter(
                **{f"{relation.field.name}__cohort": cohort}
            )
            found.update(rows.values_list(relation.field.attname, flat=True).distinct())
    return found
