"""The sample course: a good course file, adopted with one button."""

import json

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse
from django.utils import translation

from coursework.exchange import sample
from coursework.models import Course, Method
from coursework.services.readiness import missing_to_publish, remarks_to_publish
from tests import builders

pytestmark = pytest.mark.django_db


def signed_in(person) -> Client:
    client = Client()
    client.force_login(person)
    return client


# What each language says in its own words; all else is the same in each.
WORDS = {
    "title", "summary", "objectives", "outline", "kit", "cautions", "task", "steps", "references",
}  # fmt: skip


def bones(part):
    """A course file without its words, of which only the numbers of lines are kept."""
    if isinstance(part, dict):
        return {
            name: value.count("\n") if name in WORDS else bones(value)
            for name, value in part.items()
        }
    return [bones(one) for one in part] if isinstance(part, list) else part


def test_there_is_one_of_each_language():
    assert set(sample.FILES) == {code.partition("-")[0] for code, _name in settings.LANGUAGES}


@pytest.mark.parametrize("code", sorted(set(sample.FILES) - {sample.OTHERWISE}))
def test_the_courses_of_all_languages_differ_in_words_alone(code):
    said = json.loads(sample.FILES[code].read_text(encoding="utf-8"))
    plain = json.loads(sample.FILES[sample.OTHERWISE].read_text(encoding="utf-8"))
    assert bones(said) == bones(plain)
    texts = [(said["course"], plain["course"])]
    texts += zip(said["lessons"], plain["lessons"], strict=True)
    texts += zip(said["exercises"], plain["exercises"], strict=True)
    same = [
        (name, there[name]) for here, there in texts for name in WORDS & set(there)
        if there[name] and here[name] == there[name]
    ]  # fmt: skip
    assert same == []


def test_it_can_be_read_and_published_in_french():
    client = signed_in(builders.administrator())
    client.defaults["HTTP_ACCEPT_LANGUAGE"] = "fr"
    assert (
        "Trouver sa direction sans boussole" in client.get(reverse("course-list")).content.decode()
    )
    client.post(reverse("course-sample"))
    course = Course.objects.get()
    assert course.title == "Trouver sa direction sans boussole"
    assert (course.lessons.count(), course.exercises.count()) == (6, 15)
    assert missing_to_publish(course) == []
    assert all(
        "soleil" in lesson.cautions for lesson in course.lessons.filter(title="Bâton et ombre")
    )
    with translation.override("fr"):
        for lesson in sample.sample_course().lessons.values():
            assert lesson.timing
            assert lesson.untimed_min >= 0


def test_a_school_that_has_it_in_one_language_is_not_offered_the_other():
    client = signed_in(builders.administrator())
    client.post(reverse("course-sample"))
    french = client.get(reverse("course-list"), headers={"accept-language": "fr"})
    assert "Trouver sa direction" not in french.content.decode()
    client.post(reverse("course-sample"), headers={"accept-language": "fr"})
    assert Course.objects.count() == 1


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
