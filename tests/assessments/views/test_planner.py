"""The planner over HTTP: what is asked, what is refused, what is kept by a browser."""

import json
import re
from io import BytesIO

import numpy as np
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from PIL import Image
from pypdf import PdfReader

from coursework.method_year import method_year
from tests import builders

pytestmark = pytest.mark.django_db
ASKED = {"method": "shadow-tip", "day": "2026-06-20", "tolerance": "15", "interval": "15"}


@pytest.fixture
def site(client):
    cohort = builders.cohort()
    client.force_login(builders.lead(cohort))
    return builders.site(school=cohort.course.school)


def get(client, at, name="planner", htmx=False, **asked):
    headers = {"HX-Request": "true"} if htmx else {}
    return client.get(reverse(name, args=[at.pk]), ASKED | asked, headers=headers)


def data_of(response) -> dict:
    found = re.search(r'<script id="hours-data"[^>]*>(.*?)</script>', response.content.decode())
    return json.loads(found[1])


def test_a_bare_address_shows_today_at_the_site(client, site):
    response = client.get(reverse("planner", args=[site.pk]))
    assert response.status_code == 200
    assert "Good hours" in response.content.decode()


def test_good_and_wrong_hours_are_listed_with_sides(client, site):
    page = get(client, site).content.decode()
    assert re.search(r"best at 13:\d0: method error \d\.\d°( to the \w+)?, marking scatter", page)
    assert re.search(r"worst at \d\d:\d0: method error \d\d\.\d° to the (left|right)", page)


def test_scatter_is_blank_for_a_method_without_marks(client, site):
    response = get(client, site, method="watch")
    assert response.context["planned"].good[0].scatter_deg is None
    assert "marking scatter nan" not in response.content.decode()


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"method": "divining"}, "Select a valid choice"),
        ({"day": "yesterday"}, "Enter a valid date"),
        ({"day": "1066-10-14"}, "1990 to 2050"),
        ({"interval": "0"}, "greater than or equal to 1"),
        ({"tolerance": "-3"}, "greater than or equal to 0"),
        ({"tolerance": "NaN"}, "Enter a number"),
        ({"tolerance": "3.333"}, "no more than 2 decimal places"),
        ({"site": "999999"}, "Select a valid choice"),
    ],
)
def test_bad_input_is_told_at_its_field_and_kept(client, site, asked, said):
    page = get(client, site, **asked).content.decode()
    assert said in page
    assert "Good hours" not in page
    if "site" not in asked and "method" not in asked:
        assert f'value="{next(iter(asked.values()))}"' in page


@pytest.mark.parametrize("name", ["planner-map", "planner-values", "planner-sheet"])
def test_parts_of_a_page_that_asks_nonsense_are_not_found(client, site, name):
    assert get(client, site, name, method="divining").status_code == 404


def test_another_site_goes_to_an_address_of_its_own(client, site):
    other = builders.site(school=site.school)
    response = get(client, site, site=str(other.pk))
    assert response.status_code == 302
    assert response.url.startswith(reverse("planner", args=[other.pk]))
    assert "day=2026-06-20" in response.url


def test_sites_of_other_schools_are_not_offered(client, site):
    other = builders.site()
    assert get(client, site, site=str(other.pk)).status_code == 200
    assert other.name not in get(client, site).content.decode()


def test_htmx_gets_the_inside_of_the_page_and_its_address(client, site):
    response = get(client, site, htmx=True)
    content = response.content.decode()
    assert "<html" not in content
    assert 'id="planner"' in content
    assert "method=shadow-tip" in response["HX-Push-Url"]
    assert "HX-Request" in response["Vary"]


def test_the_picture_is_an_image_of_our_own_address(client, site):
    page = get(client, site).content.decode()
    address = re.search(r'<image[^>]* href="([^"]+)"', page)[1].replace("&amp;", "&")
    response = client.get(address)
    assert response["Content-Type"] == "image/png"
    assert Image.open(BytesIO(response.content)).mode == "P"


def test_the_values_of_the_page_are_the_packed_year(client, site):
    response = client.get(data_of(get(client, site))["values"])
    year = method_year(site, "shadow-tip", 2026)
    numbers = np.frombuffer(response.content, dtype="<i2").reshape(2, *year.error.shape)
    assert np.array_equal(numbers, [year.error, year.scatter])


@pytest.mark.parametrize("name", ["planner-map", "planner-values"])
def test_a_browser_that_has_it_is_told_so_until_the_site_changes(client, site, name):
    tag = get(client, site, name)["ETag"]
    address = reverse(name, args=[site.pk])
    again = client.get(address, ASKED, headers={"If-None-Match": tag})
    assert (again.status_code, again.content) == (304, b"")
    site.latitude_deg = 40.0
    site.save()
    assert client.get(address, ASKED, headers={"If-None-Match": tag}).status_code == 200


def test_values_travel_compressed_where_the_browser_takes_that(client, site):
    address = reverse("planner-values", args=[site.pk])
    response = client.get(address, ASKED, headers={"Accept-Encoding": "gzip"})
    assert response["Content-Encoding"] == "gzip"
    assert len(response.content) < 100_000


def test_the_script_is_told_of_dates_that_are_not_common(client, site):
    data = data_of(get(client, site))
    # Central European clocks change on 29 March and 25 October 2026 (tzdata).
    assert sorted(map(int, data["oddDays"])) == [87, 297]
    assert [name for _at, name in data["names"]] == ["CET", "CEST", "CET"]


def test_a_date_that_the_calendar_skips_says_so(client, site):
    site.zone = "Pacific/Kwajalein"
    site.save()
    page = get(client, site, day="1993-08-21").content.decode()
    assert "skips this date" in page
    response = client.get(reverse("sun-card", args=[site.pk]), {"date": "1993-08-21"})
    assert response.status_code == 404


def test_a_method_that_never_holds_at_a_site_says_so(client, site):
    # So far north the sun never comes over walls of sixty degrees.
    site.horizon = "0:60 180:60"
    site.latitude_deg = 70.0
    site.save()
    page = get(client, site, method="watch").content.decode()
    assert "cannot be used at any hour of this year" in page
    assert get(client, site, "planner-map", method="watch").status_code == 200


def test_a_month_without_a_good_hour_is_not_in_the_list_of_months(client, site):
    response = get(client, site, method="hands", tolerance="1")
    months = response.context["planned"].best_of_months
    assert 0 < len(months) < 12
    ranks = [window.rank_deg for window in months]
    assert ranks == sorted(ranks)


def test_the_page_asks_the_database_as_often_for_many_sites(client, site):
    def queries() -> int:
        with CaptureQueriesContext(connection) as asked:
            get(client, site)
        return len(asked)

    get(client, site)
    first = queries()
    for _number in range(5):
        builders.site(school=site.school)
    assert queries() == first


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_hours_are_printed(client, site, paper):
    response = get(client, site, "planner-sheet", paper=paper)
    text = " ".join(page.extract_text() for page in PdfReader(BytesIO(response.content)).pages)
    assert "Shadow-tip line at" in text
    assert "The best of each month, ranked" in text


@pytest.mark.parametrize("date", ["", "2026-06-20"])
def test_the_sun_card_is_that_of_the_date_or_of_today(client, site, date):
    response = client.get(reverse("sun-card", args=[site.pk]), {"date": date})
    assert response["Content-Type"] == "application/pdf"
    if date:
        said = PdfReader(BytesIO(response.content)).pages[0].extract_text()
        assert "Saturday 20 June 2026" in said


@pytest.mark.parametrize("date", ["noon", "2026-02-30", "1066-10-14"])
def test_a_sun_card_of_no_date_is_not_found(client, site, date):
    response = client.get(reverse("sun-card", args=[site.pk]), {"date": date})
    assert response.status_code == 404


def test_site_and_drill_pages_lead_there(client):
    drill = builders.drill()
    client.force_login(builders.lead(drill.cohort))
    for page in (
        reverse("site-detail", args=[drill.site_id]),
        reverse("drill-detail", args=[drill.pk]),
    ):
        content = client.get(page).content.decode()
        assert reverse("planner", args=[drill.site_id]) in content
        assert reverse("sun-card", args=[drill.site_id]) in content
    assert "day=2026-06-20&amp;method=shadow-tip&amp;tolerance=15" in content
