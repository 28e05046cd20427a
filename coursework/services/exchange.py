"""A course read from a file becomes a draft."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from coursework import policies
from coursework.exchange.reading import CourseFile
from coursework.models import Course, Exercise, Lesson, Person


@transaction.atomic
def import_course(by: Person, read: CourseFile) -> Course:
    """Store all of a file as a draft of a new course at the school of `by`, or nothing of it.

    ValidationError where the school already has a course of the title.
    """
    policies.require(policies.may_arrange_school(by))
    course = Course(school=by.school, title=read.course.title, summary=read.course.summary)
    if Course.objects.filter(school=by.school, title__iexact=course.title).exists():
        raise ValidationError(
            _("The school already has a course called “%(title)s”. Give this one another title."),
            params={"title": course.title},
        )
    course.full_clean()
    course.save()
    for row in [*read.lessons.values(), *read.exercises]:
        row.course = course
        row.save()
    before = Lesson.prerequisites.through
    before.objects.bulk_create(
        before(from_lesson=read.lessons[name], to_lesson=read.lessons[other])
        for name, others in read.prerequisites.items()
        for other in others
    )
    needed = Exercise.lessons.through
    needed.objects.bulk_create(
        needed(exercise=exercise, lesson=read.lessons[name])
        for exercise, names in zip(read.exercises, read.needed, strict=True)
        for name in names
    )
    return course
