"""Every address of the site stands in exactly one table of roles."""

from itertools import combinations

import pytest
from django.urls import URLPattern, URLResolver, get_resolver, path

from tests.assessments import test_access as of_assessments
from tests.assessments.certification import test_access as of_certification
from tests.coursework import test_access as of_coursework

MAINTENANCE = "maintenance/"
TABLES = [
    set(of_coursework.TABLE),
    set(of_assessments.TABLE),
    set(of_certification.TABLE),
    of_coursework.OPEN,
    of_assessments.FIELD,
]


def names_below(patterns) -> list[str]:
    """The names of all addresses, however deeply included; the maintenance door aside."""
    found = []
    for pattern in patterns:
        if isinstance(pattern, URLResolver):
            if str(pattern.pattern) != MAINTENANCE:
                found += names_below(pattern.url_patterns)
        elif isinstance(pattern, URLPattern):
            found.append(pattern.name or f"(without a name) {pattern.pattern}")
    return found


def without_a_row(names: list[str]) -> set[str]:
    return set(names).difference(*TABLES)


def test_every_address_of_the_site_has_a_row_in_a_table_of_roles():
    names = names_below(get_resolver().url_patterns)
    assert len(names) > 50
    assert without_a_row(names) == set()


def test_no_two_addresses_share_a_name():
    names = names_below(get_resolver().url_patterns)
    assert [name for name in set(names) if names.count(name) > 1] == []


def test_no_address_stands_in_two_tables():
    assert set().union(*(one & other for one, other in combinations(TABLES, 2))) == set()


@pytest.mark.parametrize("name", ["something-new", None])
def test_an_address_without_a_row_is_found(name):
    new = path("new/", lambda request: None, name=name)
    assert without_a_row(names_below([new]))
