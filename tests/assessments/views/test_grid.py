"""A stack of paper logs: a row a result, all or none, errors at their cell."""

import re
import uuid

import pytest
from django.urls import reverse

from assessments.forms.grid import MOST_ROWS, SHARED
from assessments.models import Attempt
from tests import builders
from tests.assessments import results
from tests.assessments.forms.test_attempt import COMMON, TYPED

pytestmark = pytest.mark.django_db


@pytest.fixture
def drill():
    return results.drill()


@pytest.fixture
def students(drill):
    return [builders.student(drill.cohort, name=name) for name in ("Asta", "Bo", "Cai")]


@pytest.fixture
def lead(drill, client):
    lead = builders.lead(drill.cohort)
    client.force_login(lead)
    return lead


def address(drill) -> str:
    return reverse("attempt-grid", args=[drill.pk])


def posted(students, method="shadow-tip", *, button="store", changes=None) -> dict:
    """A row a student as typed for a method; `changes` by row number."""
    typed = COMMON | TYPED[method]
    data = {name: value for name, value in typed.items() if name in SHARED}
    data |= {"rows": str(len(students)), button: "1"}
    for number, student in enumerate(students):
        row = {name: value for name, value in typed.items() if name not in SHARED}
        row |= {"student": student.pk, "key": str(uuid.uuid4())} | (changes or {}).get(number, {})
        data |= {f"r{number}-{name}": value for name, value in row.items()}
    return data


def text_of(response) -> str:
    return response.content.decode()


@pytest.mark.parametrize("method", results.LINES)
def test_a_row_by_any_method_is_stored_as_one_result(client, method):
    drill = results.drill(method)
    student = builders.student(drill.cohort)
    client.force_login(builders.lead(drill.cohort))
    response = client.post(address(drill), posted([student], method))
    assert response.status_code == 302
    assert Attempt.objects.get().student == student


def test_all_rows_are_stored_together_and_that_is_said(client, drill, students, lead):
    page = text_of(client.post(address(drill), posted(students), follow=True))
    assert "All 3 results are stored." in page
    assert {attempt.student for attempt in Attempt.objects.all()} == set(students)


def test_one_bad_row_stores_none_and_is_said_at_its_cell(client, drill, students, lead):
    changes = {1: {"reading_deg": "abc"}}
    page = text_of(client.post(address(drill), posted(students, changes=changes)))
    assert not Attempt.objects.exists()
    assert "<strong>Nothing is stored.</strong>" in page
    assert "1 of 3 filled rows has to be put right" in page
    cell = re.search(r'<td><input[^>]*name="r1-reading_deg".*?</td>', page, re.DOTALL)[0]
    assert "is not a number" in cell
    assert 'value="abc"' in cell


def test_every_row_that_the_score_refuses_is_told_at_once(client, drill, students, lead):
    night = {"mark_1": "03:00", "mark_2": "03:20"}
    page = text_of(client.post(address(drill), posted(students, changes={0: night, 2: night})))
    assert page.count("the sun was below the horizon") == 2
    assert not Attempt.objects.exists()


def test_looking_it_over_stores_nothing_and_says_so(client, drill, students, lead):
    page = text_of(client.post(address(drill), posted(students, button="look")))
    assert "<strong>Nothing is stored yet.</strong>" in page
    assert "All 3 filled rows can be stored." in page
    assert not Attempt.objects.exists()


def test_enter_looks_and_does_not_store(client, drill, students, lead):
    page = text_of(client.get(address(drill)))
    form = page[page.index('class="grid-form"') :]
    assert 'name="look"' in re.search(r"<button[^>]*>", form)[0]


def test_the_same_table_sent_twice_is_stored_once(client, drill, students, lead):
    data = posted(students)
    client.post(address(drill), data)
    client.post(address(drill), data)
    assert Attempt.objects.count() == 3


def test_rows_with_a_student_and_nothing_else_do_not_count(client, drill, students, lead):
    data = posted(students[:1]) | {"rows": "2", "r1-student": students[1].pk}
    client.post(address(drill), data)
    assert Attempt.objects.get().student == students[0]


def test_an_empty_table_says_that_there_is_nothing(client, drill, students, lead):
    page = text_of(client.post(address(drill), {"rows": "3", "store": "1"}))
    assert "there is nothing to store" in page


def test_more_rows_come_without_script_and_keep_what_was_typed(client, drill, students, lead):
    page = text_of(client.post(address(drill), posted(students, button="more")))
    assert 'name="r7-student"' in page
    assert 'value="09:30"' in page or "09:30" in page
    assert not Attempt.objects.exists()


def test_there_is_an_end_to_more_rows(client, drill, students, lead):
    page = text_of(client.post(address(drill), {"rows": "999", "more": "1"}))
    assert page.count('-student"') == MOST_ROWS
    assert 'name="more"' not in page


def test_a_row_without_its_student_is_refused_there(client, drill, students, lead):
    page = text_of(client.post(address(drill), posted(students, changes={0: {"student": ""}})))
    assert "Choose the student." in page
    assert not Attempt.objects.exists()


def test_a_student_of_another_cohort_is_not_taken(client, drill, students, lead):
    other = builders.student(builders.cohort(course=drill.cohort.course))
    page = text_of(client.post(address(drill), posted([other])))
    assert "Choose the student." in page


def test_no_result_is_a_row_too(client, drill, students, lead):
    data = {
        **{name: value for name, value in posted([]).items() if name != "rows"},
        "rows": "1",
        "r0-student": students[0].pk,
        "r0-no_result": "cloud",
    }
    client.post(address(drill), data)
    assert Attempt.objects.get().current.no_result == "cloud"


def test_a_result_and_none_in_one_row_are_refused(client, drill, students, lead):
    data = posted(students[:1], changes={0: {"no_result": "cloud"}})
    page = text_of(client.post(address(drill), data))
    assert "Either a result or none" in page
    assert not Attempt.objects.exists()


def test_what_is_wrong_above_the_table_is_said_there(client, drill, students, lead):
    page = text_of(client.post(address(drill), posted(students) | {"date": "yesterday"}))
    assert "Something above the table has to be put right." in page
    assert not Attempt.objects.exists()


def test_another_check_asks_for_its_fields_and_keeps_the_rest(client, drill, students, lead):
    data = posted(students, button="show") | {"check": "shadow"}
    page = text_of(client.post(address(drill), data))
    assert 'name="r0-check_time"' in page


def test_every_input_has_a_name_for_those_who_hear_the_page(client, drill, students, lead):
    page = text_of(client.get(address(drill)))
    inputs = re.findall(r'<(?:input|select)[^>]*name="r\d+-[^>]*>', page)
    visible = [one for one in inputs if 'type="hidden"' not in one]
    assert visible
    assert all("aria-label=" in one for one in visible)


def test_a_row_may_have_a_third_mark_and_its_neighbour_two(client, drill, students, lead):
    data = posted(students[:2], button="mark") | {"marks": "2"}
    page = text_of(client.post(address(drill), data))
    assert 'name="r0-mark_3"' in page
    assert 'name="marks" value="3"' in page
    assert not Attempt.objects.exists()
    third = {"mark_3": "10:03"}
    data = posted(students[:2], changes={0: third}) | {"marks": "3"}
    assert client.post(address(drill), data).status_code == 302
    marks = [len(one.current.recorded_times) for one in Attempt.objects.order_by("student__name")]
    assert marks == [3, 2]


@pytest.mark.parametrize(("marks", "asked"), [("99", 12), ("x", 2), ("", 2), ("0", 2)])
def test_a_tampered_number_of_marks_stays_within_what_a_line_may_have(
    client, drill, students, lead, marks, asked
):
    page = text_of(client.post(address(drill), posted(students, button="show") | {"marks": marks}))
    assert f'name="r0-mark_{asked}"' in page
    assert f'name="r0-mark_{asked + 1}"' not in page


def test_methods_with_a_fixed_number_of_marks_offer_no_more(client):
    drill = results.drill("watch")
    builders.student(drill.cohort)
    client.force_login(builders.lead(drill.cohort))
    assert "One more mark" not in text_of(client.get(address(drill)))
