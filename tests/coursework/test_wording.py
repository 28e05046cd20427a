"""Numbers, dates and names as each language sets them."""

from datetime import date

import pytest
from django.utils import translation
from django.utils.formats import date_format

from coursework.wording import fixed, plain, said_of, short_date


@pytest.mark.parametrize(
    ("code", "said"),
    [
        ("en-gb", ["2.10", "−0.5", "15", "4.5", "Teo: practice"]),
        ("fr", ["2,10", "−0,5", "15", "4,5", "Teo\N{NO-BREAK SPACE}: practice"]),
    ],
)
def test_numbers_and_colons_go_by_the_language(code, said):
    with translation.override(code):
        found = [fixed(2.1, 2), fixed(-0.5).replace("-", "−"), plain(15.0), plain(4.5)]
        assert [*found, said_of("Teo", "practice")] == said


@pytest.mark.parametrize(("code", "said"), [("en-gb", "4 Jun 2026"), ("fr", "4 juin 2026")])
def test_short_dates_go_by_the_language(code, said):
    with translation.override(code):
        assert short_date(date(2026, 6, 4)) == said


def test_a_sunday_is_not_called_after_the_sun_in_the_sky():
    with translation.override("fr"):
        assert date_format(date(2026, 6, 21), "D") == "dim"
