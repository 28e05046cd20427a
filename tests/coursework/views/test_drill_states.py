"""Conflicts beside the form of a drill, cancelling one, and groups, over their pages."""

from datetime import UTC, datetime

import pytest
from django.urls import reverse

from assessments.policies import may_log
from coursework.models import Drill, Group
from tests import builders

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 9, 1, tzinfo=UTC)


@pytest.fixture
def drill(monkeypatch):
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOW)
    return builders.drill(starts_at=datetime(2026, 9, 22, 11, 0, tzinfo=UTC))


@pytest.fixture
def lead(client, drill):
    person = builders.lead(drill.cohort)
    client.force_login(person)
    return person


def fields(drill, lead, **more) -> dict:
    return {
        "exercise": drill.exercise_id,
        "site": drill.site_id,
        "day": "2026-09-23",
        "clock": "13:00",
        "minutes": "60",
        "lead": lead.pk,
    } | more


def beside(client, drill, sent) -> str:
    address = reverse("drill-conflicts", args=[drill.cohort_id])
    return client.post(address, sent).content.decode()


def test_what_speaks_against_a_plan_stands_beside_it_as_one_chooses(client, drill, lead):
    assert "Nothing that can be seen from here" in beside(client, drill, fields(drill, lead))
    dark = beside(client, drill, fields(drill, lead, clock="22:00"))
    assert "The sun is below the skyline all the time." in dark
    assert "Choose what, where and when" in beside(client, drill, {"minutes": "60"})
    assert Drill.objects.count() == 1


def test_a_plan_with_conflicts_is_saved_only_with_a_reason_for_what_was_shown(client, drill, lead):
    address = reverse("drill-add", args=[drill.cohort_id])
    sent = fields(drill, lead) | {"lead": ""}
    refused = client.post(address, sent)
    assert "Something speaks against this plan" in refused.content.decode()
    assert Drill.objects.count() == 1
    shown = [conflict.key for conflict in refused.context["found"].open]
    client.post(address, sent | {"seen": shown, "reason": "Named that morning."})
    planned = Drill.objects.exclude(pk=drill.pk).get()
    page = client.get(reverse("drill-detail", args=[planned.pk])).content.decode()
    assert "Named that morning." in page
    assert lead.name in page


def test_a_drill_is_cancelled_with_a_reason_and_taken_up_again(client, drill, lead):
    client.post(reverse("drill-cancel", args=[drill.pk]), {"reason": ""})
    drill.refresh_from_db()
    assert not drill.is_cancelled
    client.post(reverse("drill-cancel", args=[drill.pk]), {"reason": "Storm."})
    drill.refresh_from_db()
    assert drill.cancel_reason == "Storm."
    assert "Storm." in client.get(reverse("drill-detail", args=[drill.pk])).content.decode()
    assert not may_log(lead, drill)
    client.post(reverse("drill-take-up", args=[drill.pk]))
    drill.refresh_from_db()
    assert may_log(lead, drill)


def test_a_group_is_made_with_students_of_the_cohort_and_named_once(client, drill, lead):
    student = builders.student(drill.cohort)
    address = reverse("group-add", args=[drill.cohort_id])
    client.post(address, {"name": "Larks", "students": [student.pk]})
    assert list(Group.objects.get().students.all()) == [student]
    again = client.post(address, {"name": "larks"}).content.decode()
    assert "already has a group of this name" in again
    stranger = client.post(address, {"name": "Owls", "students": [lead.pk]})
    assert stranger.status_code == 200
    assert Group.objects.count() == 1
