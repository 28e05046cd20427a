"""Long lists cut into pages without counting all that they hold."""

from django.core.paginator import InvalidPage, Page, Paginator
from django.db.models import QuerySet
from django.http import HttpRequest

ROWS_A_PAGE = 25
MOST_COUNTED = 1000
"""How far rows are counted: beyond, a list says that it holds more."""


class ListPage(Page):
    """A page that was read with one row more, and so knows whether another follows."""

    def __init__(self, rows, number: int, paginator: "ListPaginator", *, has_more: bool):
        super().__init__(rows, number, paginator)
        self._has_more = has_more

    def has_next(self) -> bool:
        return self._has_more

    def next_page_number(self) -> int:
        return self.number + 1


class ListPaginator(Paginator):
    """Reads its page first; where that is all there is, nothing is counted.

    `count` is at most `MOST_COUNTED`, and `is_more` says that there are more than that. Every
    page can be reached all the same.
    """

    def __init__(self, rows: QuerySet, per_page: int = ROWS_A_PAGE):
        super().__init__(rows, per_page)
        self._counted: int | None = None

    def get_page(self, number) -> ListPage:
        """The page of that number; the nearest where it does not exist."""
        try:
            number = max(1, int(number))
        except (TypeError, ValueError, OverflowError):
            number = 1
        # No list is as long as that, and databases refuse larger numbers.
        page = self._read(min(number, 10**9))
        if page.number > 1 and not page.object_list:
            page = self._read(max(1, -(-self.object_list.count() // self.per_page)))
        return page

    def page(self, number) -> ListPage:
        page = self.get_page(number)
        if page.number != number:
            raise InvalidPage
        return page

    def _read(self, number: int) -> ListPage:
        first = (number - 1) * self.per_page
        rows = list(self.object_list[first : first + self.per_page + 1])
        has_more = len(rows) > self.per_page
        rows = rows[: self.per_page]
        if not has_more and (rows or number == 1):
            self._counted = first + len(rows)
        return ListPage(rows, number, self, has_more=has_more)

    def _count_to_limit(self) -> int:
        if self._counted is None:
            # Neither the order nor what is read with a row matters for how many there are.
            self._counted = self.object_list.order_by().values("pk")[: MOST_COUNTED + 1].count()
        return self._counted

    @property
    def is_more(self) -> bool:
        return self._count_to_limit() > MOST_COUNTED

    @property
    def count(self) -> int:
        return min(self._count_to_limit(), MOST_COUNTED)

    @property
    def num_pages(self) -> int:
        """Pages for the rows counted; one for an empty list."""
        return max(1, -(-self.count // self.per_page))


def page_of(request: HttpRequest, rows: QuerySet, *, rows_a_page: int = ROWS_A_PAGE) -> ListPage:
    """The page of a list that the address asks for; the nearest one where it does not exist."""
    return ListPaginator(rows, rows_a_page).get_page(request.GET.get("page"))
