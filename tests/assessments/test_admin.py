"""The maintenance door shows evidence and changes none."""

import pytest
from django.urls import reverse

from tests import builders
from tests.assessments import results

pytestmark = pytest.mark.django_db


@pytest.fixture
def keeper(client):
    keeper = builders.person(is_staff=True, is_superuser=True)
    client.force_login(keeper)
    return keeper


@pytest.mark.parametrize("model", ["attempt", "revision"])
def test_records_can_be_read_and_not_changed(client, keeper, model):
    attempt = results.attempt()
    record = attempt if model == "attempt" else attempt.current
    names = {"list": [], "change": [record.pk], "add": [], "delete": [record.pk]}
    got = {
        name: client.get(
            reverse(f"admin:assessments_{model}_{'changelist' if name == 'list' else name}", args=a)
        ).status_code
        for name, a in names.items()
    }
    assert got == {"list": 200, "change": 200, "add": 403, "delete": 403}


def test_a_sent_change_is_refused(client, keeper):
    revision = results.attempt().current
    address = reverse("admin:assessments_revision_change", args=[revision.pk])
    assert client.post(address, {"remark": "other"}).status_code == 403
    revision.refresh_from_db()
    assert revision.remark == ""
