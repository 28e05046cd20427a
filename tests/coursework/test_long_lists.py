"""Pages of long lists: read without counting all rows, and each within reach."""

import pytest

from coursework.long_lists import ListPaginator
from coursework.models import Person
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def seven():
    for _ in range(7):
        builders.person()
    return Person.objects.order_by("pk")


def pages(rows, per_page=3):
    return ListPaginator(rows, per_page)


def test_each_page_has_its_rows(seven):
    shown = [list(pages(seven).get_page(number)) for number in (1, 2, 3)]
    assert [len(rows) for rows in shown] == [3, 3, 1]
    assert [row for rows in shown for row in rows] == list(seven)


def test_a_page_knows_whether_others_stand_beside_it(seven):
    beside = [
        (page.has_previous(), page.has_next())
        for page in map(pages(seven).get_page, ("1", "2", "3"))
    ]
    assert beside == [(False, True), (True, True), (True, False)]


def test_the_last_page_may_be_full(seven):
    six = seven.exclude(pk=seven[6].pk)
    assert not pages(six).get_page(2).has_next()


@pytest.mark.parametrize(
    ("asked", "number"), [(None, 1), ("", 1), ("x", 1), ("0", 1), ("-2", 1), ("99", 3), (10**40, 3)]
)
def test_a_page_that_does_not_exist_is_the_nearest(seven, asked, number):
    assert pages(seven).get_page(asked).number == number


def test_an_empty_list_has_one_page_without_rows():
    page = pages(Person.objects.none()).get_page("4")
    assert (page.number, list(page), page.paginator.num_pages) == (1, [], 1)


def test_a_list_of_one_page_is_not_counted(seven, django_assert_num_queries):
    with django_assert_num_queries(1):
        page = pages(seven, 7).get_page(1)
        assert (page.paginator.count, page.has_other_pages()) == (7, False)


def test_rows_are_counted_up_to_the_limit(seven, monkeypatch):
    monkeypatch.setattr("coursework.long_lists.MOST_COUNTED", 7)
    paginator = pages(seven).get_page(1).paginator
    assert (paginator.count, paginator.is_more, paginator.num_pages) == (7, False, 3)


def test_one_row_past_the_limit_is_said_to_be_more(seven, monkeypatch):
    monkeypatch.setattr("coursework.long_lists.MOST_COUNTED", 6)
    paginator = pages(seven).get_page(1).paginator
    assert (paginator.count, paginator.is_more, paginator.num_pages) == (6, True, 2)


def test_pages_past_the_limit_can_be_reached(seven, monkeypatch):
    monkeypatch.setattr("coursework.long_lists.MOST_COUNTED", 3)
    assert list(pages(seven).get_page("3")) == [seven[6]]
    assert pages(seven).get_page("9").number == 3
