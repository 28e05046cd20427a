"""First aid and approvals in the browser."""

from datetime import timedelta

import pytest
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from coursework.models import Approval
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def administrator(client):
    person = builders.administrator()
    client.force_login(person)
    return person


@pytest.fixture
def cohort(administrator):
    today = timezone.now().date()
    return builders.cohort(school=administrator.school, starts_on=today, ends_on=today)


def first_aid(person, days: int) -> Approval:
    today = timezone.now().date()
    return builders.approval(
        person=person,
        issued_on=today - timedelta(days=900),
        expires_on=today + timedelta(days=days),
    )


def names(client, **asked) -> list[str]:
    return [person.name for person in client.get(reverse("staff-list"), asked).context["page"]]


@pytest.mark.parametrize(
    ("within", "found"),
    [
        ("", ["Far", "Gone", "None", "Soon"]),
        ("0", ["Gone", "None"]),
        ("29", ["Gone", "None"]),
        ("30", ["Gone", "None", "Soon"]),
        ("399", ["Gone", "None", "Soon"]),
        ("400", ["Far", "Gone", "None", "Soon"]),
    ],
)
def test_the_list_finds_what_lapses_within_the_days(client, cohort, within, found):
    for name, days in (("Soon", 30), ("Far", 400), ("Gone", -1)):
        first_aid(builders.assistant(cohort, name=name), days)
    builders.assistant(cohort, name="None")
    assert names(client, within=within, kind="first-aid") == found


@pytest.mark.parametrize("within", ["-1", "x", "3661", "1e9"])
def test_days_that_make_no_sense_are_said_at_the_field(client, cohort, within):
    page = client.get(reverse("staff-list"), {"within": within})
    assert "within" in page.context["filter"].form.errors


def test_the_query_count_does_not_grow(client, cohort, connection_of_tests):
    def queries() -> int:
        with CaptureQueriesContext(connection_of_tests) as caught:
            client.get(reverse("staff-list"))
        return len(caught)

    first_aid(builders.assistant(cohort), 10)
    first = queries()
    for _ in range(10):
        first_aid(builders.assistant(cohort), 10)
    assert queries() == first


def test_no_staff_yet_says_what_to_do(client, administrator):
    assert "No one instructs yet." in client.get(reverse("staff-list")).content.decode()


def test_an_administrator_records_changes_and_removes_one(client, cohort, administrator):
    person = builders.assistant(cohort)
    fields = {"kind": "assessor", "issued_on": "2026-01-01", "expires_on": "2028-12-31"}
    client.post(reverse("approval-add", args=[person.pk]), fields)
    approval = person.approvals.get()
    assert approval.recorded_by == administrator
    client.post(reverse("approval-edit", args=[approval.pk]), fields | {"detail": "Card 12"})
    approval.refresh_from_db()
    assert approval.detail == "Card 12"
    client.post(reverse("approval-remove", args=[approval.pk]))
    assert not person.approvals.exists()


def test_a_last_day_before_the_first_is_refused_at_the_field(client, cohort):
    person = builders.assistant(cohort)
    fields = {"kind": "assessor", "issued_on": "2026-01-02", "expires_on": "2026-01-01"}
    page = client.post(reverse("approval-add", args=[person.pk]), fields)
    assert "before the day it was issued" in page.context["form"].errors["expires_on"][0]


def test_a_cohort_says_beside_its_staff_what_has_lapsed(client, cohort):
    first_aid(builders.assistant(cohort, name="Bo"), -1)
    content = client.get(reverse("cohort-detail", args=[cohort.pk])).content.decode()
    assert "First aid lapsed on" in content


def test_a_cohort_says_nothing_of_the_kind_beside_its_students(client, cohort):
    builders.student(cohort)
    content = client.get(reverse("cohort-detail", args=[cohort.pk])).content.decode()
    assert "first aid on record" not in content.lower()


def test_whoever_is_chosen_for_a_cohort_is_chosen_knowing_what_has_lapsed(client, cohort):
    person = builders.person(school=cohort.course.school, name="Bo")
    first_aid(person, -1)
    content = client.get(reverse("enrolment-add", args=[cohort.pk])).content.decode()
    assert "first aid lapsed on" in content
