"""The picture of a year: one indexed image whose pixels stand for dates and hours."""

from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from assessments.sheets import tints
from assessments.sheets.year_picture import (
    CELL_HEIGHT,
    CELL_WIDTH,
    hours_of,
    pixels,
    png,
)
from coursework.method_year import BLANK, MethodYear
from coursework.models import Site
from solar.year_grid import year_grid

GRID = year_grid(Site(zone="Pacific/Auckland").zone_info, 2026)


def made_year(error_deg, *, hours=(8, 16)) -> MethodYear:
    """The same error at every start from one hour to another, on every date."""
    error = np.full(GRID.starts.shape, BLANK, dtype=np.int16)
    used = (GRID.clock_min >= hours[0] * 60) & (GRID.clock_min < hours[1] * 60)
    error[used] = round(error_deg * 100)
    return MethodYear("watch", "a key", GRID, error, np.full_like(error, BLANK))


def test_only_the_hours_that_are_used_are_shown():
    shown = hours_of(made_year(1.0, hours=(8, 16)))
    assert (shown.first, shown.last) == (8, 16)


def test_a_year_without_any_value_shows_whole_days():
    empty = made_year(1.0, hours=(0, 0))
    assert (hours_of(empty).first, hours_of(empty).last) == (0, 24)
    assert empty.is_blank


def test_the_png_is_one_indexed_image_of_all_dates():
    image = Image.open(BytesIO(png(made_year(3.0), scale=tints.SIZE, tolerance_deg=5.0)))
    assert (image.format, image.mode) == ("PNG", "P")
    assert image.size == (8 * 6 * CELL_WIDTH, 365 * CELL_HEIGHT)
    # 2 to 4 degrees have the third tint.
    assert image.convert("RGB").getpixel((100, 100)) == tints.rgb(tints.SIZE.colours[2])


@pytest.mark.parametrize(("tolerance_deg", "hatched"), [(15.0, False), (14.99, True)])
def test_hatching_begins_beyond_the_tolerance(tolerance_deg, hatched):
    drawn = pixels(made_year(-15.0), scale=tints.SIZE, tolerance_deg=tolerance_deg)
    inside = drawn[10:-10, 10:-10]
    assert (len(np.unique(inside)) > 1) is hatched


def test_signs_have_tints_of_their_own_only_where_asked():
    size = [pixels(made_year(e), scale=tints.SIZE, tolerance_deg=90) for e in (-7.0, 7.0)]
    sided = [pixels(made_year(e), scale=tints.SIDED, tolerance_deg=90) for e in (-7.0, 7.0)]
    assert np.array_equal(*size)
    assert not np.array_equal(*sided)


def test_an_hour_that_the_clock_leaves_out_is_blank_on_its_date_alone():
    whole = made_year(3.0, hours=(0, 24))
    drawn = pixels(whole, scale=tints.SIZE, tolerance_deg=5.0)
    # 27 September: from 02:00 to 03:00.
    day = 269 * CELL_HEIGHT
    left_out = slice(2 * 6 * CELL_WIDTH + 1, 3 * 6 * CELL_WIDTH)
    tint = drawn[20, 20]
    assert not (drawn[day, left_out] == tint).any()
    assert (drawn[day - 2 * CELL_HEIGHT, left_out] == tint).all()
