"""Long lists: a query count that does not grow, pages, and a search box."""

import pytest
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests import builders

pytestmark = pytest.mark.django_db


def make_cohort(school, name=None):
    cohort = builders.cohort(school=school, **({"name": name} if name else {}))
    builders.student(cohort)


def make_drill(school, name=None):
    site = builders.site(school=school, **({"name": name} if name else {}))
    builders.decision(drill=builders.drill(cohort=builders.cohort(school=school), site=site))


MAKERS = {
    "course-list": lambda school, **name: builders.exercise(
        course=builders.course(school=school, **({"title": name["name"]} if name else {}))
    ),
    "site-list": lambda school, **name: builders.mark(site=builders.site(school=school, **name)),
    "instrument-list": lambda school, **name: builders.instrument(
        school=school, **({"label": name["name"]} if name else {})
    ),
    "cohort-list": make_cohort,
    "drill-list": make_drill,
    "incident-list": lambda school, **name: builders.follow_up(
        incident=builders.incident(school=school, **({"what": name["name"]} if name else {}))
    ),
}


@pytest.fixture
def administrator(client):
    person = builders.administrator()
    client.force_login(person)
    return person


@pytest.mark.parametrize("name", MAKERS)
def test_the_query_count_of_a_list_does_not_grow_with_its_rows(
    client, administrator, connection_of_tests, name
):
    def queries() -> int:
        with CaptureQueriesContext(connection_of_tests) as caught:
            assert client.get(reverse(name)).status_code == 200
        return len(caught)

    MAKERS[name](administrator.school)
    first = queries()
    for _ in range(12):
        MAKERS[name](administrator.school)
    assert queries() == first


@pytest.mark.parametrize("name", MAKERS)
def test_a_list_is_cut_into_pages_of_twenty_five(client, administrator, name):
    for _ in range(26):
        MAKERS[name](administrator.school)
    first = client.get(reverse(name))
    second = client.get(reverse(name), {"page": "2"})
    assert len(first.context["page"].object_list) == 25
    assert len(second.context["page"].object_list) == 1
    assert b"Page 1 of 2" in first.content


@pytest.mark.parametrize("name", MAKERS)
@pytest.mark.parametrize("page", ["0", "99", "-1", "x", ""])
def test_a_page_that_does_not_exist_shows_the_nearest(client, administrator, name, page):
    MAKERS[name](administrator.school)
    assert client.get(reverse(name), {"page": page}).status_code == 200


@pytest.mark.parametrize("name", MAKERS)
def test_the_search_finds_part_of_a_name_whatever_the_capitals(client, administrator, name):
    MAKERS[name](administrator.school, name="Rough Ridge")
    MAKERS[name](administrator.school)
    found = client.get(reverse(name), {"q": "RIDGE"}).context["page"].object_list
    assert len(found) == 1


@pytest.mark.parametrize("name", MAKERS)
def test_a_search_that_finds_nothing_says_so_and_repeats_the_words(client, administrator, name):
    MAKERS[name](administrator.school)
    assert (
        "“<b>&amp;”".replace("<b>", "&lt;b&gt;")
        in client.get(reverse(name), {"q": "<b>&"}).content.decode()
    )


@pytest.mark.parametrize("name", MAKERS)
def test_a_search_for_a_character_that_no_name_can_hold_shows_the_list(client, administrator, name):
    MAKERS[name](administrator.school)
    response = client.get(reverse(name), {"q": "a\x00b"})
    assert len(response.context["page"].object_list) == 1


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("course-list", "Add one first"),
        ("site-list", "Add one first"),
        ("instrument-list", "Add the compasses"),
        ("cohort-list", "Add a course first"),
        ("drill-list", "Plan one first"),
        ("incident-list", "Report near misses too"),
    ],
)
def test_an_empty_list_says_what_to_do_first(client, administrator, name, words):
    assert words in client.get(reverse(name)).content.decode()


@pytest.mark.parametrize("name", ["home", "cohort-list", "course-list", "site-list"])
def test_a_student_without_a_cohort_is_told_how_to_get_into_one(client, name):
    client.force_login(builders.person())
    content = client.get(reverse(name)).content.decode()
    assert "our course lead" in content or "drill of yours" in content
