"""Own practice: who may log what for whom, and that it never counts."""

import uuid
from urllib.parse import urlencode

import pytest
from django.core.exceptions import PermissionDenied
from django.urls import reverse

from assessments import policies, practice
from assessments.models import Attempt
from assessments.services import Refused, record_attempt
from coursework.models import Drill
from tests import builders
from tests.assessments import results
from tests.assessments.forms.test_attempt import COMMON, TYPED

pytestmark = pytest.mark.django_db


@pytest.fixture
def world():
    drill = results.drill()
    return drill, builders.student(drill.cohort)


def alone(student, drill, **other):
    given = {"cohort": drill.cohort, "exercise": drill.exercise, "site": drill.site}
    return practice.practice_drill(student, **(given | other), starts_at=results.JUNE_MORNING)


def practised(student, drill, key=None):
    return practice.practise(
        student,
        drill=alone(student, drill),
        observation=results.observation(),
        key=key or uuid.uuid4(),
    )


def test_practice_is_scored_and_not_assessed(world):
    drill, student = world
    attempt = practised(student, drill)
    assert not attempt.assessed
    assert attempt.current.own_error_deg is not None
    assert attempt.current.recorded_by == student


def test_practice_alone_is_in_no_list_of_drills(world):
    drill, student = world
    practised(student, drill)
    assert list(Drill.objects.all()) == [drill]
    assert list(drill.cohort.drills.all()) == [drill]
    assert Drill.whole.count() == 2


def test_the_same_key_sent_twice_is_one_practice(world):
    drill, student = world
    key = uuid.uuid4()
    assert practised(student, drill, key) == practised(student, drill, key)
    assert Drill.whole.count() == 2


def test_an_exercise_of_another_course_or_a_site_of_another_school_is_refused(world):
    drill, student = world
    with pytest.raises(PermissionDenied):
        alone(student, drill, exercise=builders.exercise())
    with pytest.raises(PermissionDenied):
        alone(student, drill, site=builders.site())
    with pytest.raises(PermissionDenied):
        alone(student, drill, cohort=builders.cohort())


@pytest.mark.parametrize(
    ("role", "assessed", "expected"),
    [
        ("student", True, False),
        ("student", False, True),
        ("assistant", False, False),
        ("lead", False, False),
        ("stranger", False, False),
    ],
)
def test_who_may_practise_at_a_drill(world, role, assessed, expected):
    drill, student = world
    drill.assessed = assessed
    people = {
        "student": student,
        "assistant": builders.assistant(drill.cohort),
        "lead": builders.lead(drill.cohort),
        "stranger": builders.student(builders.cohort()),
    }
    assert policies.may_practise(people[role], drill) is expected


def test_a_student_logs_for_themself_at_practice_and_for_nobody_else(world):
    drill, student = world
    drill.assessed = False
    drill.save()
    fellow = builders.student(drill.cohort)
    given = {"by": student, "drill": drill, "observation": results.observation()}
    assert record_attempt(student=student, **given).assessed is False
    with pytest.raises(Refused, match="nobody else"):
        record_attempt(student=fellow, **given)
    assert list(policies.students_to_log(student, drill)) == [student]


def test_at_an_assessed_drill_a_student_logs_nothing(world):
    drill, student = world
    with pytest.raises(PermissionDenied):
        record_attempt(by=student, drill=drill, student=student, observation=results.observation())


def test_own_practice_is_corrected_by_the_student_alone(world):
    drill, student = world
    attempt = practised(student, drill)
    assert policies.may_correct(student, attempt)
    assert not policies.may_correct(builders.lead(drill.cohort), attempt)
    assert not policies.may_correct(builders.student(drill.cohort), attempt)


def test_what_an_instructor_checked_at_practice_is_not_the_students_to_correct(world):
    drill, student = world
    drill.assessed = False
    drill.save()
    attempt = results.attempt(of=drill, student=student)
    assert not policies.may_correct(student, attempt)


def test_own_practice_is_seen_by_those_who_instruct_the_cohort_only(world):
    drill, student = world
    attempt = practised(student, drill)
    assert attempt in policies.visible_attempts(builders.lead(drill.cohort))
    assert attempt not in policies.visible_attempts(builders.student(drill.cohort))
    assert attempt not in policies.visible_attempts(builders.lead(builders.cohort()))


def test_a_student_logs_practice_by_the_page(world, client):
    drill, student = world
    client.force_login(student)
    asked = {
        "exercise": f"{drill.cohort_id}-{drill.exercise_id}",
        "site": drill.site_id,
        "day": "2025-06-20",
    }
    address = f"{reverse('practice-add')}?{urlencode(asked)}"
    assert b"Log my practice" in client.get(address).content
    data = COMMON | TYPED["shadow-tip"] | {"key": str(uuid.uuid4())}
    for _sent in range(2):
        response = client.post(address, data)
    attempt = Attempt.objects.get()
    assert response["Location"] == attempt.get_absolute_url()
    assert (attempt.student, attempt.assessed) == (student, False)
    assert b"practice: does not count" in client.get(response["Location"]).content


def test_an_address_that_names_an_exercise_of_others_shows_the_choice_again(world, client):
    drill, student = world
    client.force_login(student)
    other = builders.exercise()
    asked = {"exercise": f"{drill.cohort_id}-{other.pk}", "site": drill.site_id}
    response = client.get(reverse("practice-add"), asked | {"day": "2025-06-20"})
    assert b"Go on" in response.content
