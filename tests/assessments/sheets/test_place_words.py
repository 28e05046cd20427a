"""A place in words on a sheet."""

from types import SimpleNamespace

import pytest
from django.utils import translation

from assessments.sheets.place_words import coordinates
from coursework.coordinates import parse_position


@pytest.mark.parametrize("code", ["en-gb", "fr"])
def test_coordinates_are_printed_as_a_form_reads_them_in_every_language(code):
    place = SimpleNamespace(latitude_deg=-41.25, longitude_deg=-8.5)
    with translation.override(code):
        printed = coordinates(place)
    assert printed == "41.2500° S, 8.5000° W"
    assert tuple(parse_position(printed)) == (-41.25, -8.5)
