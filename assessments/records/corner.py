"""Questions to practise on: a place and an hour, and where a shadow or a method's error lies.

A question is made from its token alone (and the sites it is drawn from), so that a page loaded
again asks the same. Answers are not kept.
"""

import random
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
from django.utils.crypto import get_random_string
from django.utils.translation import gettext as _

from assessments.sheets.words import bearing, degrees, turn
from coursework.method_year import place_of
from coursework.models import Method, Site
from solar.bearings import bearing_deg, difference_deg
from solar.ephemeris import sun_position
from solar.windows import cells

LENGTH = 10
SHADOW, METHOD_ERROR = "shadow", "method-error"
_LEAST_UP_DEG = 8.0
_METHODS = (Method.SHADOW_TIP, Method.WATCH)
_TRIES = 60
_CLOSE_DEG, _FAIR_DEG = 5.0, 15.0


@dataclass(frozen=True, kw_only=True)
class Question:
    """answer_deg: a true bearing, or a method error (positive to the right)."""

    token: str
    kind: str
    site: Site
    at: datetime
    method: str
    answer_deg: float

    @property
    def asks(self) -> str:
        if self.kind == SHADOW:
            return _("To which true bearing does the shadow of an upright stick point?")
        return _("How far, and to which side, is a flawless %(method)s off there then?") % {
            "method": str(Method(self.method).label)
        }


@dataclass(frozen=True)
class Marked:
    """An answer beside the right one; off_deg positive where it lies to the right of it."""

    off_deg: float
    says: str


def new_token() -> str:
    return get_random_string(LENGTH)


def question(token: str, sites: Sequence[Site], *, year: int) -> Question | None:
    """The question of a token; None where no site has sun at any of the hours that are drawn."""
    chance = random.Random(f"corner {token}")
    if not sites:
        return None
    for _attempt in range(_TRIES):
        site = chance.choice(sites)
        kind = chance.choice((SHADOW, METHOD_ERROR))
        method = str(chance.choice(_METHODS))
        start = datetime(year, 1, 1, 5, tzinfo=site.zone_info)
        at = start + timedelta(days=chance.randrange(365), minutes=10 * chance.randrange(85))
        at = at.astimezone(UTC).astimezone(site.zone_info)
        answer = _answer(kind, method, site, at)
        if answer is not None:
            return Question(
                token=token, kind=kind, site=site, at=at, method=method, answer_deg=answer
            )
    return None


def mark(asked: Question, answer_deg: float) -> Marked:
    """How near an answer is, in a sentence with its side."""
    off = float(difference_deg(answer_deg, asked.answer_deg))
    right = bearing(asked.answer_deg) if asked.kind == SHADOW else turn(asked.answer_deg)
    if abs(off) <= _CLOSE_DEG:
        how = _("Well judged: as near as a line can be laid by hand.")
    elif abs(off) <= _FAIR_DEG:
        how = _("Fairly near: enough to keep a general direction.")
    else:
        how = _("Too far off to travel by. Think where the sun is at that hour and season.")
    says = _("The answer is %(right)s; yours is off by %(off)s. %(how)s") % {
        "right": right,
        "off": turn(off),
        "how": how,
    }
    return Marked(off, says)


def explanation(asked: Question) -> str:
    """Where the sun stands, from which the answer can be seen."""
    azimuth, elevation = _sun(asked.site, asked.at)
    return _("The sun is at %(azimuth)s true then, %(height)s up.") % {
        "azimuth": bearing(azimuth),
        "height": degrees(elevation),
    }


def _sun(site: Site, at: datetime) -> tuple[float, float]:
    azimuth, elevation = sun_position(
        [at],
        latitude_deg=site.latitude_deg,
        longitude_deg=site.longitude_deg,
        elevation_m=site.elevation_m,
    )
    return float(azimuth[0]), float(elevation[0])


def _answer(kind: str, method: str, site: Site, at: datetime) -> float | None:
    azimuth, elevation = _sun(site, at)
    skyline = float(site.profile.elevation_deg(azimuth))
    if elevation < max(_LEAST_UP_DEG, skyline + 1.0):
        return None
    if kind == SHADOW:
        return float(bearing_deg(azimuth + 180.0))
    found = cells(method, place_of(site), first=at.date(), last=at.date(), every_min=10)
    starts = found.starts[0]
    error = found.error_deg[0][starts == np.datetime64(at.astimezone(UTC).replace(tzinfo=None))]
    return float(error[0]) if error.size and np.isfinite(error[0]) else None
