"""The log of incidents: reported, added to, followed up, never changed."""

from datetime import UTC, date, datetime

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from coursework import services
from coursework.models import Harm, Incident
from tests import builders

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 7, 1, 12, 0, tzinfo=UTC)


@pytest.fixture
def lead():
    return builders.lead(builders.cohort())


@pytest.fixture
def assistant(lead):
    return builders.assistant(lead.enrolments.get().cohort)


@pytest.fixture
def incident(lead):
    return builders.incident(school=lead.school)


def report(school, **fields) -> Incident:
    defaults = {
        "school": school,
        "kind": Incident.Kind.INCIDENT,
        "occurred_at": datetime(2026, 6, 30, 9, 0, tzinfo=UTC),
        "zone": "Europe/Zurich",
        "place": "By the ford.",
        "what": "A sprained ankle.",
        "harm": Harm.MINOR,
        "action": "Bandaged and carried out.",
    }
    return Incident(**defaults | fields)


def test_an_assistant_reports(assistant):
    made = services.report_incident(assistant, report(assistant.school), now=NOW)
    assert (made.reported_by, made.reported_at) == (assistant, NOW)


def test_the_same_report_sent_twice_is_stored_once(assistant):
    first = services.report_incident(assistant, report(assistant.school), now=NOW)
    assert services.report_incident(assistant, report(assistant.school), now=NOW) == first


def test_what_is_still_to_come_is_refused(assistant):
    with pytest.raises(ValidationError, match="still to come"):
        services.report_incident(assistant, report(assistant.school, occurred_at=NOW), now=NOW.min
                                 .replace(year=2026, tzinfo=UTC))  # fmt: skip


@pytest.mark.parametrize("role", ["student", "stranger"])
def test_students_and_strangers_do_not_report(lead, role):
    cohort = lead.enrolments.get().cohort
    person = builders.student(cohort) if role == "student" else builders.administrator()
    with pytest.raises(PermissionDenied):
        services.report_incident(person, report(lead.school), now=NOW)


def test_a_note_is_added_and_the_report_stays(assistant, incident):
    before = incident.what
    services.add_note(assistant, incident, " It was the upper path. ")
    incident.refresh_from_db()
    assert incident.what == before
    assert [note.text for note in incident.notes.all()] == ["It was the upper path."]


def test_a_note_sent_twice_is_added_once(assistant, incident):
    services.add_note(assistant, incident, "Once.")
    services.add_note(assistant, incident, "Once.")
    assert incident.notes.count() == 1


def test_an_empty_note_is_refused(assistant, incident):
    with pytest.raises(ValidationError):
        services.add_note(assistant, incident, "  ")


def add(by, incident, person):
    return services.add_follow_up(
        by, incident, task="Fix a hand line.", person=person, due_on=date(2026, 7, 31)
    )


def test_a_follow_up_is_for_someone_of_the_staff(lead, assistant, incident):
    assert add(lead, incident, assistant).added_by == lead
    with pytest.raises(PermissionDenied):
        add(lead, incident, builders.student(lead.enrolments.get().cohort))


def test_who_is_asked_marks_it_done_once(lead, assistant, incident):
    made = add(lead, incident, assistant)
    done = services.close_follow_up(assistant, made, note=" Fixed. ", now=NOW)
    assert (done.done_on, done.done_by, done.done_note) == (date(2026, 7, 1), assistant, "Fixed.")
    with pytest.raises(ValidationError, match="done before"):
        services.close_follow_up(lead, made, note="Again.")


def test_another_assistant_does_not_mark_it_done(lead, assistant, incident):
    made = add(lead, incident, assistant)
    other = builders.assistant(lead.enrolments.get().cohort)
    with pytest.raises(PermissionDenied):
        services.close_follow_up(other, made, note="Done.")


def test_a_stranger_adds_nothing(incident):
    stranger = builders.administrator()
    with pytest.raises(PermissionDenied):
        services.add_note(stranger, incident, "Hello.")
    with pytest.raises(PermissionDenied):
        add(stranger, incident, stranger)


def test_a_site_of_an_incident_is_not_removed(lead, incident):
    with pytest.raises(services.HeldError, match="incident or a near miss"):
        services.remove(lead, incident.site)


def test_open_follow_ups_stand_first_the_earliest_due_on_top(lead, incident):
    school = lead.school
    late = builders.follow_up(incident=builders.incident(school=school), due_on=date(2026, 8, 1))
    first = builders.follow_up(incident=builders.incident(school=school), due_on=date(2026, 7, 1))
    settled = builders.incident(school=school, occurred_at=NOW)
    builders.follow_up(incident=settled, done_on=date(2026, 7, 2))
    rows = Incident.objects.filter(school=school).with_open()
    assert list(rows) == [first.incident, late.incident, settled, incident]
    assert [row.open_number for row in rows] == [1, 1, 0, 0]
