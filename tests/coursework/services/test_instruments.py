"""Instruments checked against surveyed marks."""

from datetime import UTC, date, datetime

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from coursework import services
from coursework.models import Instrument, InstrumentCheck
from solar.declination import declination
from tests import builders
from tests.assessments import results

pytestmark = pytest.mark.django_db

CHECKED_AT = datetime(2026, 3, 10, 8, 30, tzinfo=UTC)


@pytest.fixture
def lead():
    return builders.lead(builders.cohort())


@pytest.fixture
def mark(lead):
    return builders.mark(site=builders.site(school=lead.school), bearing_deg=120.0)


@pytest.fixture
def compass(lead):
    return builders.instrument(school=lead.school)


def record(lead, instrument, mark, **fields) -> InstrumentCheck:
    defaults = {
        "mark": mark,
        "checked_at": CHECKED_AT,
        "readings_deg": [114.0, 115.0, 116.0],
        "resolution_deg": 1.0,
    }
    return services.record_check(lead, instrument, **defaults | fields)


def test_the_correction_is_the_magnetic_bearing_of_the_mark_less_the_mean(lead, compass, mark):
    field = declination([CHECKED_AT], latitude_deg=46.72, longitude_deg=8.18, elevation_m=1050.0)
    made = record(lead, compass, mark)
    assert made.declination_deg == pytest.approx(float(field.declination_deg[0]))
    assert made.correction_deg == pytest.approx(120.0 - made.declination_deg - 115.0)
    assert made.magnetic_model == "WMM-2025"


def test_the_uncertainty_counts_scatter_mean_mark_and_declination(lead, compass, mark):
    made = record(lead, compass, mark)
    parts = (1.0, 1.0 / 3.0, mark.bearing_u_deg**2, made.declination_u_deg**2)
    assert made.reading_u_deg == pytest.approx(sum(parts) ** 0.5)


def test_the_instrument_follows_its_check(lead, compass, mark):
    made = record(lead, compass, mark)
    compass.refresh_from_db()
    assert compass.correction_deg == made.correction_deg
    assert compass.reading_u_deg == made.reading_u_deg
    assert compass.due_on == date(2027, 3, 10)


def test_a_check_entered_late_does_not_displace_a_later_one(lead, compass, mark):
    last = record(lead, compass, mark)
    earlier = datetime(2025, 3, 10, 8, 30, tzinfo=UTC)
    record(lead, compass, mark, checked_at=earlier, readings_deg=[110, 111, 112])
    compass.refresh_from_db()
    assert compass.correction_deg == last.correction_deg


def test_a_result_already_logged_keeps_what_it_was_scored_with(lead, compass, mark):
    drill = results.drill()
    compass.school = drill.cohort.course.school
    compass.save()
    attempt = results.attempt(
        of=drill, instrument=compass, columns={"check": "compass", "reading_deg": "340"}
    )
    other_lead = builders.lead(drill.cohort)
    record(other_lead, compass, builders.mark(site=drill.site))
    attempt.current.refresh_from_db()
    assert attempt.current.inputs["correction_deg"] == "0"
    assert attempt.current.facts["instrument_check"]["overdue"] is True


def test_the_same_check_sent_twice_is_stored_once(lead, compass, mark):
    assert record(lead, compass, mark) == record(lead, compass, mark)


def test_a_protractor_is_held_against_the_angle_between_two_marks(lead, mark):
    protractor = builders.instrument(school=lead.school, kind=Instrument.Kind.PROTRACTOR)
    start = builders.mark(site=mark.site, bearing_deg=350.0)
    made = record(lead, protractor, mark, from_mark=start, readings_deg=[127, 128, 129])
    assert made.offset_deg == pytest.approx(2.0)
    assert made.correction_deg == 0.0
    assert made.reading_u_deg > 2.0
    assert made.declination_deg is None


@pytest.mark.parametrize("other", ["none", "same", "elsewhere"])
def test_a_protractor_needs_two_marks_of_one_site(lead, mark, other):
    protractor = builders.instrument(school=lead.school, kind=Instrument.Kind.PROTRACTOR)
    elsewhere = builders.mark(site=builders.site(school=lead.school))
    start = {"none": None, "same": mark, "elsewhere": elsewhere}[other]
    with pytest.raises(ValidationError) as refused:
        record(lead, protractor, mark, from_mark=start)
    assert "from_mark" in refused.value.message_dict


def refusal(lead, compass, mark, **fields) -> str:
    with pytest.raises(ValidationError) as refused:
        record(lead, compass, mark, **fields)
    assert not InstrumentCheck.objects.exists()
    return " ".join(refused.value.messages)


def test_readings_that_cannot_be_of_one_direction_are_refused(lead, compass, mark):
    assert "a slip" in refusal(lead, compass, mark, readings_deg=[114, 115, 215])


def test_a_check_still_to_come_is_refused(lead, compass, mark):
    now = datetime(2026, 3, 10, 8, 29, tzinfo=UTC)
    assert "still to come" in refusal(lead, compass, mark, now=now)


def test_a_date_without_a_magnetic_model_is_refused(lead, compass, mark):
    old = datetime(2009, 3, 10, tzinfo=UTC)
    assert "No magnetic model" in refusal(lead, compass, mark, checked_at=old)


def test_a_compass_near_the_magnetic_pole_is_refused(lead, compass):
    site = builders.site(school=lead.school, latitude_deg=86.5, longitude_deg=160.0)
    assert "too weak" in refusal(lead, compass, builders.mark(site=site))


def test_a_retired_instrument_is_taken_back_before_it_is_checked(lead, compass, mark):
    services.retire(lead, compass)
    assert "retired" in refusal(lead, compass, mark)
    services.take_back(lead, compass)
    assert record(lead, compass, mark)


def test_a_mark_of_another_school_is_refused(lead, compass):
    with pytest.raises(PermissionDenied):
        record(lead, compass, builders.mark())


@pytest.mark.parametrize("change", ["retire", "take_back"])
def test_an_assistant_neither_retires_nor_takes_back(compass, change):
    cohort = builders.cohort(school=compass.school)
    with pytest.raises(PermissionDenied):
        getattr(services, change)(builders.assistant(cohort), compass)


def test_a_checked_instrument_is_not_removed(lead, compass, mark):
    record(lead, compass, mark)
    with pytest.raises(services.HeldError, match="on record"):
        services.remove(lead, compass)
    with pytest.raises(services.HeldError, match="on record"):
        services.remove(lead, mark.site)
