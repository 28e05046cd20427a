"""Lesson plans as PDF."""

import pytest
from django.urls import reverse

from tests import builders

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("paper", ["", "?paper=letter", "?paper=folio"])
def test_a_plan_is_a_pdf_named_after_the_lesson(client, paper):
    cohort = builders.cohort()
    lesson = builders.lesson(course=cohort.course, title="Stick & shadow")
    client.force_login(builders.student(cohort))
    response = client.get(reverse("lesson-plan", args=[lesson.pk]) + paper)
    assert response["Content-Type"] == "application/pdf"
    assert response["Content-Disposition"] == 'inline; filename="stick-shadow.pdf"'
    assert response.content.startswith(b"%PDF")
