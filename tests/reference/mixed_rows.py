"""Random rows of a file of attempts: every method, every check, many places, some hopeless.

No sun position is computed here, only a rough length of day, so that the rows do not lean on
what they test. Some of them therefore cannot be scored (sun down, shadow too long), as in life.
"""

import math
import random
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

COLUMNS = (
    "attempt",
    "method",
    "lat",
    "lon",
    "elevation_m",
    "zone",
    "times",
    "date",
    "order",
    "hands",
    "degrees_per_hand",
    "rule_deg_per_hand",
    "half",
    "stick_m",
    "mark_u_mm",
    "student_correction_deg",
    "summer_time",
    "slope_deg",
    "downhill_deg",
    "horizon",
    "target_deg",
    "check",
    "reading_deg",
    "check_time",
    "correction_deg",
    "declination_deg",
    "landmark_deg",
    "reading_u_deg",
    "tolerance_deg",
    "judged_on",
    "rule",
)
METHODS = ("shadow-tip", "first-last", "equal-shadow", "shortest-shadow", "hands", "watch")
CHECKS = ("compass", "shadow", "landmark", "direct")
# Zones with and without summer time, on both sides of the equator and of the date line.
PLACES = (
    ("Europe/Berlin", 49.0, 11.0),
    ("Europe/Dublin", 53.3, -8.0),
    ("America/Denver", 40.0, -106.0),
    ("America/St_Johns", 48.0, -55.0),
    ("America/Anchorage", 62.0, -150.0),
    ("America/La_Paz", -17.0, -66.0),
    ("America/Punta_Arenas", -52.0, -71.0),
    ("Africa/Nairobi", -0.5, 37.0),
    ("Africa/Windhoek", -23.0, 17.0),
    ("Asia/Kathmandu", 28.0, 85.0),
    ("Asia/Kolkata", 12.0, 77.0),
    ("Asia/Tokyo", 36.0, 138.0),
    ("Australia/Hobart", -42.5, 147.0),
    ("Australia/Lord_Howe", -31.5, 159.0),
    ("Pacific/Auckland", -41.0, 174.5),
    ("Pacific/Kiritimati", 2.0, -157.4),
    ("Arctic/Longyearbyen", 77.5, 15.5),
)
MISTAKES = (
    {"method": "sundial"},
    {"lat": "91"},
    {"lon": ""},
    {"times": "noonish"},
    {"check": "guess"},
    {"reading_deg": "nan"},
    {"tolerance_deg": "0"},
    {"horizon": "90-4"},
    {"zone": "Middle/Nowhere"},
    {"reading_u_deg": "-1"},
)


def mixed_rows(
    count: int, *, seed: int, mistakes: float = 0.02, skylines: int | None = None
) -> list[dict[str, str]]:
    """That many rows as the texts of a file; the share `mistakes` has a bad value put in.

    A third of the rows has a skyline: one of so many, or where that is None each its own.
    """
    source = random.Random(seed)
    known = [_skyline(source) for _ in range(skylines or 0)]
    rows = []
    for number in range(count):
        row = _row(source, f"A{number:06d}")
        if source.random() < 0.3:
            row["horizon"] = source.choice(known) if known else _skyline(source)
        if source.random() < mistakes:
            row.update(source.choice(MISTAKES))
        rows.append(row)
    return rows


def _row(source: random.Random, name: str) -> dict[str, str]:
    zone, latitude, longitude = source.choice(PLACES)
    latitude += source.uniform(-2, 2)
    longitude += source.uniform(-2, 2)
    check = source.choice(CHECKS)
    own_declination = check == "compass" and source.random() < 0.2
    years = (2015, 2029) if check == "compass" and not own_declination else (1990, 2050)
    day = date(source.randint(*years), 1, 2) + timedelta(days=source.randrange(362))
    row = dict.fromkeys(COLUMNS, "")
    row |= {
        "attempt": name,
        "method": source.choice(METHODS),
        "lat": f"{latitude:.5f}",
        "lon": f"{longitude:.5f}",
        "zone": zone,
        "check": check,
        "reading_deg": f"{source.uniform(0, 359.9):.1f}",
        "tolerance_deg": str(source.choice((5, 7.5, 10, 15, 20, round(source.uniform(3, 150), 1)))),
    }
    noon, half_day = _noon_and_half_day(day, latitude, longitude)
    clock = _Clock(source, zone)
    last = _fill_method(source, row, clock, noon, half_day, day)
    if row["method"] == "first-last" and source.random() < 0.8:
        # Nobody reads a shadow after sunset: the line is checked when the sun is up again.
        last = noon.replace(microsecond=0) + timedelta(days=2, hours=source.uniform(-2, 2))
        last = last.replace(microsecond=0)
    _fill_check(source, row, clock, last, own_declination)
    _sometimes(source, row, "elevation_m", 0.6, lambda: source.randint(0, 2500))
    _sometimes(source, row, "target_deg", 0.4, lambda: source.choice((0, 90, 180, 270, 45, 359)))
    _sometimes(source, row, "student_correction_deg", 0.2, lambda: source.randint(-30, 30))
    _sometimes(source, row, "judged_on", 0.5, lambda: source.choice(("result", "own")))
    _sometimes(source, row, "rule", 0.5, lambda: source.choice(("guarded", "plain")))
    _sometimes(source, row, "reading_u_deg", 0.3, lambda: round(source.uniform(0, 3), 2))
    _sometimes(source, row, "stick_m", 0.4, lambda: round(source.uniform(0.5, 1.6), 2))
    _sometimes(source, row, "mark_u_mm", 0.4, lambda: source.choice((2, 5, 8, 10)))
    if source.random() < 0.2:
        row["slope_deg"] = str(source.choice((2, 5, 10, 25)))
        row["downhill_deg"] = str(source.randrange(360))
    return row


def _skyline(source: random.Random) -> str:
    bearings = range(source.randrange(30), 360, source.choice((30, 45, 90)))
    return " ".join(f"{bearing}:{source.uniform(0, 12):.1f}" for bearing in bearings)


class _Clock:
    """Writes instants as a log would: local time without an offset, with one, or in UTC."""

    def __init__(self, source: random.Random, zone: str) -> None:
        self._zone = ZoneInfo(zone)
        self._style = source.choice(("naive", "naive", "offset", "utc"))

    def write(self, instant: datetime) -> str:
        if self._style == "utc":
            return instant.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
        local = instant.astimezone(self._zone)
        return (local.replace(tzinfo=None) if self._style == "naive" else local).isoformat()


def _noon_and_half_day(day: date, latitude: float, longitude: float) -> tuple[datetime, float]:
    """Roughly: the instant of local noon and the hours from it to sunset."""
    dec = math.radians(-23.44 * math.cos(math.tau * (day.timetuple().tm_yday + 10) / 365.25))
    lat = math.radians(latitude)
    cosine = (-0.0145 - math.sin(lat) * math.sin(dec)) / (math.cos(lat) * math.cos(dec))
    hours = math.degrees(math.acos(min(1.0, max(-1.0, cosine)))) / 15.0
    midday = datetime.combine(day, time(12), tzinfo=UTC)
    return midday - timedelta(hours=longitude / 15.0), hours


def _fill_method(source, row, clock, noon, half_day, day) -> datetime:
    """Writes the observation of row's method; returns about the last instant of it."""

    def at(hours: float) -> datetime:
        return noon.replace(microsecond=0) + timedelta(seconds=round(hours * 3600))

    method = row["method"]
    hour = source.uniform(-0.85, 0.85) * half_day
    if method == "shadow-tip":
        gaps = source.choice(((15,), (20,), (10,), (15, 15), (8, 9, 12, 20)))
        marks = [at(hour)]
        for minutes in gaps:
            marks.append(marks[-1] + timedelta(minutes=minutes))
    elif method == "first-last":
        if source.random() < 0.6:
            row["date"] = day.isoformat()
            row["order"] = source.choice(("day", "night"))
            return at(half_day)
        morning, evening = (half_day - source.uniform(0.2, 0.9) for _ in range(2))
        marks = [at(-morning), at(evening)]
        if source.random() < 0.4:
            marks = [marks[1], marks[0] + timedelta(days=1)]
    elif method == "equal-shadow":
        hour = -abs(hour) - 0.5
        marks = [at(hour)]
        if source.random() < 0.5:
            marks.append(at(-hour + source.uniform(-0.3, 0.3)))
    elif method == "shortest-shadow":
        marks = [at(source.uniform(-0.8, 0.8))]
    else:
        marks = [at(hour)]
    if method == "hands":
        row["hands"] = f"{source.uniform(0.5, 8):.1f}"
        _sometimes(source, row, "degrees_per_hand", 0.6, lambda: round(source.uniform(7, 16), 1))
        _sometimes(source, row, "rule_deg_per_hand", 0.4, lambda: round(source.uniform(8, 15), 1))
        _sometimes(source, row, "half", 0.4, lambda: "forenoon" if hour < 0 else "afternoon")
    if method == "watch":
        _sometimes(source, row, "summer_time", 0.5, lambda: source.choice(("yes", "no")))
    row["times"] = ";".join(clock.write(mark) for mark in marks)
    return marks[-1]


def _fill_check(source, row, clock, last, own_declination) -> None:
    later = last + timedelta(minutes=source.randint(0, 25))
    if row["check"] == "shadow" or (row["check"] == "compass" and source.random() < 0.3):
        row["check_time"] = clock.write(later)
    if row["check"] == "compass":
        _sometimes(source, row, "correction_deg", 0.4, lambda: round(source.uniform(-4, 4), 1))
        if own_declination:
            row["declination_deg"] = f"{source.uniform(-20, 20):.1f}"
    if row["check"] == "landmark":
        row["landmark_deg"] = f"{source.uniform(0, 359.9):.2f}"


def _sometimes(source, row, column, share, value) -> None:
    if source.random() < share:
        row[column] = str(value())
