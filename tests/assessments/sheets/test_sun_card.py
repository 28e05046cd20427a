"""The sun card: checked against published days, and read back from its PDF."""

import math
import re
from datetime import date
from io import BytesIO

import numpy as np
import pytest
from django.conf import settings
from django.utils import translation
from pypdf import PdfReader

from assessments.sheets.shadow_rose import shadow_rose
from assessments.sheets.sun_card import card_of, north_from_shadow_deg
from assessments.sheets.sun_card_sheet import render_pdf
from coursework.models import School, Site
from tests.reference.libraries import pvlib_sun


def card(day=date(2026, 6, 20), **fields):
    """Of an alpine meadow that is not stored, unless said otherwise."""
    defaults = {
        "name": "Meadow",
        "latitude_deg": 46.72,
        "longitude_deg": 8.18,
        "elevation_m": 0.0,
        "zone": "Europe/Zurich",
        "school": School(name="School of the High Meadow"),
    }
    return card_of(Site(**defaults | fields), day)


def text_of(card, paper="a4") -> str:
    reader = PdfReader(BytesIO(render_pdf(card, paper=paper)))
    return "\n".join(page.extract_text() for page in reader.pages)


def test_there_is_a_row_every_quarter_of_an_hour_with_the_sun_up():
    rows = card().rows
    assert {row.time.minute for row in rows} == {0, 15, 30, 45}
    assert len(rows) == 63
    assert all(row.elevation_deg > 0.0 for row in rows)


def test_azimuths_and_lengths_agree_with_another_library():
    # pvlib's NumPy implementation of the NREL solar position algorithm (NREL/TP-560-34302).
    rows = card().rows
    times = np.array([row.time.timestamp() for row in rows]).astype("datetime64[s]")
    azimuth, elevation = pvlib_sun(times, 46.72, 8.18, 0.0, 69.0)
    for row, theirs, height in zip(rows, azimuth, elevation, strict=True):
        assert row.azimuth_deg == pytest.approx(theirs, abs=0.01)
        # Theirs is without refraction, which shortens a shadow by less than that from 15 degrees.
        if height > 15.0:
            assert row.shadow_length == pytest.approx(1 / math.tan(math.radians(height)), rel=5e-3)


def test_the_turn_from_the_shadow_leads_to_north():
    for row in card().rows:
        reached = math.radians(row.shadow_bearing_deg + north_from_shadow_deg(row))
        assert (math.sin(reached), math.cos(reached)) == pytest.approx((0.0, 1.0), abs=1e-9)


def test_behind_a_skyline_there_is_no_shadow_and_the_card_is_shorter():
    walled = card(horizon="0:40 90:35 180:20 270:35")
    assert 0 < len(walled.rows) < len(card().rows)
    assert not math.isnan(walled.rows[0].shadow_length)
    assert not math.isnan(walled.rows[-1].shadow_length)


def test_a_peak_in_the_way_leaves_hidden_rows_in_between():
    # On a day of December the sun culminates at 20 degrees, behind the peak.
    peaked = card(date(2026, 12, 20), horizon="0:0 165:0 170:40 190:40 195:0")
    hidden = [row for row in peaked.rows if math.isnan(row.shadow_length)]
    assert hidden
    assert "hidden" in text_of(peaked)


def test_errors_of_the_hour_have_a_column_for_each_method():
    made = card()
    assert len(made.methods) == 6
    assert {len(hour.errors_deg) for hour in made.hours} == {6}
    noon = next(hour for hour in made.hours if hour.time.hour == 13)
    assert abs(noon.errors_deg[0]) < 5.0


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_card_says_what_is_needed_in_the_field(paper):
    said = text_of(card(), paper)
    for words in (
        "Sun over the skyline: up 05:3",
        "highest at 13:28 CEST",
        "Sun and shadow every 15 minutes",
        "From shadow",
        "Never look at the sun",
        "Method errors by the hour",
        "Lightning",
    ):
        assert words in said


def test_a_common_summer_day_fits_on_two_pages():
    assert len(PdfReader(BytesIO(render_pdf(card()))).pages) == 2


def test_tables_are_set_large_enough_to_be_read_at_arms_length():
    sizes = []

    def visit(text, _cm, _tm, _font, size):
        if text.strip() and text.strip()[0].isdigit() and "°" in text:
            sizes.append(size)

    PdfReader(BytesIO(render_pdf(card()))).pages[0].extract_text(visitor_text=visit)
    assert min(sizes) >= 9.0


def test_under_the_polar_day_every_quarter_of_the_day_has_a_row():
    made = card(latitude_deg=69.65, longitude_deg=18.96, zone="Europe/Oslo")
    assert len(made.rows) == 96
    assert "up all day" in text_of(made)


def test_in_the_polar_night_the_card_says_that_there_are_no_shadows():
    made = card(date(2026, 12, 20), latitude_deg=69.65, longitude_deg=18.96, zone="Europe/Oslo")
    assert made.rows == made.hours == ()
    assert "there are no shadows on this date" in text_of(made)


def test_a_date_on_which_clocks_change_names_the_zone_at_every_time():
    # Clocks go back in the night; only where the zone is not the sun's is that in daylight.
    changed = card(date(2027, 4, 4), latitude_deg=-45.0, longitude_deg=0.0, zone="Pacific/Auckland")
    assert changed.clock_changes
    said = text_of(changed)
    assert "02:45 NZDT" in said
    assert "02:45 NZST" in said
    assert not card().clock_changes


def test_the_same_card_is_the_same_file():
    assert render_pdf(card()) == render_pdf(card())


def test_hours_that_share_a_bearing_share_a_name():
    # On the equator at the equinox the sun stands in the east all forenoon.
    made = card(date(2026, 3, 20), latitude_deg=0.0, longitude_deg=36.8, zone="Africa/Nairobi")
    names = [part.text for part in shadow_rose(made.rows, side=215.0).contents if _is_name(part)]
    assert any("–" in name for name in names)
    assert len(names) <= 5


def _is_name(part) -> bool:
    return getattr(part, "_svg_class", "") == "shadow-name"


def test_a_date_that_the_calendar_skips_has_no_card():
    assert card(date(1993, 8, 21), zone="Pacific/Kwajalein") is None


@pytest.mark.parametrize("code", [code for code, _name in settings.LANGUAGES])
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_table_of_the_longest_day_fits_its_page_in_every_language(code, paper):
    far_south = {"latitude_deg": -55.0, "longitude_deg": -67.0, "zone": "America/Punta_Arenas"}
    far_south = card(date(2026, 12, 21), **far_south)
    with translation.override(code):
        pages = PdfReader(BytesIO(render_pdf(far_south, paper=paper))).pages
    text = "\n".join(page.extract_text() for page in pages)
    times = re.findall(r"^\d\d:\d\d(?= \d)", text, re.MULTILINE)
    assert set(times) >= {f"{row.time:%H:%M}" for row in far_south.rows}
    assert len(pages) <= 3
