"""What a student's record says: findings, statistics, groups; no drawing and no page in it."""

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from functools import cached_property

from django.utils.translation import gettext as _

from assessments.findings import Found, look
from assessments.records.points import (
    Line,
    Point,
    checked_name,
    evidence_of,
    half_name,
    method_name,
)
from assessments.sheets.words import degrees, turn
from coursework.wording import fixed
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
    lines: tuple[Line | Point, ...]

    @cached_property
    def sound(self) -> tuple[Line | Point, ...]:
        return tuple(line for line in self.lines if not line.is_swapped)

    @property
    def swapped(self) -> int:
        return len(self.lines) - len(self.sound)

    @cached_property
    def own(self) -> Summary | None:
        return _summed([line.own_error_deg for line in self.sound])

    @cached_property
    def result(self) -> Summary | None:
        return _summed([line.error_deg for line in self.sound])

    @cached_property
    def method_part(self) -> Summary | None:
        return _summed([line.method_error_deg for line in self.sound])


class StudentRecord:
    """`points` in order of time, and all `lines` where the points are only some of them.

    The points have then to hold the first line, the newest `LOOKED_AT` and, of those not laid end
    for end, the newest `TRENDED`.
    """

    def __init__(self, points: Sequence[Point], lines: Sequence[Line] | None = None) -> None:
        self.points = tuple(points)
        self.lines = self.points if lines is None else tuple(lines)

    @cached_property
    def all(self) -> Group:
        return Group(_("all lines"), self.lines)

    @cached_property
    def found(self) -> Found:
        return look(evidence_of(list(self.points[-LOOKED_AT:])))

    @property
    def shown(self) -> tuple[Point, ...]:
        return self.points[-SHOWN:]

    @cached_property
    def trend(self) -> Trend | None:
        """Of the size of own errors, degrees a month; None for too few lines or one instant."""
        sound = [point for point in self.points if not point.is_swapped][-TRENDED:]
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
                    "No clear trend: the size of the student’s own errors "
                    "changes by %(low)s to %(high)s a "
                    "month (95 %% interval)."
                )
                % said
            )
        if self.trend.slope < 0.0:
            return (
                _(
                    "Getting better: the size of the student’s own errors "
                    "shrinks by %(size)s a month "
                    "(95 %% interval of the change: %(low)s to %(high)s)."
                )
                % said
            )
        return (
            _(
                "Getting worse: the size of the student’s own errors "
                "grows by %(size)s a month "
                "(95 %% interval of the change: %(low)s to %(high)s)."
            )
            % said
        )

    def _groups(
        self, key_of: Callable[[Line | Point], Hashable], name_of: Callable[..., str]
    ) -> list[Group]:
        """The lines parted by a key, the largest group first."""
        parted: dict[Hashable, list[Line | Point]] = {}
        for line in self.lines:
            parted.setdefault(key_of(line), []).append(line)
        # Names are made once a group: a record may have thousands of lines.
        found = [Group(name_of(key), tuple(lines)) for key, lines in parted.items()]
        return sorted(found, key=lambda group: (-len(group.lines), group.name))

    @cached_property
    def by_method(self) -> list[Group]:
        return self._groups(lambda line: line.method, method_name)

    @cached_property
    def by_time(self) -> list[Group]:
        return self._groups(lambda line: line.half, half_name)

    @cached_property
    def by_site(self) -> list[Group]:
        return self._groups(lambda line: line.site, str)

    @cached_property
    def by_check(self) -> list[Group]:
        return self._groups(lambda line: line.checked, checked_name)


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
    return "–" if found is None else fixed(found.resultant_length, 3)


def _summed(angles: list[float]) -> Summary | None:
    return summary(angles) if angles else None
