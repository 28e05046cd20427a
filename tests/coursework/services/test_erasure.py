"""What is held about a person: given out whole, and erased as far as nothing rests on it."""

import json
from datetime import date, timedelta

import pytest
from django.contrib.admin.models import CHANGE, LogEntry
from django.contrib.contenttypes.models import ContentType
from django.core.exceptions import PermissionDenied, ValidationError
from django.urls import reverse
from django.utils import timezone

from coursework import services
from coursework.models import Contact, Enrolment, HandMeasurement, Incident, Person
from coursework.services.erasure import as_text
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def administrator():
    return builders.administrator(name="Ada")


@pytest.fixture
def person(administrator):
    """A student with everything that coursework holds about one."""
    cohort = builders.cohort(school=administrator.school, name="June group")
    person = builders.student(cohort, name="Aino Lehto", username="aino")
    builders.approval(person=person, recorded_by=administrator)
    services.measure_hand(person, person, breadth_cm=8.5, reach_cm=55.0)
    services.share_contact(person, emergency=("Mo", "+41 79 000"), medical="Bee stings")
    return person


def test_a_person_gets_everything_as_json_can_hold_it(person):
    data = services.personal_data(person, person)
    text = json.dumps(data)
    for held in ("aino", "Aino Lehto", "June group", "first-aid", "8.5", "+41 79 000", "Bee"):
        assert held in text


def test_the_same_can_be_read_as_plain_lines(person):
    text = "\n".join(as_text(services.personal_data(person, person)))
    assert "  username: aino\n" in text
    assert "    medical note: Bee stings" in text


def test_an_administrator_gets_it_without_what_is_shared_for_emergencies(person, administrator):
    text = json.dumps(services.personal_data(administrator, person))
    assert "June group" in text
    assert "Bee" not in text
    assert "+41" not in text


@pytest.mark.parametrize("role", ["student", "assistant", "lead"])
def test_no_one_else_gets_it(person, role):
    other = getattr(builders, role)(person.enrolments.get().cohort)
    with pytest.raises(PermissionDenied):
        services.personal_data(other, person)


def test_what_would_go_is_counted_before_it_goes(person):
    shares = {
        share.words: (share.going, share.staying) for share in services.erasure_shares(person)
    }
    assert shares["roles in cohorts"] == (1, 0)
    assert shares["emergency contact and medical note"] == (1, 0)
    assert shares["hands measured"] == (0, 1)


def test_someone_on_whom_nothing_rests_is_gone_altogether(administrator):
    person = builders.student(builders.cohort(school=administrator.school))
    services.share_contact(person, emergency=None, medical="Bee stings")
    services.erase_person(administrator, person)
    assert not Person.objects.filter(username=person.username).exists()
    assert not Contact.objects.exists()
    assert not Enrolment.objects.exists()


def report(by, people: str) -> Incident:
    return Incident.objects.create(
        school=by.school, kind="incident", occurred_at=timezone.now(), zone="UTC",
        what=f"{people} slipped.", people=people, harm="none", action="Stopped.", reported_by=by,
    )  # fmt: skip


def test_someone_on_whom_records_rest_stays_as_a_label_that_cannot_sign_in(
    administrator, person, client
):
    person.set_password("wet-socks-99")
    person.save()
    incident = report(person, "Aino Lehto")
    label = services.erase_person(administrator, person)
    row = Person.objects.get(pk=incident.reported_by_id)
    assert (row.name, row.email, row.is_active) == (label, "", False)
    assert "aino" not in row.username
    assert "Aino" not in label
    assert not row.has_usable_password()
    client.post(reverse("sign-in"), {"username": "aino", "password": "wet-socks-99"})
    assert "_auth_user_id" not in client.session
    assert not HandMeasurement.objects.filter(person=row).exists()


def test_the_name_is_gone_from_what_was_written_down(administrator, person):
    incident = report(administrator, "Aino Lehto")
    label = services.erase_person(administrator, person)
    incident.refresh_from_db()
    assert incident.what == f"{label} slipped."
    assert incident.people == label


def test_another_school_that_names_the_same_name_is_left_alone(administrator, person):
    elsewhere = report(builders.administrator(), "Aino Lehto")
    services.erase_person(administrator, person)
    elsewhere.refresh_from_db()
    assert elsewhere.people == "Aino Lehto"


def test_the_log_of_the_maintenance_door_forgets_the_name(administrator, person):
    LogEntry.objects.create(
        user=administrator, content_type=ContentType.objects.get_for_model(Person),
        object_id=str(person.pk), object_repr="Aino Lehto", action_flag=CHANGE,
    )  # fmt: skip
    services.erase_person(administrator, person)
    assert not LogEntry.objects.filter(object_repr__contains="Aino").exists()


def test_an_erased_account_is_not_opened_again(administrator, person):
    report(person, "someone")
    services.erase_person(administrator, person)
    row = Person.objects.exclude(erased_at=None).get()
    with pytest.raises((ValidationError, PermissionDenied)):
        services.reopen_account(administrator, row)


def test_the_only_lead_of_a_cohort_that_is_not_over_is_not_erased(administrator):
    today = timezone.now().date()
    cohort = builders.cohort(school=administrator.school, starts_on=today, ends_on=today)
    lead = builders.lead(cohort, name="Mo")
    with pytest.raises(ValidationError, match="Mo is the only course lead"):
        services.erase_person(administrator, lead)
    assert Person.objects.filter(pk=lead.pk, name="Mo").exists()


def test_the_lead_of_a_cohort_that_is_over_may_be_erased(administrator):
    over = date.today() - timedelta(days=10)
    cohort = builders.cohort(school=administrator.school, starts_on=over, ends_on=over)
    services.erase_person(administrator, builders.lead(cohort))
    assert not cohort.enrolments.exists()


def test_nobody_erases_themself(administrator):
    with pytest.raises(PermissionDenied):
        services.erase_person(administrator, administrator)


@pytest.mark.parametrize("role", ["student", "assistant", "lead"])
def test_only_administrators_erase(person, role):
    with pytest.raises(PermissionDenied):
        services.erase_person(getattr(builders, role)(person.enrolments.get().cohort), person)


def test_an_administrator_of_another_school_erases_no_one(person):
    with pytest.raises(PermissionDenied):
        services.erase_person(builders.administrator(), person)
