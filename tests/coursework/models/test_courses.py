"""Versions of a course, as rows."""

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError

from coursework.models import Course, Exercise
from tests import builders

pytestmark = pytest.mark.django_db


def test_a_course_has_one_draft_at_most():
    first = builders.draft()
    with pytest.raises(IntegrityError):
        builders.draft(school=first.school, lineage=first.lineage, number=2)


def test_a_number_is_given_once_in_a_lineage():
    first = builders.course()
    with pytest.raises(IntegrityError):
        builders.course(school=first.school, lineage=first.lineage, title="Another")


def test_an_exercise_has_its_key_once_in_a_version():
    first = builders.exercise()
    with pytest.raises(IntegrityError):
        builders.exercise(course=first.course, key=first.key)


def test_a_version_says_in_words_which_it_is():
    assert builders.course(title="Sun", number=2).title_with_version == "Sun (version 2)"
    assert builders.draft(title="Sun").title_with_version == "Sun (draft of version 1)"


def test_a_cohort_cannot_be_put_on_a_draft():
    cohort = builders.cohort()
    cohort.course = builders.draft(school=cohort.course.school)
    with pytest.raises(ValidationError, match="published version"):
        cohort.full_clean()


def test_the_newest_are_published_ones():
    old = builders.course()
    new = builders.course(school=old.school, title=old.title, lineage=old.lineage, number=2)
    builders.draft(school=old.school, title=old.title, lineage=old.lineage, number=3)
    other = builders.draft(school=old.school)
    assert list(Course.objects.newest()) == [new]
    assert set(Course.objects.all().one_each()) == {new, other}


def test_an_older_version_stays_to_be_chosen_where_it_is_taken():
    old = builders.course()
    new = builders.course(school=old.school, title=old.title, lineage=old.lineage, number=2)
    assert list(Course.objects.taken_or_newest(old.pk)) == [new, old]


def test_cohorts_are_counted_over_all_versions():
    old = builders.cohort().course
    new = builders.course(school=old.school, title=old.title, lineage=old.lineage, number=2)
    builders.cohort(course=new)
    counted = Course.objects.newest().with_numbers().get()
    assert (counted.lesson_number, counted.exercise_number, counted.cohort_number) == (0, 0, 2)


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"distinct_days": 2}, "at least 2 different days"),
        ({"forenoon_and_afternoon": True}, "in the forenoon and one in the afternoon"),
        ({"distinct_assessors": 3}, "at least 3 different assessors"),
    ],
)
def test_the_standard_says_what_its_evidence_is_spread_over(fields, words):
    assert any(
        words in sentence for sentence in Exercise(method="watch", **fields).standard_in_words
    )
    assert not any(words in sentence for sentence in Exercise(method="watch").standard_in_words)
