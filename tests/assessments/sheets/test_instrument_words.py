"""What a sheet says of the instrument that a line was checked with."""

import pytest

from assessments.sheets.instrument_words import instrument_check_words
from assessments.sheets.observed import observation_rows

DATES = {"checked_on": "2025-06-01", "due_on": "2026-06-01"}


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ({}, ""),
        ({"instrument_check": {}}, ""),
        ({"instrument_check": DATES | {"overdue": False}}, "1 June 2025"),
        (
            {"instrument_check": DATES | {"overdue": True}},
            "1 June 2025; the next one was overdue since 1 June 2026",
        ),
        (
            {"instrument_check": {"checked_on": "", "due_on": "", "overdue": True}},
            "never: its correction was not checked against a surveyed mark",
        ),
    ],
)
def test_the_last_check_is_said_as_it_stood(facts, said):
    assert instrument_check_words(facts) == said


def test_it_stands_among_what_was_recorded():
    inputs = {"method": "watch", "zone": "Europe/Zurich", "times": "2026-06-20T14:00:00+02:00"}
    inputs |= {"check": "compass", "reading_deg": "12"}
    facts = {"instrument": "compass A", "instrument_check": DATES | {"overdue": False}}
    assert ("Last check of the instrument", "1 June 2025") in observation_rows(inputs, facts)
