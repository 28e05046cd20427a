"""Detail pages: a query count that does not grow with what hangs on them."""

import pytest
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests import builders

pytestmark = pytest.mark.django_db


def grow(drill) -> None:
    """One more of everything that the pages of a drill's surroundings list."""
    course = drill.cohort.course
    exercise = builders.exercise(course=course)
    first, second = builders.lesson(course=course), builders.lesson(course=course)
    second.prerequisites.add(first), exercise.lessons.add(second)
    course.lessons.first().needed_by.add(second)
    builders.drill(cohort=drill.cohort, site=drill.site, exercise=exercise)
    builders.student(drill.cohort), builders.assistant(drill.cohort)
    builders.mark(site=drill.site)
    builders.student(builders.cohort(course=course))


@pytest.mark.parametrize(
    ("name", "of"),
    [
        ("home", None),
        ("profile", None),
        ("course-detail", lambda drill: drill.cohort.course_id),
        ("lesson-detail", lambda drill: drill.cohort.course.lessons.first().pk),
        ("cohort-lessons", lambda drill: drill.cohort_id),
        ("exercise-detail", lambda drill: drill.exercise_id),
        ("site-detail", lambda drill: drill.site_id),
        ("cohort-detail", lambda drill: drill.cohort_id),
        ("drill-detail", lambda drill: drill.pk),
        ("enrolment-add", lambda drill: drill.cohort_id),
        ("drill-add", lambda drill: drill.cohort_id),
    ],
)
def test_the_query_count_of_a_page_does_not_grow(client, connection_of_tests, name, of):
    drill = builders.drill()
    lead = builders.lead(drill.cohort)
    client.force_login(lead)
    grow(drill)
    address = reverse(name, args=[of(drill)] if of else [])

    def queries() -> int:
        with CaptureQueriesContext(connection_of_tests) as caught:
            assert client.get(address).status_code == 200
        return len(caught)

    first = queries()
    for _ in range(5):
        grow(drill)
    assert queries() == first
