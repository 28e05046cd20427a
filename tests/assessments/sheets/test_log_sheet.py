"""The log sheet of a drill, page by page."""

import io

import pytest
from django.urls import reverse
from pypdf import PdfReader

from tests import builders
from tests.assessments import results

pytestmark = pytest.mark.django_db


def pages(client, drill, **asked) -> list[str]:
    response = client.get(reverse("log-sheet", args=[drill.pk]), asked)
    assert response["Content-Type"] == "application/pdf"
    return [
        " ".join(page.extract_text().split())
        for page in PdfReader(io.BytesIO(response.content)).pages
    ]


@pytest.mark.parametrize("method", results.LINES + results.TRAVEL)
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_twelve_students_fit_on_the_front_and_the_sun_on_the_back(client, method, paper):
    drill = results.drill(method)
    for number in range(12):
        builders.student(drill.cohort, name=f"Student {number:02d}")
    client.force_login(builders.lead(drill.cohort))
    front, back = pages(client, drill, paper=paper)
    assert all(f"Student {number:02d}" in front for number in range(12))
    assert "stick lengths" in back


def test_the_correction_stands_before_the_check(client):
    drill = results.drill()
    builders.student(drill.cohort)
    client.force_login(builders.lead(drill.cohort))
    front = pages(client, drill)[0]
    assert 0 < front.index("Declared") < front.index("Check read")


def test_only_those_who_are_taken_out_stand_on_it(client):
    drill = results.drill()
    out = builders.student(drill.cohort, name="Taken Along")
    builders.student(drill.cohort, name="Stays Home")
    drill.groups.add(builders.group(out, cohort=drill.cohort))
    client.force_login(builders.lead(drill.cohort))
    front = pages(client, drill)[0]
    assert "Taken Along" in front
    assert "Stays Home" not in front


def test_students_stand_group_by_group_and_whoever_is_in_none_comes_last(client):
    drill = results.drill()
    nobodys = builders.student(drill.cohort, name="Alone Alder")
    second = builders.student(drill.cohort, name="Brent Beck")
    first = builders.student(drill.cohort, name="Zita Zand")
    builders.group(second, cohort=drill.cohort, name="Ravens")
    builders.group(first, cohort=drill.cohort, name="Choughs")
    client.force_login(builders.lead(drill.cohort))
    front = pages(client, drill)[0]
    shown = [front.index(word) for word in (first.name, "Choughs", second.name, "Ravens")]
    assert shown == sorted(shown)
    assert front.index(nobodys.name) > shown[-1]


def test_many_students_go_on_to_another_page_with_the_headings(client):
    drill = results.drill()
    for number in range(40):
        builders.student(drill.cohort, name=f"Student {number:02d}")
    client.force_login(builders.lead(drill.cohort))
    made = pages(client, drill)
    assert len(made) >= 3
    assert "Check read" in made[1]


@pytest.mark.parametrize(("assessed", "warned"), [(True, True), (False, False)])
def test_the_back_of_an_assessed_one_is_for_the_instructor(client, assessed, warned):
    drill = results.drill(assessed=assessed)
    client.force_login(builders.lead(drill.cohort))
    assert ("For the instructor" in pages(client, drill)[-1]) is warned
