"""No result sent by a device: stored with its reason, answered in words."""

import pytest

from assessments.field.sending import receive
from assessments.models import Attempt
from tests import builders
from tests.assessments import results
from tests.assessments.field.messages import message, result

pytestmark = pytest.mark.django_db


def sent(method: str, **fields) -> tuple[dict, dict]:
    drill = results.drill(method)
    lead, student = builders.lead(drill.cohort), builders.student(drill.cohort)
    item = result(drill, student, fields=fields)
    (answer,) = receive(lead, message(item)).values()
    (again,) = receive(lead, message(item)).values()
    return answer, again


@pytest.mark.parametrize("method", ["shadow-tip", "pace-count"])
def test_it_is_stored_once_and_answered_with_its_reason(method):
    answer, again = sent(method, no_result="cloud")
    assert (answer["state"], again["state"]) == ("stored", "already")
    assert answer["score"]["parts"] == [["no result", "the sun or the stars were hidden"]]
    assert Attempt.objects.get().current.no_result == "cloud"


def test_another_reason_without_words_comes_back():
    answer, _again = sent("shadow-tip", no_result="other")
    assert answer["state"] == "refused"
    assert not Attempt.objects.exists()
