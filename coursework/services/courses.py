"""Versions of a course: published, changed, discarded, copied."""

import uuid

from django.core.exceptions import ValidationError
from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from coursework import policies
from coursework.models import Course, Exercise, Lesson, Person
from coursework.services.readiness import missing_to_publish


def require_draft(by: Person, course: Course) -> Course:
    """The course as it stands, locked; ValidationError where it is published and so frozen."""
    policies.require(policies.may_arrange(by, course))
    locked = Course.objects.select_for_update().get(pk=course.pk)
    if not locked.is_draft:
        raise ValidationError(frozen_sentence(locked))
    return locked


def frozen_sentence(course: Course) -> str:
    return _(
        "Version %(number)s of “%(title)s” is published and stays as it is. Change the course to "
        "make its next version."
    ) % {"number": course.number, "title": course.title}


@transaction.atomic
def save_course(by: Person, course: Course) -> Course:
    """Store the texts of a new course or of a draft; nothing else of it can be changed by hand."""
    if course.pk is None:
        policies.require(policies.may_arrange(by, course))
        course.save()
    else:
        require_draft(by, course)
        course.save(update_fields=["title", "summary", "change_note"])
    return course


@transaction.atomic
def publish(by: Person, course: Course) -> Course:
    """Freeze a draft, so that cohorts can take it; ValidationError says what it cannot lack."""
    course = require_draft(by, course)
    if blocking := missing_to_publish(course):
        raise ValidationError(blocking)
    course.published_at, course.published_by = timezone.now(), by
    course.save(update_fields=["published_at", "published_by"])
    return course


@transaction.atomic
def next_version(by: Person, course: Course) -> Course:
    """A draft of the next version with the lessons and exercises of the newest published one.

    Where there is a draft already, that one.
    """
    policies.require(policies.may_arrange(by, course))
    # The lock is on the oldest row: two leads at once get the same draft.
    versions = list(
        Course.objects.select_for_update().filter(lineage=course.lineage).order_by("number")
    )
    newest = versions[-1]
    if newest.is_draft:
        return newest
    draft = Course(
        school=newest.school,
        lineage=newest.lineage,
        number=newest.number + 1,
        title=newest.title,
        summary=newest.summary,
    )
    draft.save()
    copy_contents(newest, draft, new_keys=False)
    return draft


@transaction.atomic
def copy_course(by: Person, course: Course, *, title: str) -> Course:
    """A course of its own with the same contents, as a draft of its first version."""
    policies.require(policies.may_arrange(by, course))
    copied = Course(school=course.school, title=title, summary=course.summary)
    copied.full_clean()
    copied.save()
    copy_contents(course, copied, new_keys=True)
    return copied


@transaction.atomic
def discard_draft(by: Person, course: Course) -> None:
    """Delete a draft with its lessons and exercises; the versions before it stay."""
    require_draft(by, course).delete()


def copy_contents(old: Course, new: Course, *, new_keys: bool) -> None:
    """Lessons, exercises and their prerequisites; the same keys within one lineage."""
    lessons = {
        lesson.pk: _copied(lesson, new, new_keys) for lesson in old.lessons.order_by("position")
    }
    exercises = {
        exercise.pk: _copied(exercise, new, new_keys)
        for exercise in old.exercises.order_by("position")
    }
    before = Lesson.prerequisites.through
    before.objects.bulk_create(
        before(from_lesson=lessons[row.from_lesson_id], to_lesson=lessons[row.to_lesson_id])
        for row in before.objects.filter(from_lesson__course=old).order_by("id")
    )
    needed = Exercise.lessons.through
    needed.objects.bulk_create(
        needed(exercise=exercises[row.exercise_id], lesson=lessons[row.lesson_id])
        for row in needed.objects.filter(exercise__course=old).order_by("id")
    )


def _copied(thing: Lesson | Exercise, course: Course, new_key: bool) -> models.Model:
    """All fields but its own number, whatever they are: none is forgotten when one is added."""
    fields = {
        field.attname: getattr(thing, field.attname)
        for field in thing._meta.concrete_fields
        if not field.primary_key
    }
    fields["course_id"] = course.pk
    if new_key:
        fields["key"] = uuid.uuid4()
    made = type(thing)(**fields)
    made.save()
    return made
