"""Results without a line in the browser: logged, shown, corrected, listed and printed."""

import uuid

import pytest
from django.urls import reverse

from assessments.models import Attempt
from tests import builders
from tests.assessments import results
from tests.assessments.forms.test_travel import COMMON, TYPED

pytestmark = pytest.mark.django_db

SAYS = {
    "pace-count": ["The count stands for 412 m; measured were 400 m: 3.1 % too much."],
    "distance": ["Told were 350 m; measured were 400 m: 12.5 % too little."],
    "compass-leg": ["Arrived 32 m from the goal", "short of it", "to the right"],
    "position": ["Plotted 77 m from the true point, towards 316° true."],
    "checklist": ["0 of 3 steps were met.", "Not met:"],
}
LISTED = {
    "pace-count": "+3.1 % over",
    "distance": "−12.5 % under",
    "compass-leg": "32 m, 23 m right",
    "position": "77 m",
    "checklist": "0 of 3 steps",
}


def send(client, drill, student, method, **changes):
    data = COMMON | TYPED[method] | {"student": student.pk, "key": str(uuid.uuid4())} | changes
    return client.post(reverse("attempt-log", args=[drill.pk]), data, follow=True)


@pytest.fixture
def logged(client):
    def log(method, **changes):
        drill = results.drill(method)
        client.force_login(builders.lead(drill.cohort))
        response = send(client, drill, builders.student(drill.cohort), method, **changes)
        return drill, response.content.decode()

    return log


@pytest.mark.parametrize("method", results.TRAVEL)
def test_a_result_is_logged_and_shown_in_its_own_words(logged, method):
    _drill, page = logged(method)
    assert Attempt.objects.get().method == method
    assert all(words in page for words in SAYS[method])
    assert "The method itself" not in page
    assert " style=" not in page


@pytest.mark.parametrize("method", results.TRAVEL)
def test_lists_show_the_score_with_its_unit(client, logged, method):
    logged(method)
    page = client.get(reverse("attempt-list")).content.decode()
    assert LISTED[method] in page


@pytest.mark.parametrize("method", results.TRAVEL)
def test_only_legs_and_positions_are_drawn(logged, method):
    _drill, page = logged(method)
    assert ("attempt-figure" in page) is (method in {"compass-leg", "position"})


@pytest.mark.parametrize("method", results.TRAVEL)
def test_it_is_worked_out_again_in_its_unit(client, logged, method):
    logged(method)
    address = reverse("attempt-again", args=[Attempt.objects.get().key])
    page = client.get(address).content.decode()
    assert page.count("none") >= 2
    unit = {"checklist": "0", "position": " m"}.get(method, " m")
    assert unit in page


@pytest.mark.parametrize("method", results.TRAVEL)
def test_its_sheets_are_printed(client, logged, method):
    drill, _page = logged(method)
    attempt = Attempt.objects.get()
    addresses = [
        reverse("attempt-sheet", args=[attempt.key]),
        reverse("exercise-sheet", args=[attempt.exercise_id, attempt.student_id]),
        reverse("blank-sheet", args=[drill.exercise_id]),
    ]
    for address in addresses:
        assert client.get(address).content.startswith(b"%PDF")


@pytest.mark.parametrize("method", results.TRAVEL)
def test_a_correction_is_stored_beside_the_earlier_record(client, logged, method):
    logged(method)
    attempt = Attempt.objects.get()
    address = reverse("attempt-correct", args=[attempt.key])
    assert client.get(address).status_code == 200
    data = COMMON | TYPED[method] | {"done_at": "10:40", "reason": "A slow clock.", "seen": "1"}
    page = client.post(address, data, follow=True).content.decode()
    assert "A slow clock." in page
    assert attempt.revisions.count() == 2


def test_a_refusal_keeps_what_was_typed_and_stores_nothing(logged):
    _drill, page = logged("compass-leg", arrival="46.72, 8.18", sky="haze")
    assert "That is the start: no leg was walked." in page
    assert 'value="haze"' in page
    assert not Attempt.objects.exists()


def test_steps_that_are_all_met_are_within_the_standard(logged):
    steps = ["Sets the stick upright.", "Marks the first tip.", "Marks the last tip."]
    _drill, page = logged("checklist", steps_met=steps)
    assert "Within the standard: 3 of 3 steps met." in page
