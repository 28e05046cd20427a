"""Results on other pages."""

import pytest
from django.template import Context, Template
from django.test import RequestFactory

from tests import builders
from tests.assessments import results

pytestmark = pytest.mark.django_db


def rendered(tag: str, reader, **objects) -> str:
    request = RequestFactory().get("/")
    request.user = reader
    template = Template("{% load attempts %}{% " + tag + " %}")
    return template.render(Context({"request": request} | objects))


def test_a_drill_shows_its_results_to_its_lead():
    drill = results.drill()
    lead = builders.lead(drill.cohort)
    attempt = results.attempt(of=drill, by=lead)
    elsewhere = results.attempt()
    page = rendered("drill_attempts drill", lead, drill=drill)
    assert str(attempt.key) in page
    assert str(elsewhere.key) not in page


def test_a_student_sees_only_their_own_among_the_results_of_a_drill():
    drill = results.drill()
    lead = builders.lead(drill.cohort)
    own, other = (results.attempt(of=drill, by=lead) for _ in range(2))
    page = rendered("drill_attempts drill", own.student, drill=drill)
    assert str(own.key) in page
    assert str(other.key) not in page


def test_a_drill_without_results_says_so():
    drill = results.drill()
    page = rendered("drill_attempts drill", builders.lead(drill.cohort), drill=drill)
    assert "No results yet." in page


def test_a_person_has_ten_recent_results_and_a_way_to_the_rest():
    drill = results.drill()
    lead, student = builders.lead(drill.cohort), builders.student(drill.cohort)
    for count in (10, 11):
        while student.attempts.count() < count:
            results.attempt(of=drill, by=lead, student=student)
        page = rendered("recent_attempts person", student, person=student)
        assert page.count("attempt-line") == 10
        assert ("All results" in page) is (count > 10)


def test_a_cohort_shows_the_results_of_its_drills_only():
    drill = results.drill()
    lead = builders.lead(drill.cohort)
    attempt = results.attempt(of=drill, by=lead)
    other = results.drill(cohort=builders.cohort(course=drill.cohort.course))
    builders.enrolment(cohort=other.cohort, person=lead, role="lead")
    elsewhere = results.attempt(of=other, by=lead)
    page = rendered("cohort_attempts cohort", lead, cohort=drill.cohort)
    assert str(attempt.key) in page
    assert str(elsewhere.key) not in page


# Those of a cohort are written without the name for the student whose they are: one question more.
@pytest.mark.parametrize(
    ("tag", "queries"), [("drill_attempts drill", 1), ("cohort_attempts drill.cohort", 2)]
)
def test_many_results_take_as_few_queries_as_one(tag, queries, django_assert_num_queries):
    drill = results.drill()
    lead = builders.lead(drill.cohort)
    for _ in range(2):
        for _ in range(3):
            results.attempt(of=drill, by=lead)
        with django_assert_num_queries(queries):
            rendered(tag, lead, drill=drill)
