"""One student's lines as a record needs them: in full, and as little of each as sums need."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from typing import NamedTuple
from uuid import UUID
from zoneinfo import ZoneInfo

import numpy as np
from django.db.models import QuerySet
from django.urls import reverse
from django.utils.translation import gettext as _

from assessments.findings import Evidence
from assessments.models import Attempt, Revision
from coursework.models import Method
from coursework.models.methods import is_by_stars
from solar.bearings import wrap_deg
from solar.circular import is_swapped
from solar.clock import zone_of
from solar.declination import declination
from solar.horizon import TerrainHorizon

SUN_RADIUS_DEG = 0.2667

_COLUMNS = {
    "key": "key",
    "exercise": "exercise__title",
    "site": "drill__site__name",
    "student_id": "student_id",
    "alone_by": "drill__practised_by_id",
    "assessed": "assessed",
    "observed_at": "current__observed_at",
    "assessor_id": "current__recorded_by_id",
    "assessor": "current__recorded_by__name",
    "instrument": "current__instrument__label",
    "inputs": "current__inputs",
    "error_deg": "current__error_deg",
    "method_error_deg": "current__method_error_deg",
    "own_error_deg": "current__own_error_deg",
    "counting_error_deg": "current__counting_error_deg",
    "scatter_deg": "current__marking_scatter_deg",
    "expanded_u_deg": "current__expanded_uncertainty_deg",
    "azimuth_deg": "current__sun_azimuth_deg",
    "elevation_deg": "current__sun_elevation_deg",
    "declination_used_deg": "current__declination_used_deg",
    "verdict": "current__verdict",
}


class _Parted:
    """The keys by which lines are parted, whatever else of each was read."""

    __slots__ = ()

    @property
    def is_alone(self) -> bool:
        """Logged by the student, without an instructor's check."""
        return self.alone_by is not None or self.assessor_id == self.student_id

    @property
    def half(self) -> str:
        """The part of the day: a key of `half_name`. By the side of the meridian of the sun."""
        if is_by_stars(self.method) or self.azimuth_deg is None:
            return "night"
        if self.method == Method.FIRST_LAST:
            return "day"
        if self.method == Method.SHORTEST_SHADOW:
            return "noon"
        return "forenoon" if self.azimuth_deg < 180.0 else "afternoon"

    @property
    def checked(self) -> tuple[str, str]:
        """Who checked the line, and with what: see `checked_name`."""
        return ("", "") if self.is_alone else (self.assessor, self.check)


class _LineColumns(NamedTuple):
    method: str
    own_error_deg: float
    error_deg: float
    method_error_deg: float
    azimuth_deg: float | None
    student_id: int
    alone_by: int | None
    assessor_id: int
    assessor: str
    site: str
    check: str
    tolerance: str
    is_swapped: bool


class Line(_LineColumns, _Parted):
    """What sums need of a line. Angles degrees, errors positive to the right.

    A record may have thousands: the few that are shown and looked at are a `Point` each.
    """

    __slots__ = ()

    @property
    def tolerance_deg(self) -> float:
        return float(self.tolerance)


@dataclass(frozen=True, kw_only=True)
class Point(_Parted):
    """One line that was laid. Angles degrees, errors positive to the right."""

    key: UUID
    exercise: str
    site: str
    student_id: int
    alone_by: int | None
    assessed: bool
    observed_at: datetime
    assessor_id: int
    assessor: str
    instrument: str | None
    inputs: dict[str, str]
    error_deg: float
    method_error_deg: float
    own_error_deg: float
    counting_error_deg: float | None
    scatter_deg: float | None
    expanded_u_deg: float
    azimuth_deg: float | None
    elevation_deg: float | None
    declination_used_deg: float | None
    verdict: str

    @property
    def address(self) -> str:
        return reverse("attempt-detail", args=[self.key])

    @property
    def method(self) -> str:
        return self.inputs["method"]

    @property
    def method_name(self) -> str:
        return str(Method(self.method).label)

    @property
    def is_swapped(self) -> bool:
        """Laid end for end: in no average, counted apart."""
        return bool(is_swapped(self.own_error_deg))

    @property
    def check(self) -> str:
        """What the line was checked with: a key of `checked_name`."""
        return self.inputs["check"]

    @cached_property
    def local(self) -> datetime:
        return self.observed_at.astimezone(ZoneInfo(self.inputs["zone"]))

    @property
    def tolerance_deg(self) -> float:
        return float(self.inputs["tolerance_deg"])

    @property
    def declared_deg(self) -> float | None:
        return _number(self.inputs["student_correction_deg"])


def method_name(method: str) -> str:
    return str(Method(method).label)


def half_name(half: str) -> str:
    names = {
        "night": _("night"),
        "day": _("over the whole day"),
        "noon": _("around noon"),
        "forenoon": _("forenoon"),
        "afternoon": _("afternoon"),
    }
    return names[half]


def checked_name(checked: tuple[str, str]) -> str:
    assessor, check = checked
    names = {
        "": _("yourself"),
        "compass": _("compass"),
        "shadow": _("shadow"),
        "landmark": _("surveyed mark"),
        "direct": _("true bearing"),
    }
    return f"{assessor}, {names[check]}" if assessor else names[check]


def lines_of(attempts: QuerySet[Attempt]) -> list[Point]:
    """Results in which a line was laid, in order of time; one query."""
    rows = attempts.filter(current__own_error_deg__isnull=False)
    rows = rows.order_by("current__observed_at", "pk").values_list(*_COLUMNS.values())
    names = tuple(_COLUMNS)
    return [Point(**dict(zip(names, row, strict=True))) for row in rows]


def lines_by_revision(numbers: Collection[int]) -> dict[int, Point]:
    """The same from revisions, current or not: names of places and people as they stood.

    By number (primary key) of the revision; one query.
    """
    columns = {
        name: column.removeprefix("current__")
        if column.startswith("current__")
        else f"attempt__{column}"
        for name, column in _COLUMNS.items()
    }
    rows = Revision.objects.filter(pk__in=numbers, own_error_deg__isnull=False)
    points = {}
    for number, facts, *row in rows.values_list("pk", "facts", *columns.values()):
        values = dict(zip(columns, row, strict=True))
        stood = {
            "site": facts.get("site"),
            "exercise": facts.get("exercise"),
            "assessor": facts.get("assessor"),
        }
        points[number] = Point(**values | {name: said for name, said in stood.items() if said})
    return points


def evidence_of(points: list[Point]) -> list[Evidence]:
    """What findings are looked for in."""
    return [
        Evidence(
            key=str(point.key),
            observed_at=point.local,
            method=point.method,
            northern=float(point.inputs["lat"]) >= 0.0,
            error_deg=point.error_deg,
            method_error_deg=point.method_error_deg,
            own_error_deg=point.own_error_deg,
            tolerance_deg=point.tolerance_deg,
            verdict=point.verdict,
            judged_on=point.inputs["judged_on"],
            declared_deg=point.declared_deg,
            counting_error_deg=point.counting_error_deg,
            marking_scatter_deg=point.scatter_deg,
            expanded_uncertainty_deg=point.expanded_u_deg,
            minutes_between_marks=_minutes_between(point),
            hands=_number(point.inputs["hands"]) if point.method == Method.HANDS else None,
            rule_deg_per_hand=_rule(point),
            measured_deg_per_hand=_number(point.inputs["degrees_per_hand"])
            if point.method == Method.HANDS
            else None,
            sun_height_deg=_sun_height(point),
            site_declination_deg=there,
        )
        for point, there in zip(points, _declinations(points), strict=True)
    ]


def _number(word: str) -> float | None:
    return float(word) if word else None


def _rule(point: Point) -> float | None:
    if point.method != Method.HANDS:
        return None
    return _number(point.inputs["rule_deg_per_hand"]) or 15.0


def _minutes_between(point: Point) -> float | None:
    """Between the first and the last mark over the steps between them; shadow tips only."""
    if point.method != Method.SHADOW_TIP:
        return None
    times = [_instant(word, point) for word in point.inputs["times"].split(";") if word]
    if len(times) < 2:
        return None
    return (times[-1] - times[0]).total_seconds() / 60.0 / (len(times) - 1)


def _instant(word: str, point: Point) -> datetime:
    time = datetime.fromisoformat(word)
    # Both marks of a line lie on one clock, so what it is set to does not matter here.
    return time if time.tzinfo else time.replace(tzinfo=zone_of(point.inputs["zone"]))


def _sun_height(point: Point) -> float | None:
    """The lower limb above the skyline when the hands were counted."""
    if point.method != Method.HANDS or point.elevation_deg is None:
        return None
    profile = TerrainHorizon.parse(point.inputs["horizon"])
    skyline = float(profile.elevation_deg(point.azimuth_deg))
    return point.elevation_deg - SUN_RADIUS_DEG - skyline


def _declinations(points: list[Point]) -> list[float | None]:
    """The declination of each place and date, whether the check used it or not."""
    if not points:
        return []
    field = declination(
        np.array([_utc(point.observed_at) for point in points], dtype="datetime64[us]"),
        latitude_deg=np.array([float(point.inputs["lat"]) for point in points]),
        longitude_deg=np.array([float(point.inputs["lon"]) for point in points]),
        elevation_m=np.array([float(point.inputs["elevation_m"]) for point in points]),
    )
    return [
        None if np.isnan(value) else float(wrap_deg(value))
        for value in np.atleast_1d(field.declination_deg)
    ]


def _utc(instant: datetime) -> datetime:
    return instant.astimezone(ZoneInfo("UTC")).replace(tzinfo=None)
