"""A file of attempts held against drills: place and standard are theirs, the same file is once."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from assessments.bringing import import_attempts, plan_attempts, read_attempts
from assessments.bringing.plan import key_of
from assessments.models import Attempt
from assessments.services import correct_attempt, record_attempt
from tests import builders
from tests.assessments import results

pytestmark = pytest.mark.django_db
TIMES = "2025-06-20T09:30;2025-06-20T09:46"


@pytest.fixture
def drill():
    return results.drill()


@pytest.fixture
def lead(drill):
    return builders.lead(drill.cohort)


@pytest.fixture
def teo(drill):
    return builders.student(drill.cohort, username="teo", name="Teo Marchetti")


def file_of(*rows: dict) -> bytes:
    names = list(dict.fromkeys(name for row in rows for name in row))
    lines = [",".join(names), *[",".join(row.get(name, "") for name in names) for row in rows]]
    return "\n".join(lines).encode()


def row(**cells) -> dict:
    usual = {"attempt": "a1", "username": "teo", "times": TIMES, "check": "direct"}
    return usual | {"reading_deg": "350"} | cells


def planned(drill, lead, *rows, drills=None):
    file = read_attempts(file_of(*rows))
    return plan_attempts(lead, drill.cohort, file, drills=drills or [drill])


def bring(drill, lead, *rows) -> int:
    file = read_attempts(file_of(*rows))
    return import_attempts(lead, drill.cohort, file, drills=[drill])


def test_planning_stores_nothing(drill, lead, teo):
    plan = planned(drill, lead, row(), row(attempt="a2"))
    assert (plan.new_number, plan.fault_number, plan.can_be_done) == (2, 0, True)
    assert not Attempt.objects.exists()


def test_a_row_is_scored_as_if_it_had_been_logged(drill, lead, teo):
    bring(drill, lead, row())
    logged = results.attempt(of=drill, by=lead, student=teo)
    brought = Attempt.objects.exclude(pk=logged.pk).get()
    assert brought.current.own_error_deg == logged.current.own_error_deg
    assert brought.key == key_of(drill.cohort, "a1")


def test_the_same_file_twice_changes_nothing(drill, lead, teo):
    assert bring(drill, lead, row(), row(attempt="a2")) == 2
    plan = planned(drill, lead, row(), row(attempt="a2"))
    assert (plan.stored_number, plan.new_number, plan.can_be_done) == (2, 0, False)
    assert bring(drill, lead, row(), row(attempt="a2")) == 0
    assert Attempt.objects.count() == 2


def test_the_same_attempt_with_other_content_is_a_fault(drill, lead, teo):
    bring(drill, lead, row())
    plan = planned(drill, lead, row(reading_deg="351"))
    assert "other content" in plan.rows[0].faults[0]


@pytest.mark.parametrize(
    "who", [{"student": "TEO"}, {"student": "teo marchetti"}, {"name": "Teo Marchetti"}]
)
def test_a_student_is_known_by_username_or_name(drill, lead, teo, who):
    cells = row(**who)
    del cells["username"]
    plan = planned(drill, lead, cells)
    assert plan.rows[0].entry.student == teo


def test_a_name_that_two_have_is_a_fault(drill, lead, teo):
    builders.student(drill.cohort, name="Teo Marchetti")
    plan = planned(drill, lead, row(username="", name="Teo Marchetti"))
    assert "More than one student" in plan.rows[0].faults[0]


@pytest.mark.parametrize(
    ("cells", "fault"),
    [
        ({"username": "nobody"}, "no student of this cohort"),
        ({"username": ""}, "whose attempt"),
        ({"lat": "46.9"}, "lat “46.9”: the drill has “46.72”"),
        ({"tolerance_deg": "20"}, "the drill has “15”"),
        ({"method": "watch"}, "the drill has “shadow-tip”"),
        ({"zone": "UTC"}, "the drill has “Europe/Zurich”"),
        ({"reading_deg": "north"}, "reading_deg"),
        ({"times": "2025-06-20T03:00;2025-06-20T03:20"}, "below the horizon"),
        ({"times": "2099-06-20T09:30;2099-06-20T09:46"}, "20"),
        ({"no_result": "bored", "reading_deg": ""}, "must be one of"),
        ({"no_result": "cloud"}, "reading all the same"),
        ({"no_result": "other", "reading_deg": ""}, "few words"),
    ],
)
def test_what_is_wrong_with_a_row_is_said_and_nothing_is_stored(drill, lead, teo, cells, fault):
    plan = planned(drill, lead, row(), row(attempt="a2", **cells))
    assert plan.fault_number == 1
    assert fault in " ".join(plan.rows[1].faults)
    with pytest.raises(ValidationError):
        bring(drill, lead, row(), row(attempt="a2", **cells))
    assert not Attempt.objects.exists()


def test_a_place_a_few_metres_off_is_the_drills_own(drill, lead, teo):
    bring(drill, lead, row(lat="46.72003", lon="8.18", elevation_m="1040"))
    assert Attempt.objects.get().current.inputs["lat"] == "46.72"


def test_no_result_is_brought_in_with_its_reason(drill, lead, teo):
    bring(drill, lead, row(no_result="gave up", check="", reading_deg="", times=""))
    assert Attempt.objects.get().current.no_result == "gave up"


def test_a_file_for_a_cohort_finds_the_drill_of_each_row(drill, lead, teo):
    other = builders.drill(
        cohort=drill.cohort,
        exercise=builders.exercise(course=drill.cohort.course, method="watch"),
        site=drill.site,
        starts_at=drill.starts_at,
    )
    rows = [
        row(method="shadow-tip"),
        row(attempt="a2", method="watch", times="2025-06-20T16:10"),
        row(attempt="a3", method="watch", times="2025-06-21T16:10"),
    ]
    plan = planned(drill, lead, *rows, drills=[drill, other])
    assert [one.entry and one.entry.drill for one in plan.rows] == [drill, other, None]
    assert "no drill by watch on 2025-06-21" in plan.rows[2].faults[0]


def test_a_drill_without_lines_takes_no_file(lead):
    of = results.drill("pace-count")
    builders.student(of.cohort, username="teo")
    plan = planned(of, builders.lead(of.cohort), row())
    assert "this drill has none" in plan.rows[0].faults[0]


def test_a_student_brings_nothing_in(drill, teo):
    with pytest.raises(PermissionDenied):
        bring(drill, teo, row())


def test_one_who_logs_does_not_bring_in_their_own(drill, lead):
    builders.enrolment(cohort=drill.cohort, person=lead)
    plan = planned(drill, lead, row(username=lead.username))
    assert "no student of this cohort" in plan.rows[0].faults[0]


def test_a_corrected_attempt_is_still_the_same_file(drill, lead, teo):
    bring(drill, lead, row())
    correct_attempt(
        by=lead,
        attempt=Attempt.objects.get(),
        observation=results.observation(columns={"reading_deg": "358"}),
        reason="Misread.",
    )
    assert planned(drill, lead, row()).stored_number == 1


def test_it_is_looked_at_and_only_then_stored(client, drill, lead, teo):
    client.force_login(lead)
    address = reverse("drill-import", args=[drill.pk])
    content = file_of(row())
    page = client.post(address, {"attempts": SimpleUploadedFile("a.csv", content)})
    assert "Nothing is stored yet." in page.content.decode()
    assert not Attempt.objects.exists()
    page = client.post(address, {"content": content.decode()}, follow=True).content.decode()
    assert "1 result is stored." in page
    assert Attempt.objects.get().student == teo


def test_a_file_that_cannot_be_read_is_said_at_its_field(client, drill, lead):
    client.force_login(lead)
    sent = {"attempts": SimpleUploadedFile("a.csv", b"name\nTeo\n")}
    page = client.post(reverse("cohort-import", args=[drill.cohort_id]), sent).content.decode()
    assert "“attempt” is missing" in page


def test_one_logged_by_hand_is_not_taken_for_one_of_the_file(drill, lead, teo):
    record_attempt(by=lead, drill=drill, student=teo, observation=results.observation())
    assert planned(drill, lead, row()).new_number == 1
