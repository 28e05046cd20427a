"""From when to when, as pages write it."""

from datetime import UTC, datetime

import pytest

from coursework.templatetags.spans import local_span
from tests import builders

pytestmark = pytest.mark.django_db


def drill(**start):
    return builders.drill(site=builders.site(zone="Europe/Zurich"), minutes=90, **start)


def test_a_drill_says_its_date_and_its_zone_once():
    planned = drill(starts_at=datetime(2026, 6, 20, 7, 30, tzinfo=UTC))
    assert local_span(planned) == "Sat 20 June 2026, 09:30–11:00 CEST"
    assert local_span(planned, hours_only=True) == "09:30–11:00 CEST"


def test_a_drill_over_the_change_of_the_clock_says_both():
    # The European clock goes back at 01:00 UTC on the last Sunday of October: Directive 2000/84/EC.
    planned = drill(starts_at=datetime(2026, 10, 25, 0, 30, tzinfo=UTC))
    assert local_span(planned, hours_only=True) == "02:30 CEST – 03:00 CET"
