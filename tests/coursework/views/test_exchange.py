"""A course saved as a file, and a file imported."""

import json

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from coursework.exchange import LARGEST_BYTES
from coursework.exchange.writing import document_of
from coursework.models import Course
from tests import builders
from tests.coursework.exchange.test_reading import GOOD, changed, written

pytestmark = pytest.mark.django_db


@pytest.fixture
def lead(client):
    person = builders.lead(builders.cohort())
    client.force_login(person)
    return person


def sent(client, content: bytes, **fields):
    file = SimpleUploadedFile("course.json", content, content_type="application/json")
    return client.post(reverse("course-import"), {"file": file} | fields)


def test_a_saved_course_is_a_file_with_its_title_and_version(client, lead):
    course = builders.exercise(course=builders.course(school=lead.school, title="Sun")).course
    response = client.get(reverse("course-export", args=[course.pk]))
    assert response["Content-Disposition"] == 'attachment; filename="sun-version-1.json"'
    assert json.loads(response.content) == document_of(course)


def test_a_good_file_becomes_a_draft(client, lead):
    response = sent(client, written(GOOD))
    made = Course.objects.get(title="By the sun")
    assert made.is_draft
    assert response.url == reverse("course-detail", args=[made.pk])


def test_another_title_can_be_given(client, lead):
    builders.course(school=lead.school, title="By the sun")
    assert "another title" in sent(client, written(GOOD)).content.decode()
    sent(client, written(GOOD), title="By the sun, again")
    assert Course.objects.filter(title="By the sun, again").exists()


def test_every_fault_is_shown_with_its_place_and_nothing_is_imported(client, lead):
    before = Course.objects.count()
    document = changed(lessons__0__minutes=1, exercises__0__method="moss")
    page = sent(client, written(document)).content.decode()
    assert "2 faults in the file" in page
    assert "/lessons/0/minutes" in page
    assert "/exercises/0/method" in page
    assert Course.objects.count() == before


def test_a_file_that_is_too_large_is_refused(client, lead):
    page = sent(client, b" " * (LARGEST_BYTES + 1)).content.decode()
    assert "larger than 1000 kB" in page


def test_an_empty_file_is_refused_in_words(client, lead):
    assert "The file is empty." in sent(client, b"").content.decode()


def test_nothing_chosen_is_told_at_the_field(client, lead):
    response = client.post(reverse("course-import"), {"title": "x"})
    assert list(response.context["form"].errors) == ["file"]


def test_the_number_of_faults_shown_is_limited_and_said(client, lead):
    rows = [{"name": f"n{n}", "title": f"t{n}", "minutes": 1, "kit": 1} for n in range(150)]
    page = sent(client, written(changed(lessons=rows, exercises=[]))).content.decode()
    assert "300 faults in the file" in page
    assert "Only the first ones are shown." in page
