"""Go or stay on the page of a drill, and the settings of a school."""

from datetime import timedelta

import pytest
from django.urls import reverse

from coursework.models import Aspect, Decision, SchoolSettings
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def drill():
    return builders.drill()


@pytest.fixture
def lead(client, drill):
    person = builders.lead(drill.cohort, name="Berta Amsler")
    client.force_login(person)
    return person


def page(client, drill) -> str:
    return client.get(reverse("drill-detail", args=[drill.pk])).content.decode()


def typed(**fields) -> dict:
    fine = dict.fromkeys(Aspect.values, "fine")
    return fine | {"outcome": "go", "reason": "Settled weather.", "seen": "0"} | fields


def decide(client, drill, **fields):
    return client.post(reverse("decision-add", args=[drill.pk]), typed(**fields), follow=True)


def test_a_drill_without_a_decision_says_so(client, drill, lead):
    assert "Nobody has decided yet whether this drill goes out." in page(client, drill)


def test_the_last_decision_stands_on_the_page_with_who_and_why(client, drill, lead):
    builders.decision(drill=drill, reason="Looked fine.")
    first = Decision.objects.get()
    content = decide(
        client,
        drill,
        outcome="stay",
        weather="concern",
        weather_note="Gale warning.",
        reason="Too windy.",
        seen=str(first.pk),
    ).content.decode()
    for words in ("Stay: the drill does not go out.", "Too windy.", "Berta Amsler", "Gale warning"):
        assert words in content
    assert "Looked fine." in content


def test_students_read_the_decision_and_its_sentence_only(client, drill):
    aspects = {"group": {"concern": True, "note": "Lena has a blister."}}
    builders.decision(drill=drill, reason="Fit and complete.", aspects=aspects)
    client.force_login(builders.student(drill.cohort))
    content = page(client, drill)
    assert "Fit and complete." in content
    assert "blister" not in content
    assert reverse("emergency-card", args=[drill.pk]) not in content


def test_a_decision_for_another_hour_asks_for_a_new_one(client, drill, lead):
    builders.decision(drill=drill)
    assert "Decide again." not in page(client, drill)
    drill.starts_at += timedelta(hours=2)
    drill.save()
    assert "Decide again." in page(client, drill)


def test_what_was_not_looked_at_is_said_at_its_field(client, drill, lead):
    response = decide(client, drill, lightning="")
    assert response.context["form"].errors["lightning"] == ["Look at this before you go."]
    assert not Decision.objects.exists()


def test_the_form_shows_the_schools_limits_and_refuses_to_go_at_them(client, drill, lead):
    SchoolSettings.objects.create(school=lead.school, heat_stop=30.0)
    address = reverse("decision-add", args=[drill.pk])
    assert "The school stays in from 30 °C WBGT." in client.get(address).content.decode()
    response = decide(client, drill, heat_value="30")
    assert "Stay, or measure again." in response.context["form"].errors["heat_value"][0]


def test_the_form_names_staff_whose_first_aid_is_missing(client, drill, lead):
    content = client.get(reverse("decision-add", args=[drill.pk])).content.decode()
    assert "Berta Amsler: no first aid on record" in content


def test_a_decision_leaves_exercise_and_site_of_the_drill_open(client, drill, lead):
    builders.decision(drill=drill)
    form = client.get(reverse("drill-edit", args=[drill.pk])).context["form"]
    assert not form.fields["site"].disabled


@pytest.mark.parametrize(
    ("wanted", "found"), [("go", {"goes"}), ("stay", {"stays"}), ("none", {"open"})]
)
def test_drills_are_narrowed_by_their_last_decision(client, lead, drill, wanted, found):
    drill.delete()
    for name in ("goes", "stays", "open"):
        site = builders.site(school=lead.school, name=name)
        made = builders.drill(cohort=lead.enrolments.get().cohort, site=site)
        if name != "open":
            builders.decision(drill=made, outcome="go" if name == "goes" else "stay")
    rows = client.get(reverse("drill-list"), {"decided": wanted}).context["page"]
    assert {row.site.name for row in rows} == found


@pytest.mark.parametrize(
    ("since", "until", "count"),
    [("2026-06-20", "", 1), ("2026-06-21", "", 0), ("", "2026-06-20", 1)],
)
def test_drills_are_narrowed_by_their_day(client, lead, drill, since, until, count):
    rows = client.get(reverse("drill-list"), {"since": since, "until": until}).context["page"]
    assert len(rows.object_list) == count


def test_a_day_that_is_none_is_said_and_not_used(client, lead, drill):
    response = client.get(reverse("drill-list"), {"since": "soon"})
    assert len(response.context["page"].object_list) == 1
    assert "Enter a valid date" in response.content.decode()


@pytest.fixture
def administrator(client):
    person = builders.administrator()
    client.force_login(person)
    return person


SETTINGS = {
    "emergency_number": "112",
    "heat_measure": "air",
    "heat_unit": "F",
    "heat_care": "86",
    "heat_stop": "95",
    "check_interval_days": "180",
    "students_per_instructor": "8",
    "travel_kmh": "20",
    "zone": "Europe/Zurich",
}


def test_an_administrator_saves_what_the_school_decides(client, administrator):
    client.post(reverse("school-settings"), SETTINGS)
    settings = SchoolSettings.of(administrator.school)
    assert (settings.emergency_number, settings.heat_stop, settings.heat_unit) == ("112", 95.0, "F")


def test_saving_again_changes_the_same_row(client, administrator):
    client.post(reverse("school-settings"), SETTINGS)
    client.post(reverse("school-settings"), SETTINGS | {"heat_care": "", "heat_stop": ""})
    assert not SchoolSettings.objects.get().limits.is_set


@pytest.mark.parametrize(
    ("wrong", "field"),
    [({"heat_care": "95"}, "heat_stop"), ({"zone": "Mars/Olympus"}, "zone")],
)
def test_settings_that_cannot_be_are_said_at_their_field(client, administrator, wrong, field):
    response = client.post(reverse("school-settings"), SETTINGS | wrong)
    assert field in response.context["form"].errors
    assert not SchoolSettings.objects.exists()
