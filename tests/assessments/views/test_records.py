"""Pages of records: what they show, and how many queries they take."""

import re

import pytest
from django.urls import reverse

from tests import builders
from tests.assessments import results
from tests.assessments.records import made
from tests.assessments.records.cohorts import cohort_of

pytestmark = pytest.mark.django_db
SCATTER = [1.4, -1.4, 0.6, -0.6, 1.0, -1.0]


@pytest.fixture
def pulled():
    drill, lead, student = made.class_of(judged_on="own")
    made.lines(student, [*(11.0 + value for value in SCATTER), 178.0], drill=drill, by=lead)
    return drill, lead, student


def page(client, person, name, *args, query="") -> str:
    client.force_login(person)
    response = client.get(reverse(name, args=args) + query)
    assert response.status_code == 200
    return response.content.decode()


def test_the_record_tells_findings_with_how_sure_and_links(client, pulled):
    _drill, _lead, student = pulled
    text = page(client, student, "record", student.pk)
    assert "Your lines pull to the right" in text
    assert "How sure:" in text
    assert "clear; rests on 6 attempts" in text
    assert text.count('class="tap-inline" href="/attempts/') == 7


def test_each_drawing_has_a_title_a_description_and_a_table(client, pulled):
    _drill, _lead, student = pulled
    text = page(client, student, "record", student.pk)
    figures = re.findall(r"<svg.*?</svg>", text, re.S)
    drawings = [one for one in figures if "drawing" in one[:200]]
    assert len(drawings) == 7
    assert all("<title" in one and "<desc" in one for one in drawings)
    assert text.count('<details class="record-table">') >= 5
    assert 'tabindex="0"' in text


def test_lines_laid_end_for_end_are_counted_apart(client, pulled):
    _drill, _lead, student = pulled
    text = page(client, student, "record", student.pk)
    assert "1 line was laid end for end" in text
    assert "Over 6 lines" in text


def test_an_empty_record_says_what_will_stand_there(client):
    student = builders.student(builders.cohort())
    assert "No results yet" in page(client, student, "record", student.pk)


def test_exercises_without_a_bearing_stand_apart(client):
    cohort = builders.cohort()
    student = builders.student(cohort)
    drill = results.drill("checklist", cohort=cohort)
    from assessments.observations import Observation
    from assessments.services import record_attempt

    seen = Observation(
        columns={"times": "2025-06-20T09:30:00+02:00"}, steps_met=tuple(drill.exercise.step_list)
    )
    record_attempt(by=builders.lead(cohort), drill=drill, student=student, observation=seen)
    text = page(client, student, "record", student.pk)
    assert "Exercises without a bearing" in text
    assert "All lines together" not in text


def test_a_lead_sees_only_the_results_of_the_cohorts_that_they_instruct(client, pulled):
    _drill, _lead, student = pulled
    other = builders.cohort(school=student.school)
    builders.enrolment(cohort=other, person=student)
    text = page(client, builders.lead(other), "record", student.pk)
    assert "No results that you may see yet" in text


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_printed_record_is_a_pdf(client, pulled, paper):
    _drill, _lead, student = pulled
    client.force_login(student)
    response = client.get(reverse("record-sheet", args=[student.pk]), {"paper": paper})
    assert response.content.startswith(b"%PDF-")
    assert response["Content-Type"] == "application/pdf"


def test_how_instructors_differ_is_shown_to_leads_and_not_to_assistants(client, pulled):
    drill, lead, _student = pulled
    heading = "Instructors’ checks compared"
    assert heading in page(client, lead, "cohort-record", drill.cohort_id)
    assistant = builders.assistant(drill.cohort)
    assert heading not in page(client, assistant, "cohort-record", drill.cohort_id)


def test_another_tolerance_is_worked_out_and_changes_nothing(client, pulled):
    drill, lead, _student = pulled
    query = f"?exercise={drill.exercise_id}&tolerance=30"
    text = page(client, lead, "cohort-record", drill.cohort_id, query=query)
    assert "6 of 7 (86 %)" in text
    drill.exercise.refresh_from_db()
    assert drill.exercise.tolerance == 15.0


def test_a_tolerance_that_is_no_number_is_an_error_at_its_field(client, pulled):
    drill, lead, _student = pulled
    query = f"?exercise={drill.exercise_id}&tolerance=much"
    assert "Enter a number." in page(client, lead, "cohort-record", drill.cohort_id, query=query)


@pytest.mark.parametrize("name", ["record", "cohort-record", "record-sheet"])
def test_pages_take_as_many_queries_over_many_results_as_over_few(
    client, django_assert_num_queries, name
):
    counts = []
    for number in (30, 300):
        drill, lead, members = cohort_of(number, students=6)
        client.force_login(lead)
        target = drill.cohort_id if name == "cohort-record" else members[0].pk
        from django.db import connection
        from django.test.utils import CaptureQueriesContext

        with CaptureQueriesContext(connection) as caught:
            assert client.get(reverse(name, args=[target])).status_code == 200
        counts.append(len(caught))
    assert counts[0] == counts[1]
    assert counts[0] < 25
