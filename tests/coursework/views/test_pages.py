"""What all pages do alike."""

import pytest
from django.db import IntegrityError
from django.urls import reverse

from coursework.forms.courses import CourseForm
from coursework.models import Course
from tests import builders

pytestmark = pytest.mark.django_db


def test_two_who_save_the_same_at_once_get_a_sentence_and_not_a_fault(client, monkeypatch):
    client.force_login(builders.administrator())

    def conflict(form, commit=True):
        raise IntegrityError("UNIQUE constraint failed")

    monkeypatch.setattr(CourseForm, "save", conflict)
    response = client.post(reverse("course-add"), {"title": "By the sun"})
    assert response.status_code == 200
    assert "The same thing was saved a moment ago" in response.content.decode()


def test_the_database_itself_keeps_two_courses_of_one_title_apart():
    course = builders.course()
    with pytest.raises(IntegrityError):
        Course.objects.create(school=course.school, title=course.title)
