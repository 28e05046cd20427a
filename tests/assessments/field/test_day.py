"""What a device carries with it."""

import re
from datetime import timedelta
from pathlib import Path

import pytest
from django.contrib.staticfiles import finders
from django.utils import timezone

from assessments.field import carried
from assessments.field.day import day_of
from assessments.field.form import forms_of
from assessments.field.sending import receive
from assessments.field.words import field_words
from coursework.models import Drill
from tests import builders
from tests.assessments import results
from tests.assessments.field.messages import DEVICE, crew, headcount, message, result

pytestmark = pytest.mark.django_db
NOW = timezone.now()


def carried_by(person, now=NOW, device=DEVICE):
    return day_of(person, device=device, now=now)


def test_a_drill_comes_with_its_students_and_what_is_done_when_someone_is_lost():
    drill, lead, student = crew(starts_at=NOW)
    drill.site.lost_steps = "Stop.\nWhistle."
    drill.site.rally_words = "The gate."
    drill.site.save()
    (said,) = carried_by(lead)["drills"]
    assert [(each["pk"], each["name"]) for each in said["students"]] == [(student.pk, student.name)]
    assert (said["lost_steps"], said["rally"]) == (["Stop.", "Whistle."], "The gate.")


def test_drills_of_these_days_are_carried_and_no_others():
    drill, lead, _student = crew(starts_at=NOW)
    for hours, is_carried in [(-21, False), (-19, True), (95, True), (97, False)]:
        drill.starts_at = NOW + timedelta(hours=hours)
        drill.save()
        assert bool(carried_by(lead)["drills"]) is is_carried


def test_one_who_assists_and_studies_does_not_log_for_themself():
    drill, _lead, student = crew(starts_at=NOW)
    builders.enrolment(cohort=drill.cohort, person=student, role="assistant")
    (said,) = carried_by(student)["drills"]
    assert said["students"] == []


def test_what_is_noted_on_one_device_is_carried_by_the_other():
    drill, lead, student = crew(starts_at=NOW)
    assistant = builders.assistant(drill.cohort)
    receive(assistant, message(headcount(drill, students=[student.pk])))
    (said,) = carried_by(lead)["drills"]
    assert [(one["kind"], one["students"], one["by"]) for one in said["events"]] == [
        ("out", [student.pk], assistant.name)
    ]


def test_a_student_who_left_the_cohort_while_out_is_still_named():
    drill, lead, student = crew(starts_at=NOW)
    receive(lead, message(headcount(drill, students=[student.pk])))
    student.enrolments.all().delete()
    (said,) = carried_by(lead)["drills"]
    assert (said["students"], said["others"]) == ([], {student.pk: student.name})


def test_another_device_is_named_with_when_it_was_heard_and_ones_own_is_not():
    drill, lead, _student = crew(starts_at=NOW)
    assistant = builders.assistant(drill.cohort, name="Runa Lie")
    receive(assistant, message(waiting=3), now=NOW - timedelta(minutes=20))
    receive(lead, message(), now=NOW)
    (said,) = carried_by(lead)["drills"]
    (device,) = said["devices"]
    assert device["name"].startswith("Runa Lie, ")
    assert device["heard_at"] == (NOW - timedelta(minutes=20)).isoformat()
    assert device["waiting"] == 3


def test_results_logged_so_far_are_counted():
    drill, lead, student = crew(starts_at=NOW)
    receive(lead, message(result(drill, student), result(drill, student)))
    (said,) = carried_by(lead)["drills"]
    assert said["students"][0]["logged"] == 2


def test_the_number_of_queries_does_not_grow_with_the_drills(django_assert_num_queries):
    drill, lead, student = crew(starts_at=NOW)
    receive(lead, message(result(drill, student), headcount(drill, students=[student.pk])))
    builders.group(student, cohort=drill.cohort)

    def count():
        with django_assert_num_queries(12):
            return carried_by(lead)

    assert len(count()["drills"]) == 1
    for _ in range(4):
        Drill.objects.create(
            cohort=drill.cohort, exercise=drill.exercise, site=drill.site, starts_at=NOW
        )
        builders.group(builders.student(drill.cohort), cohort=drill.cohort)
    assert len(count()["drills"]) == 5


def test_groups_come_along_and_who_of_the_cohort_is_not_taken_out():
    drill, lead, student = crew(starts_at=NOW)
    other = builders.student(drill.cohort, name="Odd Berge")
    ravens = builders.group(student, cohort=drill.cohort, name="Ravens")
    (said,) = carried_by(lead)["drills"]
    assert said["groups"] == [{"name": "Ravens", "students": [student.pk]}]
    assert [each["taken"] for each in said["students"]] == [True, True]
    drill.groups.add(ravens)
    (said,) = carried_by(lead)["drills"]
    assert {each["pk"]: each["taken"] for each in said["students"]} == {
        student.pk: True,
        other.pk: False,
    }


@pytest.mark.parametrize("method", [*results.LINES, *results.TRAVEL])
def test_every_method_has_forms_a_device_can_carry(method):
    drill = results.drill(method)
    forms = forms_of(drill)
    expected = [""] if method in results.TRAVEL else ["compass", "shadow", "landmark", "direct"]
    assert list(forms["checks"]) == expected
    for html in forms["checks"].values():
        assert 'name="key"' not in html
        assert "hx-post" not in html
        assert " style=" not in html


def test_a_form_comes_with_the_reasons_for_no_result():
    reasons = forms_of(results.drill("shadow-tip"))["reasons"]
    assert [value for value, _words in reasons] == ["cloud", "gave up", "safety", "other"]
    assert reasons[2][1] == "Stopped for safety"


def test_the_form_is_fetched_anew_when_something_in_it_changes():
    drill, lead, _student = crew(starts_at=NOW)

    def tag():
        return carried_by(lead)["drills"][0]["form_tag"]

    before = tag()
    assert tag() == before
    builders.instrument(school=drill.site.school)
    assert tag() != before


def test_every_file_a_device_keeps_exists_and_another_version_follows_its_content(
    monkeypatch, client
):
    for address in carried.addresses():
        assert client.get(address).status_code == 200, address
    version = carried._digest("en-gb")
    assert carried.version() == version
    monkeypatch.setattr(carried, "FILES", carried.FILES[1:])
    assert carried._digest("en-gb") != version


def test_every_script_that_a_script_needs_is_kept():

    kept = set(carried.FILES)
    for name in [name for name in kept if name.startswith("field/")]:
        text = Path(finders.find(name)).read_text(encoding="utf-8")
        assert {f"field/{other}" for other in re.findall(r'from "\./(.+?)"', text)} <= kept


def test_every_word_that_a_script_says_is_there():

    words, said = field_words(), set()
    for name in [name for name in carried.FILES if name.startswith("field/")]:
        text = Path(finders.find(name)).read_text(encoding="utf-8")
        said |= set(re.findall(r'\bsay\("(\w+)"', text))
        counted = re.findall(r'\bsayCount\("(\w+)"', text)
        said |= {f"{each}_{end}" for each in counted for end in ("one", "many")}
    assert said - set(words) == set()
    assert len(said) > 60
