"""What a student's record says: findings, statistics, groups; no drawing and no page in it."""

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from functools import cached_property

from django.utils.translation import gettext as _

from assessments.findings import Found, look
from assessments.records.points import (
    Point,
    checked_name,
    evidence_of,
    half_name,
    method_name,
)
from assessments.sheets.words import degrees, turn
from solar.circular import LEAST_FOR_AN_INTERVAL, Summary, Trend, summary, trend

LOOKED_AT = 60
"""Findings are about what to change next: they rest on the newest of the lines."""
SHOWN = 26
"""Lines drawn on the chart and listed behind it, the newest."""
TRENDED = 100
"""Lines that the trend is taken over, the newest."""
_DAY_S = 86400.0
_MONTH_DAYS = 30.0


@dataclass(frozen=True)
class Group:
    """Own errors of lines that have something in common; lines laid end for end counted apart."""

    name: str
    points: tuple[Point, ...]

    @cached_property
    def sound(self) -> tuple[Point, ...]:
        return tuple(point for point in self.points if not point.is_swapped)

    @property
    def swapped(self) -> int:
        return len(self.points) - len(self.sound)

    @cached_property
    def own(self) -> Summary | None:
        return _summed([point.own_error_deg for point in self.sound])

    @cached_property
    def result(self) -> Summary | None:
        return _summed([point.error_deg for point in self.sound])

    @cached_property
    def method_part(self) -> Summary | None:
        return _summed([point.method_error_deg for point in self.sound])


class StudentRecord:
    """`points` in order of time."""

    def __init__(self, points: Sequence[Point]) -> None:
        self.points = tuple(points)

    @cached_property
    def all(self) -> Group:
        return Group(_("all lines"), self.points)

    @cached_property
    def found(self) -> Found:
        return look(evidence_of(list(self.points[-LOOKED_AT:])))

    @property
    def shown(self) -> tuple[Point, ...]:
        return self.points[-SHOWN:]

    @cached_property
    def trend(self) -> Trend | None:
        """Of the size of own errors, degrees a month; None for too few lines or one instant."""
        sound = self.all.sound[-TRENDED:]
        if len(sound) < LEAST_FOR_AN_INTERVAL:
            return None
        months = [point.observed_at.timestamp() / _DAY_S / _MONTH_DAYS for point in sound]
        return trend(months, [abs(point.own_error_deg) for point in sound])

    @property
    def trend_words(self) -> str:
        """What the trend says, in a sentence."""
        if self.trend is None:
            return _("A trend needs %(least)s lines at different times.") % {
                "least": LEAST_FOR_AN_INTERVAL
            }
        said = {
            "size": degrees(abs(self.trend.slope)),
            "low": degrees(self.trend.low),
            "high": degrees(self.trend.high),
        }
        if not self.trend.is_clear:
            return (
                _(
                    "No clear trend: the size of your own error changes by %(low)s to %(high)s a "
                    "month (95 %% interval)."
                )
                % said
            )
        if self.trend.slope < 0.0:
            return (
                _(
                    "Getting better: the size of your own error shrinks by %(size)s a month "
                    "(95 %% interval of the change: %(low)s to %(high)s)."
                )
                % said
            )
        return (
            _(
                "Getting worse: the size of your own error grows by %(size)s a month "
                "(95 %% interval of the change: %(low)s to %(high)s)."
            )
            % said
        )

    def _groups(
        self, key_of: Callable[[Point], Hashable], name_of: Callable[..., str]
    ) -> list[Group]:
        """The lines parted by a key, the largest group first."""
        parted: dict[Hashable, list[Point]] = {}
        for point in self.points:
            parted.setdefault(key_of(point), []).append(point)
        # Names are made once a group: a record may have hundreds of lines.
        found = [Group(name_of(key), tuple(points)) for key, points in parted.items()]
        return sorted(found, key=lambda group: (-len(group.points), group.name))

    @cached_property
    def by_method(self) -> list[Group]:
        return self._groups(lambda point: point.method, method_name)

    @cached_property
    def by_time(self) -> list[Group]:
        return self._groups(lambda point: point.half, half_name)

    @cached_property
    def by_site(self) -> list[Group]:
        return self._groups(lambda point: point.site, str)

    @cached_property
    def by_check(self) -> list[Group]:
        return self._groups(lambda point: point.checked, checked_name)


def mean_words(found: Summary | None) -> str:
    """'2.1° to the right, good to ±1.0°'; what is lacking where there is no interval."""
    if found is None:
        return _("none")
    if found.mean_deg is None:
        return _("no mean direction: they cancel out")
    if found.half_width_deg is None:
        return turn(found.mean_deg)
    return _("%(mean)s, good to ±%(half)s") % {
        "mean": turn(found.mean_deg),
        "half": degrees(found.half_width_deg),
    }


def spread_words(found: Summary | None) -> str:
    """The circular standard deviation; a dash for a single line."""
    if found is None or found.std_deg is None or found.count < 2:
        return "–"
    return degrees(found.std_deg)


def length_words(found: Summary | None) -> str:
    """The mean resultant length, three decimals."""
    return "–" if found is None else f"{found.resultant_length:.3f}"


def _summed(angles: list[float]) -> Summary | None:
    return summary(angles) if angles else None
