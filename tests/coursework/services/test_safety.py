"""Go or stay, decided and kept."""

from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from coursework import services
from coursework.models import Aspect, Decision, SchoolSettings
from tests import builders

pytestmark = pytest.mark.django_db

FINE = {name: {"concern": False, "note": ""} for name in Aspect.values}


@pytest.fixture
def drill():
    drill = builders.drill()
    SchoolSettings.objects.create(school=drill.site.school, heat_care=25.0, heat_stop=30.0)
    return drill


@pytest.fixture
def lead(drill):
    return builders.lead(drill.cohort)


def go(lead, drill, **fields) -> Decision:
    defaults = {"outcome": "go", "aspects": FINE, "reason": "Settled weather."}
    return services.decide(lead, drill, **defaults | fields)


def faults(lead, drill, **fields) -> dict:
    with pytest.raises(ValidationError) as refused:
        go(lead, drill, **fields)
    assert not Decision.objects.exists()
    return refused.value.message_dict


def concern(aspect, note="Thunder heard."):
    return FINE | {aspect: {"concern": True, "note": note}}


def test_a_decision_keeps_who_what_and_for_which_hour_and_place(lead, drill):
    made = go(lead, drill)
    assert (made.decided_by, made.site, made.starts_at) == (lead, drill.site, drill.starts_at)


def test_going_needs_every_aspect_looked_at(lead, drill):
    aspects = {name: said for name, said in FINE.items() if name != Aspect.LIGHTNING}
    assert list(faults(lead, drill, aspects=aspects)) == [Aspect.LIGHTNING]


def test_a_concern_needs_a_note(lead, drill):
    assert list(faults(lead, drill, aspects=concern(Aspect.GROUP, note=" "))) == ["group_note"]


def test_staying_needs_a_concern_and_no_more(lead, drill):
    assert faults(lead, drill, outcome="stay")
    only = {Aspect.LIGHTNING: {"concern": True, "note": "Thunder heard."}}
    assert not go(lead, drill, outcome="stay", aspects=only).is_go


def test_a_reason_is_needed(lead, drill):
    assert "reason" in faults(lead, drill, reason="  ")


@pytest.mark.parametrize("measured", [30.0, 33.5])
def test_at_the_schools_limit_nobody_records_go(lead, drill, measured):
    aspects = concern(Aspect.HEAT, "Shade and water.")
    assert (
        "30 °C WBGT" in faults(lead, drill, heat_value=measured, aspects=aspects)["heat_value"][0]
    )


@pytest.mark.parametrize(("measured", "needs_note"), [(24.9, False), (25.0, True), (29.9, True)])
def test_from_the_limit_for_care_on_the_care_is_said(lead, drill, measured, needs_note):
    if needs_note:
        assert "heat_note" in faults(lead, drill, heat_value=measured)
    noted = FINE | {Aspect.HEAT: {"concern": False, "note": "Shade every 20 minutes."}}
    assert go(lead, drill, heat_value=measured, aspects=noted).heat_value == measured


def test_at_the_limit_staying_is_recorded(lead, drill):
    aspects = {Aspect.HEAT: {"concern": True, "note": "Too hot."}}
    assert go(lead, drill, outcome="stay", aspects=aspects, heat_value=31.0).pk


def test_a_school_without_limits_refuses_no_temperature(lead, drill):
    SchoolSettings.objects.all().delete()
    assert go(lead, drill, heat_value=50.0).heat_limits["stop"] is None


def test_a_decision_keeps_the_limits_of_its_day(lead, drill):
    made = go(lead, drill)
    SchoolSettings.objects.update(heat_stop=10.0)
    made.refresh_from_db()
    assert made.limits.stop == 30.0


def test_a_later_decision_is_added(lead, drill):
    first = go(lead, drill, seen=0)
    second = go(lead, drill, outcome="stay", aspects=concern(Aspect.WEATHER), seen=first.pk)
    assert list(drill.decisions.last_first()) == [second, first]


def test_a_decision_made_without_having_read_the_last_one_is_refused(lead, drill):
    go(builders.lead(drill.cohort), drill)
    with pytest.raises(ValidationError, match="Someone decided meanwhile"):
        go(lead, drill, seen=0)


def test_the_same_decision_sent_twice_is_stored_once(lead, drill):
    assert go(lead, drill, seen=0) == go(lead, drill, seen=0)


@pytest.mark.parametrize("role", ["assistant", "student", "other_lead", "stranger"])
def test_only_who_arranges_the_cohort_decides(drill, role):
    person = {
        "assistant": lambda: builders.assistant(drill.cohort),
        "student": lambda: builders.student(drill.cohort),
        "other_lead": lambda: builders.lead(builders.cohort(school=drill.site.school)),
        "stranger": builders.administrator,
    }[role]()
    with pytest.raises(PermissionDenied):
        go(person, drill)


def test_a_drill_that_was_decided_on_is_not_removed(lead, drill):
    go(lead, drill)
    with pytest.raises(services.HeldError, match="was decided"):
        services.remove(lead, drill)
    with pytest.raises(services.HeldError, match="was decided"):
        services.remove(lead, drill.cohort)


def test_a_drill_moved_after_the_decision_is_known(lead, drill):
    made = go(lead, drill)
    assert made.still_fits(drill)
    drill.starts_at += timedelta(hours=1)
    assert not made.still_fits(drill)


def test_settings_are_saved_by_the_schools_administrator_only(lead, drill):
    settings = SchoolSettings.of(drill.site.school)
    with pytest.raises(PermissionDenied):
        services.save_settings(lead, settings)
    with pytest.raises(PermissionDenied):
        services.save_settings(builders.administrator(), settings)
    administrator = builders.administrator(school=drill.site.school)
    settings.emergency_number = "112"
    services.save_settings(administrator, settings)
    assert SchoolSettings.of(drill.site.school).emergency_number == "112"
