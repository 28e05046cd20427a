"""Pages of incidents and near misses."""

from datetime import date

import pytest
from django.urls import reverse

from coursework.models import FollowUp, Incident
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def drill():
    return builders.drill()


@pytest.fixture
def assistant(client, drill):
    person = builders.assistant(drill.cohort)
    client.force_login(person)
    return person


def typed(**fields) -> dict:
    base = {"kind": "near-miss", "drill": "", "site": "", "place": "By the ford"}
    base |= {"day": "2026-06-20", "clock": "10:20", "what": "A slip.", "people": ""}
    return base | {"harm": "none", "harm_note": "", "action": "Counted."} | fields


def report(client, **fields):
    return client.post(reverse("incident-add"), typed(**fields), follow=True)


def test_a_report_at_a_drill_takes_site_and_clock_of_the_drill(client, assistant, drill):
    content = report(client, drill=str(drill.pk)).content.decode()
    made = Incident.objects.get()
    assert (made.site, made.zone) == (drill.site, drill.site.zone)
    assert "Near miss, Sat 20 June 2026, 10:20 CEST" in content


def test_a_report_away_from_any_site_takes_the_schools_clock(client, assistant):
    report(client)
    assert Incident.objects.get().zone == "UTC"


def test_a_report_says_where(client, assistant):
    response = report(client, place="")
    assert "place" in response.context["form"].errors
    assert not Incident.objects.exists()


def test_the_page_of_a_drill_leads_to_a_report_of_it(client, assistant, drill):
    form = client.get(reverse("incident-add"), {"drill": drill.pk}).context["form"]
    assert form.initial["drill"] == drill.pk
    assert f"{form.initial['day']}" == "2026-06-20"


@pytest.mark.parametrize("drill_typed", ["x", "0", "99999999999999999999"])
def test_a_drill_that_is_none_is_left_out(client, assistant, drill_typed):
    response = client.get(reverse("incident-add"), {"drill": drill_typed})
    assert response.status_code == 200


def test_a_note_is_added_below_what_was_said(client, assistant):
    incident = builders.incident(school=assistant.school)
    address = reverse("incident-note", args=[incident.pk])
    content = client.post(address, {"text": "It was the upper path."}, follow=True).content.decode()
    assert "Somebody slipped on the wet bank." in content
    assert "It was the upper path." in content


def test_a_follow_up_is_asked_for_and_marked_as_done(client, assistant):
    incident = builders.incident(school=assistant.school)
    fields = {"task": "Fix a hand line.", "person": assistant.pk, "due_on": "2026-07-31"}
    content = client.post(
        reverse("follow-up-add", args=[incident.pk]), fields, follow=True
    ).content.decode()
    assert "Fix a hand line." in content
    made = FollowUp.objects.get()
    client.post(reverse("follow-up-close", args=[made.pk]), {"note": "Fixed."})
    made.refresh_from_db()
    assert (made.done_by, made.done_note) == (assistant, "Fixed.")


def test_students_are_not_offered_a_follow_up(client, assistant, drill):
    student = builders.student(drill.cohort)
    incident = builders.incident(school=assistant.school)
    form = client.get(reverse("follow-up-add", args=[incident.pk])).context["form"]
    assert student not in form.fields["person"].queryset
    assert assistant in form.fields["person"].queryset


@pytest.mark.parametrize(
    ("query", "found"),
    [
        ({"q": "hand line"}, {"open"}),
        ({"q": "upper"}, {"settled"}),
        ({"kind": "incident"}, {"settled"}),
        ({"harm": "minor"}, {"settled"}),
        ({"state": "open"}, {"open"}),
        ({"state": "settled"}, {"settled"}),
        ({"since": "2026-06-21"}, set()),
        ({"until": "2026-06-20"}, {"open", "settled"}),
    ],
)
def test_the_list_is_searched_and_narrowed(client, assistant, query, found):
    opened = builders.incident(school=assistant.school, what="open")
    builders.follow_up(incident=opened, task="Fix a hand line.")
    settled = builders.incident(
        school=assistant.school, what="settled", kind="incident", harm="minor"
    )
    builders.follow_up(incident=settled, task="Talk it over.", done_on=date(2026, 7, 1))
    settled.notes.create(text="The upper path.", by=assistant)
    rows = client.get(reverse("incident-list"), query).context["page"]
    assert {row.what for row in rows} == found


def test_the_query_count_of_a_report_does_not_grow(
    client, assistant, django_assert_max_num_queries
):
    incident = builders.incident(school=assistant.school)
    for _ in range(8):
        builders.follow_up(incident=incident)
        incident.notes.create(text="Note.", by=builders.person(school=assistant.school))
    with django_assert_max_num_queries(14):
        client.get(reverse("incident-detail", args=[incident.pk]))
