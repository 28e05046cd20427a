"""Lessons added, shown, ordered and removed."""

import pytest
from django.urls import reverse

from coursework.models import Lesson
from tests import builders

pytestmark = pytest.mark.django_db
LESSON = {
    "title": "Stick and shadow",
    "minutes": "90",
    "objectives": "Sets a stick.",
    "outline": "## Set (10 min)\n\n<b>x</b>",
    "kit": "stick\ncord",
    "cautions": "No looking up.",
    "references": "",
}


@pytest.fixture
def draft(client):
    lead = builders.lead(builders.cohort())
    client.force_login(lead)
    return builders.draft(school=lead.school)


def test_a_lesson_is_added_and_shown(client, draft):
    response = client.post(reverse("lesson-add", args=[draft.pk]), LESSON, follow=True)
    page = response.content.decode()
    assert draft.lessons.get().minutes == 90
    assert "<h3>Set (10 min)</h3>" in page
    assert "&lt;b&gt;x&lt;/b&gt;" in page
    assert "80 min are left" in page


@pytest.mark.parametrize(
    ("field", "bad"), [("title", ""), ("minutes", "4"), ("minutes", "1441"), ("minutes", "x")]
)
def test_a_bad_field_is_told_beside_it(client, draft, field, bad):
    response = client.post(reverse("lesson-add", args=[draft.pk]), LESSON | {field: bad})
    assert list(response.context["form"].errors) == [field]
    assert not draft.lessons.exists()


def test_a_title_of_the_course_is_not_given_twice(client, draft):
    builders.lesson(course=draft, title="STICK and shadow")
    response = client.post(reverse("lesson-add", args=[draft.pk]), LESSON)
    assert "already has a lesson of this title" in response.content.decode()


def test_a_ring_is_told_at_its_field_with_all_its_lessons(client, draft):
    first, second = (builders.lesson(course=draft, title=name) for name in ("One", "Two"))
    second.prerequisites.add(first)
    fields = LESSON | {"title": "One", "prerequisites": [second.pk]}
    response = client.post(reverse("lesson-edit", args=[first.pk]), fields)
    (sentence,) = response.context["form"].errors["prerequisites"]
    assert "“One”" in sentence
    assert "“Two”" in sentence
    assert not first.prerequisites.exists()


def test_only_other_lessons_of_the_course_can_come_before(client, draft):
    other = builders.lesson(course=draft)
    lesson = builders.lesson(course=draft)
    builders.lesson(course=builders.draft(school=draft.school))
    form = client.get(reverse("lesson-edit", args=[lesson.pk])).context["form"]
    assert list(form.fields["prerequisites"].queryset) == [other]


@pytest.mark.parametrize(("way", "order"), [("down", ["b", "a"]), ("sideways", ["a", "b"])])
def test_a_lesson_is_moved_by_a_button(client, draft, way, order):
    first, _second = (
        builders.lesson(course=draft, title=title, position=place)
        for place, title in enumerate("ab", start=1)
    )
    response = client.post(reverse("lesson-shift", args=[first.pk]), {"way": way})
    assert response.url == reverse("course-detail", args=[draft.pk])
    assert [lesson.title for lesson in draft.lessons.order_by("position")] == order


def test_the_first_one_moved_up_is_told_to_be_the_first(client, draft):
    lesson = builders.lesson(course=draft)
    address = reverse("lesson-shift", args=[lesson.pk])
    page = client.post(address, {"way": "up"}, follow=True).content.decode()
    assert "is the first already" in page


def test_a_lesson_is_asked_about_before_it_goes(client, draft):
    lesson = builders.lesson(course=draft)
    address = reverse("lesson-remove", args=[lesson.pk])
    assert "Remove the lesson" in client.get(address).content.decode()
    assert Lesson.objects.exists()
    client.post(address)
    assert not Lesson.objects.exists()


def test_a_lesson_without_anything_says_what_is_not_written_down(client, draft):
    page = client.get(reverse("lesson-detail", args=[builders.lesson(course=draft).pk]))
    assert page.content.decode().count("None written down") == 3
