"""A second opinion on scores: one row at a time, from the definitions, on pvlib's sun.

Shares no code with the solar package. It takes the definitions one after the other, in plane
vectors, with pvlib's implementation of the NREL algorithm for the sun and pygeomag's scalar
calls for the magnetic field. Slow and plain on purpose.
"""

import math
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from functools import cache
from zoneinfo import ZoneInfo

import numpy as np
from pvlib import spa
from pygeomag import GeoMag

SEMI_DIAMETER = 0.2667
UPPER_LIMB_OPEN = -0.8333
# NOAA NCEI's error model of each World Magnetic Model: constant part in degrees, and the
# part that grows as the horizontal field weakens, in degrees times nanotesla.
ERROR_MODEL = {2025: (0.26, 5417.0), 2020: (0.26, 5625.0), 2015: (0.23, 5430.0)}
READING_U = {"compass": 1.5, "shadow": 1.0, "landmark": 1.0, "direct": 0.0}


class RefusedError(Exception):
    """The row cannot be scored."""


class OpenError(Exception):
    """The definitions leave open what this row should give."""


def wrap(angle):
    turned = angle % 360.0
    return turned - 360.0 if turned > 180.0 else turned


def unit(bearing):
    return np.array([math.sin(math.radians(bearing)), math.cos(math.radians(bearing))])


def bearing_of(vector):
    return math.degrees(math.atan2(vector[0], vector[1])) % 360.0


def number(text, blank):
    return float(text) if text.strip() else blank


@dataclass
class Sun:
    azimuth: float
    true: float
    apparent: float


@dataclass
class Place:
    latitude: float
    longitude: float
    elevation: float = 0.0
    horizon: list = field(default_factory=list)

    def sky(self, seconds):
        """Azimuth, true and apparent elevation at Unix times, by pvlib's SPA."""
        seconds = np.atleast_1d(np.asarray(seconds, dtype=float))
        # TT - UT: about 57 s in 1990, 64 s in 2000, 69 s since 2018; a second is 0.00001 deg.
        year = 1970 + seconds / 31_556_952.0
        delta_t = np.interp(year, [1990, 2000, 2008, 2018], [56.9, 63.8, 65.5, 69.0])
        result = spa.solar_position(
            seconds, self.latitude, self.longitude, self.elevation, 1013.25, 15.0, delta_t, 0.0
        )
        true, azimuth = result[3], result[4]
        pressure = 1013.25 * (1 - 2.25577e-5 * self.elevation) ** 5.25588
        celsius = 15 - 0.0065 * self.elevation
        bent = np.maximum(true, -0.8333)
        lift = (pressure / 1010) * (283 / (273 + celsius)) * 1.02
        lift = lift / (60 * np.tan(np.radians(bent + 10.3 / (bent + 5.11))))
        return azimuth, true, true + lift

    def sun(self, instant):
        azimuth, true, apparent = self.sky(instant.timestamp())
        return Sun(float(azimuth[0]), float(true[0]), float(apparent[0]))

    def profile(self, azimuth):
        """Terrain elevation, linear between the nearest pairs on either side."""
        if not self.horizon:
            return np.zeros_like(azimuth)
        pairs = sorted((bearing % 360.0, up) for bearing, up in self.horizon)
        pairs = [(pairs[-1][0] - 360.0, pairs[-1][1]), *pairs, (pairs[0][0] + 360.0, pairs[0][1])]
        return np.interp(azimuth, [pair[0] for pair in pairs], [pair[1] for pair in pairs])

    def clearance(self, seconds):
        """Above 0 where some of the sun shows over the horizon."""
        azimuth, true, apparent = self.sky(seconds)
        if not self.horizon:
            return true - UPPER_LIMB_OPEN
        return apparent - (self.profile(azimuth) - SEMI_DIAMETER)

    def crossings(self, start, end):
        """(Unix time, 'rise' or 'set') of each appearance and disappearance, in order."""
        minutes = np.arange(start, end + 30, 60.0)
        found = []
        heights = self.clearance(minutes)
        for i in np.flatnonzero((heights[:-1] >= 0) != (heights[1:] >= 0)):
            fine = np.linspace(minutes[i], minutes[i] + 60, 31)
            close = self.clearance(fine)
            j = int(np.flatnonzero((close[:-1] >= 0) != (close[1:] >= 0))[0])
            part = close[j] / (close[j] - close[j + 1])
            kind = "rise" if heights[i] < 0 else "set"
            found.append((float(fine[j] + part * (fine[j + 1] - fine[j])), kind))
        return [(when, kind) for when, kind in found if start <= when < end]


@cache
def magnetic_model(year):
    # The out-of-cycle release replaced the model of 2015 for all of its five years.
    name = "2015v2" if year == 2015 else str(year)
    return GeoMag(coefficients_file=f"wmm/WMM_{name}.COF")


def model_declination(place, instant):
    """Declination and its standard uncertainty, degrees, from the model that holds the date."""
    start = datetime(instant.year, 1, 1, tzinfo=UTC)
    length = datetime(instant.year + 1, 1, 1, tzinfo=UTC) - start
    decimal_year = instant.year + (instant - start) / length
    year = instant.year // 5 * 5
    if year not in ERROR_MODEL:
        raise RefusedError("times")
    result = magnetic_model(year).calculate(
        place.latitude, place.longitude, place.elevation / 1000.0, decimal_year
    )
    if result.h < 2000:
        raise RefusedError("lat")
    a, b = ERROR_MODEL[year]
    return result.d, math.hypot(a, b / result.h)


def read_time(text, zone):
    text = text.strip()
    if "T" not in text and " " not in text:
        raise RefusedError("times")
    try:
        value = datetime.fromisoformat(text)
    except ValueError as error:
        raise RefusedError("times") from error
    if value.tzinfo is None:
        if zone is None:
            raise RefusedError("zone")
        early, late = (value.replace(tzinfo=zone, fold=fold) for fold in (0, 1))
        if early.utcoffset() != late.utcoffset():
            raise RefusedError("times")
        value = early
    if not 1990 <= value.year <= 2050:
        raise RefusedError("times")
    return value.astimezone(UTC)


def advance(instant, zone):
    """The zone's summer advance at an instant, and the greatest of that year, in hours."""
    local = instant.astimezone(zone)
    offsets = [
        datetime(local.year, month, 15, 12, tzinfo=zone).utcoffset() for month in range(1, 13)
    ]
    hour = timedelta(hours=1)
    return (local.utcoffset() - min(offsets)) / hour, (max(offsets) - min(offsets)) / hour


class Attempt:
    """What the definitions say of one row."""

    def __init__(self, row):
        self.row = row
        horizon = [tuple(map(float, pair.split(":"))) for pair in row["horizon"].split()]
        self.place = Place(
            float(row["lat"]), float(row["lon"]), number(row["elevation_m"], 0.0), horizon
        )
        self.zone = ZoneInfo(row["zone"]) if row["zone"] else None
        self.recorded = [read_time(text, self.zone) for text in row["times"].split(";") if text]
        self.method = row["method"]
        self.stick = number(row["stick_m"], 1.0)
        self.computed = []
        if self.method == "first-last" and not self.recorded:
            self.computed = self.rise_and_set()
        elif self.method == "equal-shadow" and len(self.recorded) == 1:
            self.computed = [self.matching_afternoon(self.recorded[0])]

    # The observation

    def rise_and_set(self):
        day = date.fromisoformat(self.row["date"])
        start, end = (
            datetime.combine(each, time(), tzinfo=self.zone).timestamp()
            for each in (day, day + timedelta(days=1))
        )
        rises, sets = [], []
        for when, kind in self.place.crossings(start, end):
            (rises if kind == "rise" else sets).append(when)
        if self.row["order"] == "night":
            if not sets:
                raise RefusedError("date")
            last = sets[-1]
            after = self.place.crossings(last + 1, last + 86_400)
            rises = [when for when, kind in after if kind == "rise"]
            if not rises:
                raise RefusedError("date")
            pair = [last, rises[0]]
        else:
            if not (rises and sets):
                raise RefusedError("date")
            pair = sorted([rises[0], sets[-1]])
        return [datetime.fromtimestamp(when, UTC) for when in pair]

    def matching_afternoon(self, forenoon):
        if self.place.sun(forenoon).azimuth > 180.0:
            raise RefusedError("times")
        start = forenoon.timestamp()
        height = self.place.sky(start)[2][0]
        minutes = start + np.arange(60.0, 86_400.0, 60.0)
        below = np.flatnonzero(self.place.sky(minutes)[2] < height)
        if not below.size or below[0] == 0:
            raise RefusedError("times")
        fine = np.linspace(minutes[below[0] - 1], minutes[below[0]], 61)
        heights = self.place.sky(fine)[2]
        j = int(np.flatnonzero(heights < height)[0])
        part = (heights[j - 1] - height) / (heights[j - 1] - heights[j])
        return datetime.fromtimestamp(fine[j - 1] + part * (fine[j] - fine[j - 1]), UTC)

    @property
    def last(self):
        return max(self.recorded + self.computed)

    def refuse_the_impossible(self):
        place, method = self.place, self.method
        if abs(place.latitude) > 89:
            raise RefusedError("lat")
        for instant in self.recorded:
            moments = [instant.timestamp()]
            if method == "first-last":
                moments = instant.timestamp() + np.arange(-300.0, 301.0, 5.0)
            if not (place.clearance(moments) >= 0).any():
                raise RefusedError("times")
        if method == "shadow-tip":
            gaps = [b - a for a, b in zip(self.recorded, self.recorded[1:], strict=False)]
            if min(gaps) < timedelta(minutes=1):
                raise RefusedError("times")
        if method in {"equal-shadow", "shortest-shadow"}:
            for instant in self.recorded:
                height = place.sun(instant).apparent
                if height <= 0 or 1 / math.tan(math.radians(height)) > 20:
                    raise RefusedError("times")
        if method == "shortest-shadow" and place.sun(self.recorded[0]).apparent > 87:
            raise RefusedError("times")
        if method in {"watch", "hands"} and self.culminates_south() != (place.latitude >= 0):
            raise RefusedError("times")
        if (
            method == "hands"
            and self.row["half"]
            and self.row["half"] != self.half(self.recorded[0])
        ):
            raise RefusedError("half")

    def culminates_south(self):
        """Whether the sun is due south when highest that day: its declination below latitude."""
        seconds = self.recorded[0].timestamp() + np.arange(-43_200, 43_200, 120.0)
        azimuth, true, _ = self.place.sky(seconds)
        return abs(wrap(azimuth[int(np.argmax(true))] - 180.0)) < 90.0

    def half(self, instant):
        return "forenoon" if self.place.sun(instant).azimuth < 180.0 else "afternoon"

    # The methods: the bearing that a perfect practitioner lays for north

    def north(self, shift_s=0.0):
        shift = timedelta(seconds=shift_s)
        recorded = [instant + shift for instant in self.recorded]
        return getattr(self, self.method.replace("-", "_"))(recorded)

    def shadow_tip(self, recorded):
        tips = np.array([self.tip(instant) for instant in recorded])
        middle = tips.mean(axis=0)
        if len(tips) == 2:
            east = tips[1] - tips[0]
        else:
            east = np.linalg.svd(tips - middle)[2][0]
            if east @ (tips[-1] - tips[0]) < 0:
                east = -east
        along = (tips - middle) @ (east / np.linalg.norm(east)) * self.stick
        self.spread = math.sqrt((along**2).sum())
        return bearing_of(east) - 90.0

    def tip(self, instant):
        sun = self.place.sun(instant)
        away = unit(sun.azimuth + 180.0)
        slope = math.tan(math.radians(number(self.row["slope_deg"], 0.0)))
        # The ground rises opposite to where it falls.
        uphill = slope * unit(number(self.row["downhill_deg"], 0.0) + 180.0)
        drop = math.tan(math.radians(sun.apparent)) + away @ uphill
        if drop <= 0 or 1.0 / drop > 20.0:
            raise RefusedError("times")
        return away / drop

    def first_last(self, recorded):
        azimuths = [self.place.sun(instant).azimuth for instant in recorded or self.computed]
        return self.equal_lengths(azimuths, self.stick)

    def equal_shadow(self, recorded):
        both = (
            recorded if len(recorded) == 2 else [recorded[0], self.matching_afternoon(recorded[0])]
        )
        suns = [self.place.sun(instant) for instant in both]
        length = self.stick / math.tan(math.radians(suns[0].apparent))
        return self.equal_lengths([sun.azimuth for sun in suns], length)

    def equal_lengths(self, azimuths, length):
        forenoon = [azimuth for azimuth in azimuths if azimuth < 180.0]
        afternoon = [azimuth for azimuth in azimuths if azimuth >= 180.0]
        if len(forenoon) != 1:
            # A peak of the far north may hide and show the sun within one half of the day.
            raise OpenError
        east = length * (unit(afternoon[0] + 180.0) - unit(forenoon[0] + 180.0))
        self.spread = np.linalg.norm(east) / math.sqrt(2.0)
        return bearing_of(east) - 90.0

    def shortest_shadow(self, recorded):
        shadow = self.place.sun(recorded[0]).azimuth + 180.0
        return shadow if self.culminates_south() else shadow + 180.0

    def hands_north(self, instant, count):
        turn = number(self.row["rule_deg_per_hand"], 15.0) * count
        if self.place.latitude < 0:
            turn = -turn
        assumed = 90.0 + turn if self.half(instant) == "forenoon" else 270.0 - turn
        return self.place.sun(instant).azimuth - assumed

    def perfect_count(self, instant):
        sun = self.place.sun(instant)
        limb = sun.apparent - SEMI_DIAMETER - float(self.place.profile(sun.azimuth))
        return limb / number(self.row["degrees_per_hand"], 15.0)

    def hands(self, recorded):
        return self.hands_north(recorded[0], self.perfect_count(recorded[0]))

    def counting_error(self):
        instant = self.recorded[0]
        counted = self.hands_north(instant, float(self.row["hands"]))
        return wrap(counted - self.hands_north(instant, self.perfect_count(instant)))

    def watch(self, recorded):
        local = recorded[0].astimezone(self.zone)
        ahead, most = advance(recorded[0], self.zone)
        if self.row["summer_time"]:
            ahead = (most or 1.0) if self.row["summer_time"] == "yes" else 0.0
        clock = local.hour + local.minute / 60 + (local.second + local.microsecond / 1e6) / 3600
        turn = 15.0 * (clock - ahead - 12.0)
        azimuth = self.place.sun(recorded[0]).azimuth
        return azimuth - turn + 180.0 if self.place.latitude >= 0 else azimuth + turn

    # The check

    def laid(self):
        """True bearing of the line, its standard uncertainty, the declination used."""
        row, place = self.row, self.place
        reading = float(row["reading_deg"])
        spread = number(row["reading_u_deg"], READING_U[row["check"]])
        if row["check"] == "compass":
            correction = number(row["correction_deg"], 0.0)
            if row["declination_deg"]:
                declination, its_u = float(row["declination_deg"]), 0.5
            else:
                when = max(self.recorded or self.computed)
                if row["check_time"]:
                    when = read_time(row["check_time"], self.zone)
                declination, its_u = model_declination(place, when)
            return reading + correction + declination, math.hypot(spread, its_u), declination
        if row["check"] == "shadow":
            when = read_time(row["check_time"], self.zone)
            sun = place.sun(when)
            if place.clearance(when.timestamp())[0] < 0 or not 2.8624 < sun.apparent < 87:
                raise RefusedError("check_time")
            azimuths = place.sky(when.timestamp() + np.array([-30.0, 30.0]))[0]
            clock_u = 15.0 * abs(wrap(azimuths[1] - azimuths[0])) / 60.0
            return sun.azimuth + 180.0 + reading, math.hypot(spread, clock_u), None
        if row["check"] == "landmark":
            return float(row["landmark_deg"]) + reading, math.hypot(spread, 0.5), None
        return reading, spread, None

    def score(self):
        row = self.row
        self.refuse_the_impossible()
        method_error = wrap(self.north())
        scatter = None
        if self.method in {"shadow-tip", "first-last", "equal-shadow"}:
            scatter = math.degrees(number(row["mark_u_mm"], 5.0) / 1000.0 / self.spread)
        laid, u, declination = self.laid()
        error = wrap(laid - number(row["target_deg"], 0.0))
        correction_error = None
        if row["student_correction_deg"]:
            own = error
            correction_error = wrap(method_error + float(row["student_correction_deg"]))
        else:
            own = wrap(error - method_error)
        judged = error
        if row["judged_on"] == "own":
            judged = own
            if correction_error is None and self.recorded:
                moved = wrap(self.north(30.0) - self.north(-30.0))
                u = math.hypot(u, 15.0 * moved / 60.0)
        sun = self.place.sun(self.last)
        tolerance = float(row["tolerance_deg"])
        guard = 0.0 if row["rule"] == "plain" else 2.0 * u
        if abs(judged) <= tolerance - guard:
            verdict = "within"
        elif abs(judged) > tolerance + guard:
            verdict = "outside"
        else:
            verdict = "too close to call"
        self.distance_to_edge = min(
            abs(abs(judged) - tolerance - guard), abs(abs(judged) - tolerance + guard)
        )
        return {
            "laid_true_deg": laid % 360.0,
            "error_deg": error,
            "method_error_deg": method_error,
            "own_error_deg": own,
            "counting_error_deg": self.counting_error() if self.method == "hands" else None,
            "correction_error_deg": correction_error,
            "marking_scatter_deg": scatter,
            "expanded_uncertainty_deg": 2.0 * u,
            "verdict": verdict,
            "sun_azimuth_deg": sun.azimuth,
            "sun_elevation_deg": sun.apparent,
            "declination_used_deg": declination,
        }
