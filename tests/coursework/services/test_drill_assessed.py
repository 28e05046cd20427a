"""Whether a drill's results count is settled before anything is read off."""

from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError

from coursework import services
from coursework.conflicts import Plan
from coursework.models import Drill
from tests import builders
from tests.assessments import results

pytestmark = pytest.mark.django_db


def save_as(assessed, drill, *, hours):
    """Save the drill as assessed or practice, some hours after its start."""
    lead = builders.lead(drill.cohort)
    changed = Drill.objects.get(pk=drill.pk)
    changed.assessed = assessed
    changed.lead = lead
    changed.cancelled_at = changed.starts_at  # nothing speaks against a cancelled drill
    now = drill.starts_at + timedelta(hours=hours)
    return services.save_drill(lead, Plan(drill=changed, lead=lead), now=now)


def test_it_changes_before_the_start():
    drill = builders.drill(assessed=True)
    save_as(False, drill, hours=-1)
    assert not Drill.objects.get().assessed


@pytest.mark.parametrize("assessed", [True, False])
def test_it_stays_once_the_drill_has_begun(assessed):
    drill = builders.drill(assessed=assessed)
    with pytest.raises(ValidationError, match="has begun"):
        save_as(not assessed, drill, hours=0)
    assert Drill.objects.get().assessed is assessed


def test_it_stays_once_a_result_is_logged():
    attempt = results.attempt()
    with pytest.raises(ValidationError, match="Results have been logged"):
        save_as(False, attempt.drill, hours=-1)


def test_other_things_change_after_the_start():
    drill = builders.drill(assessed=True)
    assert save_as(True, drill, hours=2).pk == drill.pk
