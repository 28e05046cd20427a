"""Reading results over HTTP."""

import re

import pytest
from django.urls import reverse

from assessments.services import correct_attempt
from coursework.long_lists import ROWS_A_PAGE
from tests import builders
from tests.assessments import results

pytestmark = pytest.mark.django_db


@pytest.fixture
def drill():
    return results.drill()


@pytest.fixture
def lead(drill, client):
    lead = builders.lead(drill.cohort)
    client.force_login(lead)
    return lead


def page_of(client, attempt) -> str:
    return client.get(attempt.get_absolute_url()).content.decode()


def listed(client, **query) -> str:
    return client.get(reverse("attempt-list"), query).content.decode()


@pytest.mark.parametrize(("steps_met", "said"), [(1, "not met"), (0, "they were not noted")])
def test_steps_that_nobody_ticked_are_not_told_as_missed(client, drill, steps_met, said):
    drill.exercise.steps = "Sets the stick upright\nMarks the tip"
    drill.exercise.save()
    attempt = results.attempt(of=drill, steps_met=tuple(drill.exercise.step_list[:steps_met]))
    client.force_login(attempt.student)
    page = page_of(client, attempt)
    assert said in page
    assert ('class="step-mark"' in page) == bool(steps_met)


@pytest.mark.parametrize("method", results.LINES)
def test_the_page_of_any_method_has_drawing_split_and_verdict(client, method):
    attempt = results.attempt(method)
    client.force_login(attempt.student)
    page = page_of(client, attempt)
    assert '<svg xmlns="http://www.w3.org/2000/svg"' in page
    assert "The method itself" in page
    assert "guarded rule" in page
    assert "After 1 km along this line:" in page
    assert " style=" not in page


def test_local_time_stands_with_its_zone(client, drill, lead):
    page = page_of(client, results.attempt(of=drill, by=lead))
    assert "Fri 20 June 2025, 09:46 CEST" in page
    assert "Europe/Zurich" in page


def test_the_parts_of_the_uncertainty_stand_beside_the_whole(client, drill, lead):
    columns = {"check": "landmark", "reading_deg": "230", "reading_u_deg": "1.2"}
    mark = builders.mark(site=drill.site)
    page = page_of(client, results.attempt(of=drill, by=lead, columns=columns, mark=mark))
    for text in ("1.20°", "0.50°", "±2.6°"):
        assert text in page


def test_a_hand_that_was_not_measured_is_said(client):
    attempt = results.attempt("hands", columns={"degrees_per_hand": ""})
    client.force_login(attempt.student)
    page = page_of(client, attempt)
    assert "hand was not measured" in page
    assert "of it counting" not in page


def test_a_student_sees_no_buttons_that_are_not_for_them(client):
    attempt = results.attempt()
    client.force_login(attempt.student)
    page = page_of(client, attempt)
    assert reverse("attempt-correct", args=[attempt.key]) not in page
    assert reverse("attempt-sheet", args=[attempt.key]) in page


def test_what_was_written_is_shown_as_text(client, drill, lead):
    attempt = results.attempt(of=drill, by=lead, remark="<b>bold</b>", sky="<i>")
    page = page_of(client, attempt)
    assert "&lt;b&gt;bold&lt;/b&gt;" in page
    assert "<b>bold" not in page


def test_working_out_again_says_none_where_nothing_differs(client, drill, lead):
    attempt = results.attempt(of=drill, by=lead)
    page = client.get(reverse("attempt-again", args=[attempt.key])).content.decode()
    assert "none" in page
    assert "<strong>" not in page


def test_an_empty_list_says_where_results_come_from(client, drill, lead):
    assert "They are logged from the page of a drill." in listed(client)


def test_filters_narrow_the_list(client, drill, lead):
    first, second = (results.attempt(of=drill, by=lead) for _ in range(2))
    page = listed(client, student=first.student_id)
    assert str(first.key) in page
    assert str(second.key) not in page


@pytest.mark.parametrize(
    ("query", "found"),
    [
        ({"method": "shadow-tip"}, True),
        ({"method": "watch"}, False),
        ({"verdict": "within"}, True),
        ({"verdict": "outside"}, False),
        ({"exercise": "own"}, True),
    ],
)
def test_each_filter_keeps_what_it_names(client, drill, lead, query, found):
    attempt = results.attempt(of=drill, by=lead)
    if query.get("exercise"):
        query = {"exercise": attempt.exercise_id}
    assert (str(attempt.key) in listed(client, **query)) is found


def test_a_filter_that_is_not_offered_is_said_and_not_used(client, drill, lead):
    attempt = results.attempt(of=drill, by=lead)
    page = listed(client, student="999999", method="sextant")
    assert str(attempt.key) in page
    assert page.count("invalid-feedback") >= 2


def test_only_students_with_results_that_one_may_see_are_offered(client, drill, lead):
    attempt = results.attempt(of=drill, by=lead)
    elsewhere = results.attempt()
    page = listed(client, narrow="open")
    assert f'<option value="{attempt.student_id}"' in page
    assert f'<option value="{elsewhere.student_id}"' not in page


def test_the_form_is_there_when_it_is_asked_for_alone(client, drill, lead):
    results.attempt(of=drill, by=lead)
    assert "<select" not in listed(client)
    assert listed(client, narrow="open").count("<select") == 4


@pytest.mark.parametrize("name", ["student", "exercise", "method", "verdict"])
def test_rubbish_in_any_filter_is_said_beside_it(client, drill, lead, name):
    results.attempt(of=drill, by=lead)
    client.force_login(lead)
    page = listed(client, **{name: "12,5"})
    assert 'class="invalid-feedback"' in page
    assert "1 result," in page


def test_a_narrowed_list_says_to_what(client, drill, lead):
    attempt = results.attempt(of=drill, by=lead)
    page = listed(client, student=attempt.student_id, verdict="within")
    assert f"<dt>Student</dt><dd>{attempt.student.name}</dd>" in page
    assert "<dt>Outcome</dt><dd>within</dd>" in page
    assert "Change what is shown" in page


def test_more_results_than_are_counted_are_said_to_be_more(client, drill, lead, monkeypatch):
    monkeypatch.setattr("coursework.long_lists.MOST_COUNTED", 26)
    student = builders.student(drill.cohort)
    for _ in range(27):
        results.attempt(of=drill, by=lead, student=student)
    assert "More than 26 results" in listed(client)


def test_a_long_list_is_cut_into_pages_that_keep_the_filter(client, drill, lead):
    student = builders.student(drill.cohort)
    for _ in range(ROWS_A_PAGE + 1):
        results.attempt(of=drill, by=lead, student=student)
    page = listed(client, method="shadow-tip")
    assert "Page 1 of 2" in page
    assert re.search(r'rel="next" href="\?method=shadow-tip&amp;page=2"', page)
    assert len(re.findall(r'href="/attempts/[0-9a-f-]{36}/"', page)) == ROWS_A_PAGE


@pytest.mark.parametrize("number", ["0", "x", "999", "-3"])
def test_a_page_that_is_not_there_is_the_nearest_one(client, drill, lead, number):
    results.attempt(of=drill, by=lead)
    assert client.get(reverse("attempt-list"), {"page": number}).status_code == 200


def test_the_list_takes_as_many_queries_for_many(client, drill, lead, django_assert_num_queries):
    for _ in range(2):
        for _ in range(5):
            results.attempt(of=drill, by=lead)
        # Session, person, roles; the numbers of the page and its lines. One page is not counted.
        with django_assert_num_queries(5):
            listed(client)


def test_the_page_takes_as_many_queries_for_many_revisions(
    client, drill, lead, django_assert_num_queries
):
    attempt = results.attempt(of=drill, by=lead)
    for reading in range(3):
        with django_assert_num_queries(6):
            page_of(client, attempt)
        observation = results.observation(columns={"reading_deg": str(300 + reading)})
        correct_attempt(by=lead, attempt=attempt, observation=observation, reason="Again.")
