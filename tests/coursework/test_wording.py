"""Numbers, dates and names as each language sets them."""

from datetime import date

import pytest
from django.template import Context, Template
from django.utils import translation

from coursework.wording import date_format, fixed, in_one_line, plain, said_of, short_date


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
        assert date_format(date(2026, 6, 21), "D") == "dim."


@pytest.mark.parametrize(
    ("code", "day", "pattern", "said"),
    [
        ("fr", date(2026, 3, 1), "j F Y", "1er mars 2026"),
        ("fr", date(2026, 3, 1), "D j F Y", "dim. 1er mars 2026"),
        ("fr", date(2026, 3, 2), "j F Y", "2 mars 2026"),
        ("fr", date(2026, 3, 1), "j", "1"),
        ("en-gb", date(2026, 3, 1), "j F Y", "1 March 2026"),
    ],
)
def test_the_first_of_a_month_is_1er_in_french_and_no_other_day(code, day, pattern, said):
    """Imprimerie nationale's Lexique (from memory): only the first has an ordinal in a date."""
    in_template = Template("{{ day|date:pattern }}")
    with translation.override(code):
        assert date_format(day, pattern) == said
        assert in_template.render(Context({"day": day, "pattern": pattern})) == said


def test_the_first_of_a_month_with_a_short_name_is_1er_too():
    with translation.override("fr"):
        assert short_date(date(2026, 7, 1)) == "1er juil. 2026"


@pytest.mark.parametrize(("code", "said"), [("en-gb", "a; b"), ("fr", "a\N{NO-BREAK SPACE}; b")])
def test_parts_in_one_line_have_the_semicolon_of_the_language(code, said):
    with translation.override(code):
        assert in_one_line(["a", "b"]) == said
