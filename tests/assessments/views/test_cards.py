"""The emergency card as it is fetched."""

import pytest
from django.urls import reverse

from tests import builders

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("query", [{}, {"paper": "letter"}, {"paper": "napkin"}])
def test_staff_get_a_pdf_that_no_cache_keeps(client, query):
    drill = builders.drill()
    client.force_login(builders.assistant(drill.cohort))
    response = client.get(reverse("emergency-card", args=[drill.pk]), query)
    assert response.content.startswith(b"%PDF-")
    assert "no-store" in response["Cache-Control"]


def test_the_query_count_does_not_grow_with_the_students(client, django_assert_max_num_queries):
    drill = builders.drill()
    for _ in range(12):
        builders.student(drill.cohort)
    client.force_login(builders.lead(drill.cohort))
    with django_assert_max_num_queries(12):
        client.get(reverse("emergency-card", args=[drill.pk]))
