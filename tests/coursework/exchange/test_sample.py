"""The sample course: a good course file, adopted with one button."""

import pytest
from django.test import Client
from django.urls import reverse

from coursework.exchange import sample
from coursework.models import Course, Method
from coursework.services.readiness import missing_to_publish, remarks_to_publish
from tests import builders

pytestmark = pytest.mark.django_db


def signed_in(person) -> Client:
    client = Client()
    client.force_login(person)
    return client


def test_it_has_exercises_of_every_kind():
    assert {exercise.method for exercise in sample.sample_course().exercises} == set(Method.values)


def test_every_lesson_has_its_cautions_and_fits_its_length():
    for lesson in sample.sample_course().lessons.values():
        assert lesson.caution_list
        assert lesson.timing
        assert lesson.untimed_min >= 0


def test_every_lesson_by_the_sun_says_never_to_look_at_it():
    read = sample.sample_course()
    by_sun = {
        name
        for exercise, names in zip(read.exercises, read.needed, strict=True)
        if exercise.is_by_sun
        for name in names
    }
    assert by_sun
    for name in by_sun:
        assert "Never look at the sun" in read.lessons[name].cautions


def test_the_offer_counts_what_is_adopted():
    read = sample.sample_course()
    offer = sample.offer()
    assert offer.title == read.course.title
    assert (offer.lessons, offer.exercises) == (len(read.lessons), len(read.exercises))


def test_one_button_makes_it_a_draft_that_can_be_published_as_it_is():
    administrator = builders.administrator()
    client = signed_in(administrator)
    assert "Adopt the sample course" in client.get(reverse("course-list")).content.decode()
    client.post(reverse("course-sample"))
    (course,) = Course.objects.filter(school=administrator.school)
    assert course.is_draft
    assert (course.lessons.count(), course.exercises.count()) == (6, 15)
    assert missing_to_publish(course) == []
    assert remarks_to_publish(course) == []


def test_pressed_twice_it_leads_to_the_course_that_is_there():
    client = signed_in(builders.administrator())
    client.post(reverse("course-sample"))
    response = client.post(reverse("course-sample"))
    course = Course.objects.get()
    assert response["Location"] == reverse("course-detail", args=[course.pk])


def test_a_school_that_has_it_is_not_offered_it_again():
    client = signed_in(builders.administrator())
    client.post(reverse("course-sample"))
    assert "Adopt the sample course" not in client.get(reverse("course-list")).content.decode()


def test_students_can_neither_see_the_offer_nor_take_it():
    client = signed_in(builders.student(builders.cohort()))
    assert "Adopt the sample course" not in client.get(reverse("course-list")).content.decode()
    assert client.post(reverse("course-sample")).status_code == 403
    assert Course.objects.filter(title=sample.offer().title).count() == 0
