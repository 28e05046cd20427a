"""Who gets what at every address of results: one table, role by role.

A stranger gets 404, a reader who may not write gets 403.
"""

from datetime import timedelta
from types import SimpleNamespace

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from assessments import policies, urls
from coursework.duties import duties_of
from coursework.models import Drill, Role
from tests import builders
from tests.assessments import results

pytestmark = pytest.mark.django_db

ROLES = [
    "student",  # whose result it is
    "fellow",  # another student of the same cohort
    "assistant",
    "lead",
    "administrator",
    "other_lead",  # leads another cohort of the same course
    "stranger",  # leads and administers at another school
]
OWN_OR_ASSESSING = [200, 404, 200, 200, 200, 404, 404]
ASSESSING = [403, 404, 200, 200, 200, 404, 404]
ASSESSING_COHORT = [403, 403, 200, 200, 200, 404, 404]
HOURS = ("planner", "planner-map", "planner-values", "planner-sheet", "sun-card")
# The field log answers a device, not a page: tests/assessments/field/test_access.py tries these.
FIELD = {
    "field",
    "field-drill",
    "field-worker",
    "field-manifest",
    "field-day",
    "field-form",
    "field-send",
    "lead-note-settle",
}
# tests/assessments/certification/test_access.py tries these.
CERTIFICATION = {
    "certification-list",
    "certification-add",
    "certification-detail",
    "certification-edit",
    "certification-publish",
    "certification-change",
    "certification-discard",
    "skill-add",
    "skill-edit",
    "skill-remove",
    "standing",
    "packet-issue",
    "skill-sign",
    "sign-off-withdraw",
    "repeat-order",
    "packet-detail",
    "packet-pdf",
    "packet-credential",
    "packet-withdraw",
    "expiry-list",
    "expiry-calendar",
    "packet-run-start",
    "packet-run",
    "packet-run-cancel",
    "packet-run-resume",
    "packet-run-remove",
    "packet-run-zip",
    "packet-run-print",
    "certificate-check",
    "certificate-check-number",
    "status-list",
}
TABLE = {
    "lead-notes": [200, 200, 200, 200, 200, 200, 200],
    "headcount-sheet": [403, 403, 200, 200, 200, 404, 404],
    "attempt-list": [200, 200, 200, 200, 200, 200, 200],
    "correction-list": [403, 403, 403, 200, 200, 200, 200],
    "attempt-detail": OWN_OR_ASSESSING,
    "attempt-again": OWN_OR_ASSESSING,
    "attempt-sheet": OWN_OR_ASSESSING,
    "attempt-correct": ASSESSING,
    # The drill can be read by everyone of the cohort, so for them it is not hidden.
    "attempt-log": [403, 403, 200, 200, 200, 404, 404],
    "attempt-grid": [403, 403, 200, 200, 200, 404, 404],
    "log-sheet": [403, 403, 200, 200, 200, 404, 404],
    "drill-import": [403, 403, 200, 200, 200, 404, 404],
    "cohort-import": [403, 403, 200, 200, 200, 404, 404],
    # What students shared is for those who go out with them, administrators not among them.
    "emergency-card": [403, 403, 200, 200, 403, 404, 404],
    # The exercise can be read all over the school by those who instruct.
    "blank-sheet": [200, 200, 200, 200, 200, 200, 404],
    "exercise-sheet": OWN_OR_ASSESSING,
    "record": OWN_OR_ASSESSING,
    "record-sheet": OWN_OR_ASSESSING,
    "otherwise": OWN_OR_ASSESSING,
    # The cohort can be read by its students; who misses what cannot.
    "cohort-record": ASSESSING_COHORT,
    "practice-add": [200, 200, 403, 403, 403, 403, 403],
    "corner": [200, 200, 200, 200, 200, 200, 200],
    # The manual is everyone's who is signed in.
    "manual": [200, 200, 200, 200, 200, 200, 200],
    "manual-page": [200, 200, 200, 200, 200, 200, 200],
    "manual-glossary": [200, 200, 200, 200, 200, 200, 200],
    "manual-pdf": [200, 200, 200, 200, 200, 200, 200],
    # Of the drills of one's own cohorts on that date: others have none.
    "run-sheet": [403, 403, 200, 200, 200, 404, 404],
    "lesson-plan": [200, 200, 200, 200, 200, 200, 404],
    "site-norths": [200, 200, 200, 200, 200, 200, 404],
    # Who was hurt is for the staff of the school, all of it at once for leads.
    "incident-report": [404, 404, 200, 200, 200, 200, 404],
    "incident-log": [403, 403, 403, 200, 200, 200, 200],
    # Students too, but not while an assessed drill of theirs is going on: see below.
    **{key: [200, 200, 200, 200, 200, 200, 404] for key in HOURS},
}


def one_of_everything() -> SimpleNamespace:
    """A result at one school, and people in every role."""
    drill = results.drill()
    cohort = drill.cohort
    school = cohort.course.school
    student = builders.student(cohort)
    stranger = builders.lead(builders.cohort(), is_school_admin=True)
    return SimpleNamespace(
        drill=drill,
        lesson=builders.lesson(course=cohort.course),
        incident=builders.incident(school=school),
        attempt=results.attempt(of=drill, student=student),
        student=student,
        fellow=builders.student(cohort),
        assistant=builders.assistant(cohort),
        lead=builders.lead(cohort),
        administrator=builders.administrator(school=school),
        other_lead=builders.lead(builders.cohort(course=cohort.course)),
        stranger=stranger,
    )


@pytest.fixture
def world():
    return one_of_everything()


def address(name: str, world) -> str:
    attempt = world.attempt
    arguments = {
        "attempt-list": [],
        "correction-list": [],
        "attempt-log": [world.drill.pk],
        "attempt-grid": [world.drill.pk],
        "log-sheet": [world.drill.pk],
        "drill-import": [world.drill.pk],
        "cohort-import": [world.drill.cohort_id],
        "lead-notes": [],
        "headcount-sheet": [world.drill.pk],
        "emergency-card": [world.drill.pk],
        "run-sheet": [world.drill.local_start.date().isoformat()],
        "lesson-plan": [world.lesson.pk],
        "site-norths": [world.drill.site_id],
        "incident-report": [world.incident.pk],
        "incident-log": [],
        "record": [attempt.student_id],
        "record-sheet": [attempt.student_id],
        "cohort-record": [world.drill.cohort_id],
        "practice-add": [],
        "corner": [],
        "manual": [],
        "manual-page": ["split"],
        "manual-glossary": [],
        "manual-pdf": [],
        **{key: [world.drill.site_id] for key in HOURS},
        "blank-sheet": [attempt.exercise_id],
        "exercise-sheet": [attempt.exercise_id, attempt.student_id],
    }
    query = "?q=abcdefghij" if name == "corner" else ""
    return reverse(name, args=arguments.get(name, [attempt.key])) + query


def signed_in(person) -> Client:
    client = Client()
    client.force_login(person)
    return client


def test_the_table_holds_every_address_of_results():
    assert {pattern.name for pattern in urls.urlpatterns} == set(TABLE) | FIELD | CERTIFICATION


@pytest.mark.parametrize("name", TABLE)
def test_each_role_gets_what_the_table_says(world, name):
    got = [signed_in(getattr(world, role)).get(address(name, world)).status_code for role in ROLES]
    assert got == TABLE[name]


@pytest.mark.parametrize("name", ["attempt-log", "attempt-correct"])
def test_sending_is_refused_to_the_same_people_as_reading(world, name):
    got = [signed_in(getattr(world, role)).post(address(name, world)).status_code for role in ROLES]
    assert got == TABLE[name]


@pytest.mark.parametrize("name", TABLE)
def test_whoever_has_not_signed_in_is_sent_to_sign_in(world, name):
    response = Client().get(address(name, world))
    assert response.status_code == 302
    assert response["Location"].startswith(reverse("sign-in"))


@pytest.mark.parametrize(
    ("role", "sees"),
    list(zip(ROLES, [True, False, True, True, True, False, False], strict=True)),
)
def test_the_list_shows_what_a_role_may_see(world, role, sees):
    page = signed_in(getattr(world, role)).get(reverse("attempt-list")).content.decode()
    assert (str(world.attempt.key) in page) is sees


def test_a_student_who_left_the_cohort_still_sees_their_result(world):
    world.student.enrolments.all().delete()
    assert world.attempt in policies.visible_attempts(world.student)


def test_an_assistant_who_left_the_cohort_sees_nothing_of_it(world):
    world.assistant.enrolments.all().delete()
    assert not policies.visible_attempts(world.assistant).exists()


@pytest.mark.parametrize("is_active", [True, False])
@pytest.mark.parametrize("role", ROLES)
def test_known_duties_change_nothing_of_what_is_seen(world, role, is_active):
    person = getattr(world, role)
    person.is_active = is_active
    known = policies.visible_attempts(person, duties=duties_of(person))
    assert set(known) == set(policies.visible_attempts(person))


def test_a_closed_account_sees_nothing(world):
    world.lead.is_active = False
    assert not policies.visible_attempts(world.lead).exists()


def test_someone_who_assists_and_studies_does_not_correct_their_own(world):
    builders.enrolment(cohort=world.drill.cohort, person=world.student, role=Role.ASSISTANT)
    assert not policies.may_correct(world.student, world.attempt)
    assert signed_in(world.student).get(address("attempt-correct", world)).status_code == 403


def test_someone_who_assists_and_studies_is_not_offered_themself(world):
    builders.enrolment(cohort=world.drill.cohort, person=world.student, role=Role.ASSISTANT)
    offered = policies.students_to_log(world.student, world.drill)
    assert world.student not in offered
    assert world.fellow in offered


@pytest.mark.parametrize("role", ["assistant", "student", "fellow", "other_lead", "stranger"])
def test_no_one_but_its_lead_and_administrator_arranges_the_drill(world, role):
    response = signed_in(getattr(world, role)).get(reverse("drill-edit", args=[world.drill.pk]))
    assert response.status_code in {403, 404}


DURING = builders.MIDSUMMER_MORNING + timedelta(minutes=30)


@pytest.mark.parametrize(
    ("role", "sees"),
    list(zip(ROLES, [False, False, True, True, True, True, True], strict=True)),
)
def test_students_do_not_see_the_hours_while_their_assessed_drill_is_open(world, role, sees):
    Drill.objects.update(starts_at=builders.MIDSUMMER_MORNING, minutes=60, assessed=True)
    person, site = getattr(world, role), world.drill.site
    assert policies.may_see_hours(person, site, now=DURING) is sees


@pytest.mark.parametrize(
    ("change", "minutes"),
    [
        ({"assessed": False}, 30),
        ({"cancelled_at": builders.MIDSUMMER_MORNING}, 30),
        ({"minutes": 30}, 60),
        ({}, -31),
        ({}, 90),
    ],
    ids=["practice", "cancelled", "over", "before", "at the end of the quiet"],
)
def test_before_and_after_and_in_practice_students_see_the_hours(world, change, minutes):
    fields = {"starts_at": builders.MIDSUMMER_MORNING, "minutes": 60, "assessed": True}
    Drill.objects.update(**fields | change)
    now = builders.MIDSUMMER_MORNING + timedelta(minutes=minutes)
    assert policies.may_see_hours(world.student, world.drill.site, now=now)


def test_an_open_drill_elsewhere_hides_nothing_here(world):
    Drill.objects.update(starts_at=builders.MIDSUMMER_MORNING, minutes=60, assessed=True)
    elsewhere = builders.site(school=world.drill.site.school)
    assert policies.may_see_hours(world.student, elsewhere, now=DURING)


@pytest.mark.parametrize("name", HOURS)
def test_every_address_of_the_hours_is_closed_during_the_drill(world, name):
    Drill.objects.update(starts_at=timezone.now(), minutes=60, assessed=True)
    assert signed_in(world.student).get(address(name, world)).status_code == 403
