"""Which dates a calendar shows, and what is held on each by the clock of its own place."""

import calendar
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from coursework.models.bookings import Booking

VIEWS = ("agenda", "week", "month")
AGENDA_DAYS = 42
# A date begins up to 14 hours before and ends up to 12 hours after it does in UTC.
_ZONES = timedelta(hours=14)


@dataclass(frozen=True)
class Day:
    date: date
    bookings: tuple[Booking, ...]
    is_in_month: bool = True


@dataclass(frozen=True)
class Span:
    """The dates from first to last (both included) that a view shows about one date."""

    view: str
    day: date
    first: date
    last: date

    @classmethod
    def of(cls, view: str, day: date) -> "Span":
        """ValueError beyond the years that dates can have."""
        try:
            if view == "agenda":
                return cls(view, day, day, day + timedelta(days=AGENDA_DAYS - 1))
            if view == "week":
                first = day - timedelta(days=day.weekday())
                return cls(view, day, first, first + timedelta(days=6))
            first, last = day.replace(day=1), day.replace(day=_length(day))
            first -= timedelta(days=first.weekday())
            return cls(view, day, first, last + timedelta(days=6 - last.weekday()))
        except OverflowError as error:
            raise ValueError("No such dates.") from error

    @property
    def before(self) -> date:
        """The date to turn back to."""
        if self.view == "month":
            return (self.day.replace(day=1) - timedelta(days=1)).replace(day=1)
        return self.first - timedelta(days=AGENDA_DAYS if self.view == "agenda" else 7)

    @property
    def after(self) -> date:
        if self.view == "month":
            return self.day.replace(day=_length(self.day)) + timedelta(days=1)
        return self.last + timedelta(days=1)

    @property
    def limits(self) -> tuple[datetime, datetime]:
        """Instants between which something on one of the dates starts, wherever it is held."""
        first = datetime.combine(self.first, time(), UTC) - _ZONES
        return first, datetime.combine(self.last, time(), UTC) + timedelta(days=1) + _ZONES

    def days(self, bookings: Iterable[Booking]) -> list[Day]:
        on: dict[date, list[Booking]] = defaultdict(list)
        for booking in sorted(bookings, key=lambda one: one.starts_at):
            on[booking.local_start.date()].append(booking)
        number = (self.last - self.first).days + 1
        dates = [self.first + timedelta(days=n) for n in range(number)]
        return [
            Day(one, tuple(on[one]), self.view != "month" or one.month == self.day.month)
            for one in dates
        ]

    def weeks(self, bookings: Iterable[Booking]) -> list[list[Day]]:
        days = self.days(bookings)
        return [days[n : n + 7] for n in range(0, len(days), 7)]


def _length(day: date) -> int:
    return calendar.monthrange(day.year, day.month)[1]
