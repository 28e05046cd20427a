"""Importing a course stores all of it or nothing."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError

from coursework import services
from coursework.exchange.reading import read
from coursework.models import Course, Lesson
from tests import builders
from tests.coursework.exchange.test_reading import GOOD, written

pytestmark = pytest.mark.django_db


def test_an_imported_course_is_a_draft_of_the_school():
    admin = builders.administrator()
    course = services.import_course(admin, read(written(GOOD)))
    assert (course.school, course.number, course.is_draft) == (admin.school, 1, True)
    first, second = course.lessons.order_by("position")
    assert list(second.prerequisites.all()) == [first]
    assert list(course.exercises.get().lessons.all()) == [second]


def test_a_title_that_the_school_has_is_refused():
    admin = builders.administrator()
    builders.course(school=admin.school, title="BY THE SUN")
    with pytest.raises(ValidationError, match="another title"):
        services.import_course(admin, read(written(GOOD)))
    assert Course.objects.count() == 1


def test_nothing_is_kept_where_a_part_cannot_be_stored(monkeypatch):
    def refuse(self, *args, **kwargs):
        raise IntegrityError("full")

    monkeypatch.setattr(Lesson, "save", refuse)
    with pytest.raises(IntegrityError):
        services.import_course(builders.administrator(), read(written(GOOD)))
    assert not Course.objects.exists()


def test_who_does_not_arrange_the_school_imports_nothing():
    with pytest.raises(PermissionDenied):
        services.import_course(builders.student(builders.cohort()), read(written(GOOD)))
