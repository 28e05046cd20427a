"""Who was at a lesson."""

from collections.abc import Mapping

from django.db import transaction
from django.utils import timezone

from coursework import policies
from coursework.models import Attendance, Cohort, Lesson, Person, Role


@transaction.atomic
def mark_attendance(
    by: Person, cohort: Cohort, lesson: Lesson, present: Mapping[int, bool]
) -> list[Attendance]:
    """Mark students (by their numbers) present or absent; only what differs is written down.

    An earlier mark is not overwritten: the new one stands over it, with who made it and when.
    """
    policies.require(policies.may_assess(by, cohort))
    policies.require(lesson.course_id == cohort.course_id)
    # One after the other, so that the same mark sent twice at once is one mark.
    Cohort.objects.select_for_update().get(pk=cohort.pk)
    students = set(cohort.enrolments.filter(role=Role.STUDENT).values_list("person", flat=True))
    policies.require(set(present) <= students)
    standing = dict(
        Attendance.objects.filter(cohort=cohort, lesson_key=lesson.key)
        .standing()
        .values_list("person", "present")
    )
    now = timezone.now()
    return Attendance.objects.bulk_create(
        Attendance(
            cohort=cohort,
            lesson=lesson,
            lesson_key=lesson.key,
            person_id=person,
            present=is_present,
            marked_by=by,
            marked_at=now,
        )
        for person, is_present in present.items()
        if standing.get(person) is not is_present
    )
