"""Sites: what is typed into their form and what their page shows."""

import pytest
from django.urls import reverse

from coursework.models import Instrument, Site
from tests import builders

pytestmark = pytest.mark.django_db
SITE = {
    "name": "Saddle",
    "position": "46.5, -70.25",
    "elevation_m": "1480",
    "zone": "America/Toronto",
    "horizon_bearing": ["0", "90", ""],
    "horizon_elevation": ["14", "18", ""],
    "horizon_pasted": "",
    "slope_deg": "4",
    "downhill_deg": "30",
    "hazards": "",
    "emergency": "",
    "rally_words": "",
    "rally_position": "",
    "lost_steps": "",
    "safe_heading_deg": "",
    "safe_heading_to": "",
    "students_per_instructor": "",
    "drills_at_once": "1",
}


@pytest.fixture
def lead(client):
    person = builders.lead(builders.cohort())
    client.force_login(person)
    return person


def added(client, **fields) -> str:
    """The page after a site was sent with some fields in place of the usual ones."""
    return client.post(reverse("site-add"), SITE | fields, follow=True).content.decode()


def errors_of(client, **fields) -> dict:
    return client.post(reverse("site-add"), SITE | fields).context["form"].errors


def test_a_new_site_shows_its_position_in_all_ways_with_zone_and_ground(client, lead):
    content = added(client)
    for words in (
        "46.50000° N, 70.25000° W",
        "46° 30′ 00.0″ N, 70° 15′ 00.0″ W",
        "19 north 404086 E 5150362 N",
        "19T DM 04085 50362",
        "1480 m",
        "America/Toronto",
        "falls 4° towards 030°",
    ):
        assert words in content


def test_a_zone_left_empty_is_found_from_the_position(client, lead):
    added(client, zone="", position="45.2136 6.5472")
    assert Site.objects.get().zone == "Europe/Paris"


def test_a_zone_that_was_written_stays(client, lead):
    added(client, zone="UTC", position="45.2136 6.5472")
    assert Site.objects.get().zone == "UTC"


@pytest.mark.parametrize(
    "position", ["19T DM 04085 50362", "19 north 404086 5150362", "46°30'N 70°15'W"]
)
def test_the_position_is_taken_in_any_way_of_writing(client, lead, position):
    added(client, position=position)
    site = Site.objects.get()
    assert (site.latitude_deg, site.longitude_deg) == pytest.approx((46.5, -70.25), abs=1e-5)


@pytest.mark.parametrize(
    ("field", "bad", "sentence"),
    [
        ("zone", "Mars/Base", "“Mars/Base” is not a time zone."),
        ("position", "46,5", "may be decimal or part the numbers"),
        ("position", "89.1 8", "Between −89 and 89 degrees of latitude"),
        ("position", "", "required"),
        ("rally_position", "nowhere", "is not N, S, E or W"),
        ("rally_position", "47.5, -70.25", "That is 111 km from the site"),
        ("elevation_m", "-501", "Between −500 and 9000 metres"),
        ("slope_deg", "46", "Between 0 and 45 degrees"),
        ("downhill_deg", "361", "Between 0 and 360 degrees"),
        ("students_per_instructor", "0", "Between 1 and 50"),
        ("students_per_instructor", "51", "Between 1 and 50"),
        ("safe_heading_deg", "100", "valid choice"),
        ("safe_heading_to", "the road", "Say which way that is"),
        ("name", "", "required"),
    ],
)
def test_a_bad_site_is_refused_with_a_sentence_at_its_field(client, lead, field, bad, sentence):
    errors = errors_of(client, **{field: bad})
    at = "safe_heading_deg" if field == "safe_heading_to" else field
    assert list(errors) == [at]
    assert sentence in errors[at][0]
    assert not Site.objects.exists()


def test_a_safe_heading_says_what_it_reaches(client, lead):
    errors = errors_of(client, safe_heading_deg="90")
    assert "Say what is reached" in errors["safe_heading_to"][0]


@pytest.mark.parametrize(
    ("bearings", "elevations", "pasted", "sentence"),
    [
        (["90"], ["steep"], "", "“90:steep” is not a bearing and an elevation"),
        (["90"], [""], "", "“90:” is not a bearing and an elevation"),
        (["361"], ["4"], "", "“361:4” has a bearing outside 0 to 360 degrees"),
        ([], [], "90 4 5", "“90,4,5” is not a bearing and an elevation"),
        (["90"], ["4"], "90 5", "“90:5” gives a second elevation for the same bearing"),
    ],
)
def test_a_bad_skyline_is_refused_with_the_pair(
    client, lead, bearings, elevations, pasted, sentence
):
    errors = errors_of(
        client,
        horizon_bearing=bearings,
        horizon_elevation=elevations,
        horizon_pasted=pasted,
    )
    assert sentence in errors["horizon"][0]


def test_rows_and_pasted_pairs_are_stored_together_in_order(client, lead):
    added(
        client,
        horizon_bearing=["180", "90"],
        horizon_elevation=["4,5", "12"],
        horizon_pasted="bearing\televation\n270\t3\n300;2.5",
    )
    assert Site.objects.get().horizon == "90:12 180:4.5 270:3 300:2.5"


def test_no_pairs_are_an_open_horizon(client, lead):
    content = added(client, horizon_bearing=["", ""], horizon_elevation=["", ""])
    assert Site.objects.get().horizon == ""
    assert "no skyline recorded" in content


@pytest.mark.parametrize(("action", "rows"), [("add", 4), ("remove-1", 3), ("take", 3)])
def test_without_scripts_rows_come_and_go_and_nothing_is_saved_or_lost(client, lead, action, rows):
    fields = SITE | {
        "horizon_bearing": ["0", "90", "180"],
        "horizon_elevation": ["14", "18", "x"],
        "horizon_action": action,
        "position": "half typed",
        "safe_heading_deg": "90",
    }
    content = client.post(reverse("site-add"), fields).content.decode()
    assert content.count('name="horizon_bearing"') == rows
    for words in ("half typed", "Saddle", 'value="x"', '<option value="90" selected>'):
        assert words in content
    assert not Site.objects.exists()


def test_the_editor_draws_what_was_typed_or_says_what_is_wrong(client, lead):
    address = reverse("skyline-editor")
    fields = {"horizon_bearing": ["0", "90"], "horizon_elevation": ["14", "18"]}
    assert "skyline-land" in client.post(address, fields).content.decode()
    fields["horizon_elevation"] = ["14", "x"]
    assert "“90:x” is not a bearing" in client.post(address, fields).content.decode()


def test_a_position_is_shown_in_all_ways_or_what_is_wrong_is_said(client, lead):
    address = reverse("position-read")
    content = client.get(address, {"position": "45.2136, 6.5472"}).content.decode()
    assert "32T" in content
    assert 'data-zone="Europe/Paris"' in content
    wrong = client.get(address, {"rally_position": "46,5"}).content.decode()
    assert "may be decimal" in wrong
    assert client.get(address).content.decode().strip() == ""


def test_editing_keeps_what_was_there(client, lead):
    added(
        client, rally_position="46.51, -70.25", safe_heading_deg="180", safe_heading_to="the road"
    )
    before = Site.objects.values().get()
    page = client.get(reverse("site-edit", args=[before["id"]]))
    form = page.context["form"]
    sent = {name: form[name].value() or "" for name in form.fields if name != "horizon"}
    sent["position"], sent["rally_position"] = "46.5, -70.25", "46.51, -70.25"
    sent |= {"horizon_bearing": ["0", "90"], "horizon_elevation": ["14", "18"]}
    client.post(reverse("site-edit", args=[before["id"]]), sent)
    assert Site.objects.values().get() == before


def test_getting_back_stands_on_the_page(client, lead):
    content = added(
        client,
        rally_words="Barn by the bridge",
        rally_position="46.51, -70.25",
        safe_heading_deg="225",
        safe_heading_to="the valley road",
        lost_steps="Stop.\nBlow three times.",
        students_per_instructor="6",
    )
    for words in (
        "Walk <strong>south-west</strong> to reach the valley road.",
        "Barn by the bridge",
        "1112 m from the site, towards 000° true",
        "Blow three times.",
        "At most 6 students per instructor.",
    ):
        assert words in content


def test_what_was_typed_is_still_there_after_a_mistake(client, lead):
    response = client.post(reverse("site-add"), SITE | {"zone": "Mars/Base"})
    assert "Saddle" in response.content.decode()
    assert "Nothing is saved yet" in response.content.decode()


def test_a_name_that_the_school_has_already_is_refused(client, lead):
    builders.site(school=lead.school, name="Saddle")
    response = client.post(reverse("site-add"), SITE)
    assert "already has a site of this name" in response.content.decode()


def test_a_row_that_was_asked_for_is_the_one_to_fill_in_next(client, lead):
    content = added(client, horizon_action="add")
    assert content.count(" autofocus") == 1


def test_a_form_with_a_fault_does_not_go_to_an_empty_row_of_the_skyline(client, lead):
    content = added(client, name="", horizon_bearing=["", ""], horizon_elevation=["", ""])
    assert "This field is required." in content
    assert " autofocus" not in content


def test_the_skyline_is_drawn_and_its_pairs_are_listed(client, lead):
    site = builders.site(school=lead.school, horizon="0:14 90:18.5")
    content = client.get(reverse("site-detail", args=[site.pk])).content.decode()
    assert "skyline-land" in content
    assert "18.5°" in content


def test_the_page_shows_the_three_norths(client, lead):
    site = builders.site(school=lead.school)
    content = client.get(reverse("site-detail", args=[site.pk])).content.decode()
    assert 'id="norths-title"' in content
    assert "Grid convergence" in content


def test_a_site_with_a_drill_stays_and_the_page_says_why(client, lead):
    drill = builders.drill(cohort=lead.enrolments.get().cohort)
    remove = reverse("site-remove", args=[drill.site_id])
    asked = client.get(remove).content.decode()
    assert "so it stays" in asked
    assert "Remove the site</button>" not in asked
    assert "so it stays" in client.post(remove, follow=True).content.decode()
    assert Site.objects.filter(pk=drill.site_id).exists()


INSTRUMENT = {
    "kind": "compass",
    "label": "7",
    "correction_deg": "-1.5",
    "reading_u_deg": "1.5",
    "check_interval_days": "365",
}


def test_an_instrument_shows_its_correction_with_a_side(client, lead):
    content = client.post(reverse("instrument-add"), INSTRUMENT, follow=True).content.decode()
    assert "1.5° to the left" in content


def test_two_instruments_may_not_be_marked_alike(client, lead):
    builders.instrument(school=lead.school, label="7")
    response = client.post(reverse("instrument-add"), INSTRUMENT)
    assert "already has an instrument marked like this" in response.content.decode()


def test_an_instrument_is_removed_after_asking(client, lead):
    instrument = builders.instrument(school=lead.school)
    address = reverse("instrument-remove", args=[instrument.pk])
    client.get(address)
    assert Instrument.objects.exists()
    client.post(address)
    assert not Instrument.objects.exists()
