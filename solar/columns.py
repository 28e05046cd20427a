"""Columns of text into columns of numbers and instants; what cannot be read is refused.

The columns, their blanks and ranges are those of the batch file. Values may also come typed
(numbers, aware datetimes, sequences of them, None for blank): they are read as their text is.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

import numpy as np

from solar import read_times
from solar.faults import Faults
from solar.horizon import HorizonError, TerrainHorizon
from solar.read_numbers import Range, number_column
from solar.sentences import Sentence

SUN_METHODS = ("shadow-tip", "first-last", "equal-shadow", "shortest-shadow", "hands", "watch")
STAR_METHODS = ("pole-star", "southern-cross")
METHODS = SUN_METHODS + STAR_METHODS
CHECKS = ("compass", "shadow", "landmark", "direct")
REQUIRED = ("attempt", "method", "lat", "lon", "check", "reading_deg", "tolerance_deg")
OPTIONAL = (
    "elevation_m", "zone", "times", "date", "order", "hands", "degrees_per_hand",
    "rule_deg_per_hand", "half", "stick_m", "mark_u_mm", "student_correction_deg",
    "summer_time", "slope_deg", "downhill_deg", "horizon", "target_deg", "check_time",
    "correction_deg", "declination_deg", "landmark_deg", "reading_u_deg", "judged_on", "rule",
)  # fmt: skip
COLUMNS = REQUIRED + OPTIONAL
BESIDE_FILE = ("landmark_u_deg",)
"""Columns that a table may have and the batch file has not: it is defined without them."""

DEGREES_PER_HAND = 15.0
"""What the rule turns for a hand, and what a hand is taken to cover (common practice)."""
STICK_M, MARK_U_MM = 1.0, 5.0
MOST_HANDS = 12.0
LARGEST_LATITUDE_DEG = 89.0

_DEGREES, _HANDS = Sentence("degrees"), Sentence("hands")
_METRES, _MILLIMETRES = Sentence("metres"), Sentence("millimetres")
_BEARING = Range(-np.inf, np.inf, _DEGREES)
_RANGES = {
    "lat": Range(-90.0, 90.0, _DEGREES),
    "lon": Range(-180.0, 180.0, _DEGREES),
    "elevation_m": Range(-500.0, 9000.0, _METRES),
    "hands": Range(0.0, MOST_HANDS, _HANDS, above_lowest=True),
    "degrees_per_hand": Range(2.0, 30.0, _DEGREES),
    "rule_deg_per_hand": Range(2.0, 30.0, _DEGREES),
    "stick_m": Range(0.0, np.inf, _METRES, above_lowest=True),
    "mark_u_mm": Range(0.0, np.inf, _MILLIMETRES),
    "student_correction_deg": _BEARING,
    "slope_deg": Range(0.0, 45.0, _DEGREES),
    "downhill_deg": _BEARING,
    "target_deg": _BEARING,
    "reading_deg": _BEARING,
    "correction_deg": _BEARING,
    "declination_deg": _BEARING,
    "landmark_deg": _BEARING,
    "landmark_u_deg": Range(0.0, np.inf, _DEGREES),
    "reading_u_deg": Range(0.0, np.inf, _DEGREES),
    "tolerance_deg": Range(0.0, 180.0, _DEGREES, above_lowest=True),
}
_BLANKS = {
    "elevation_m": 0.0,
    "degrees_per_hand": DEGREES_PER_HAND,
    "rule_deg_per_hand": DEGREES_PER_HAND,
    "stick_m": STICK_M,
    "mark_u_mm": MARK_U_MM,
    "slope_deg": 0.0,
    "target_deg": 0.0,
    "correction_deg": 0.0,
}
# A value that the row's method or check has no use for must be a number, but any will do.
_USED_BY_METHOD = {
    "hands": ("hands",),
    "degrees_per_hand": ("hands",),
    "rule_deg_per_hand": ("hands",),
}


@dataclass(frozen=True)
class Attempts:
    """Attempts as arrays of one length; rows that were refused hold NaN, NaT or ''.

    Angles degrees, lengths metres, instants datetime64[us] UTC.
    """

    method: np.ndarray
    check: np.ndarray
    latitude_deg: np.ndarray
    longitude_deg: np.ndarray
    elevation_m: np.ndarray
    horizon: np.ndarray
    """TerrainHorizon objects; rows with equal text share one."""
    times: np.ndarray
    """(rows, marks), padded with NaT; in order of time except for first-last."""
    search: np.ndarray
    """(rows, 2): first and last instant of the local date, where times are to be computed."""
    order: np.ndarray
    """'day' or 'night' where first-last times are to be computed, otherwise ''."""
    watch_hours: np.ndarray
    """The clock of the zone less its summer advance, hours; watch only."""
    hands: np.ndarray
    degrees_per_hand: np.ndarray
    rule_deg_per_hand: np.ndarray
    half: np.ndarray
    stick_m: np.ndarray
    mark_u_m: np.ndarray
    declared_deg: np.ndarray
    """The declared correction; NaN where none was declared."""
    slope_deg: np.ndarray
    downhill_deg: np.ndarray
    target_deg: np.ndarray
    reading_deg: np.ndarray
    check_time: np.ndarray
    correction_deg: np.ndarray
    own_declination_deg: np.ndarray
    landmark_deg: np.ndarray
    landmark_u_deg: np.ndarray
    """Standard uncertainty of the mark's bearing; NaN where none is given."""
    reading_u_deg: np.ndarray
    tolerance_deg: np.ndarray
    judged_on_own: np.ndarray
    guarded: np.ndarray

    def __len__(self) -> int:
        return self.method.size


def as_text(value: object) -> str:
    """A value of a column as the file would hold it; None is blank."""
    if value is None:
        return ""
    if isinstance(value, str):
        return value.strip()
    if isinstance(value, datetime | date):
        return value.isoformat()
    if isinstance(value, np.floating | float):
        return repr(float(value))
    if isinstance(value, Sequence | np.ndarray):
        return ";".join(as_text(part) for part in value)
    return str(value)


def read(columns: Mapping[str, Sequence]) -> tuple[Attempts, Faults]:
    """Read columns of equal length; ValueError for missing ones or unequal lengths.

    Every row that cannot be read has its sentence in the faults and takes no further part.
    """
    texts = _texts(columns)
    faults = Faults(texts)
    for row, name in enumerate(texts["attempt"]):
        if not name:
            faults.put(row, "attempt", Sentence("it is required."))
    method = _words(texts, "method", METHODS, faults, required=True)
    check = _words(texts, "check", CHECKS, faults, required=True)
    values = {
        name: number_column(
            name,
            texts[name],
            allowed,
            faults,
            blank=_BLANKS.get(name, np.nan),
            required=name in REQUIRED,
            used=np.isin(method, _USED_BY_METHOD[name]) if name in _USED_BY_METHOD else None,
        )
        for name, allowed in _RANGES.items()
    }
    _refuse_the_poles(values["lat"], faults)
    _refuse_missing(method, check, texts, values, faults)
    judged = _words(texts, "judged_on", ("result", "own"), faults)
    rule = _words(texts, "rule", ("guarded", "plain"), faults)
    half = _words(texts, "half", ("forenoon", "afternoon"), faults, used=method == "hands")
    horizon = _horizons(texts["horizon"], faults)
    read_time = read_times.read(texts, method, check, faults)
    attempts = Attempts(
        method=method,
        check=check,
        latitude_deg=values["lat"],
        longitude_deg=values["lon"],
        elevation_m=values["elevation_m"],
        horizon=horizon,
        times=read_time.times,
        search=read_time.search,
        order=read_time.order,
        watch_hours=read_time.watch_hours,
        hands=values["hands"],
        degrees_per_hand=values["degrees_per_hand"],
        rule_deg_per_hand=values["rule_deg_per_hand"],
        half=half,
        stick_m=values["stick_m"],
        mark_u_m=values["mark_u_mm"] / 1000.0,
        declared_deg=values["student_correction_deg"],
        slope_deg=values["slope_deg"],
        downhill_deg=np.nan_to_num(values["downhill_deg"]),
        target_deg=values["target_deg"],
        reading_deg=values["reading_deg"],
        check_time=read_time.check_time,
        correction_deg=values["correction_deg"],
        own_declination_deg=values["declination_deg"],
        landmark_deg=values["landmark_deg"],
        landmark_u_deg=values["landmark_u_deg"],
        reading_u_deg=values["reading_u_deg"],
        tolerance_deg=values["tolerance_deg"],
        judged_on_own=judged == "own",
        guarded=rule != "plain",
    )
    return attempts, faults


def _texts(columns: Mapping[str, Sequence]) -> dict[str, list[str]]:
    missing = [name for name in REQUIRED if name not in columns]
    if missing:
        raise ValueError(f"Columns are missing: {', '.join(missing)}.")
    rows = len(columns["method"])
    texts = {}
    for name in COLUMNS + BESIDE_FILE:
        given = columns.get(name)
        if given is None:
            texts[name] = [""] * rows
        elif len(given) != rows:
            raise ValueError(f"{name} has {len(given)} rows where method has {rows}.")
        else:
            texts[name] = [v.strip() if type(v) is str else as_text(v) for v in given]
    return texts


def _words(texts, name, allowed, faults, *, required=False, used=None) -> np.ndarray:
    """A column of words of a fixed list; '' for blanks and for rows that were refused."""
    words = np.array(texts[name], dtype=object)
    known = np.isin(words, ("", *allowed) if not required else allowed)
    several, last = ", ".join(allowed[:-1]), allowed[-1]
    for row in np.nonzero(~known)[0]:
        if used is not None and not used[row]:
            continue
        faults.put(
            row, name, Sentence("it must be %(several)s or %(last)s.", several=several, last=last)
        )
    words[~known] = ""
    return words


def _refuse_the_poles(latitude, faults) -> None:
    with np.errstate(invalid="ignore"):
        beyond = np.abs(latitude) > LARGEST_LATITUDE_DEG
    sentence = Sentence("within a degree of a pole no method gives a direction.")
    for row in np.nonzero(beyond)[0]:
        faults.put(row, "lat", sentence)


def _refuse_missing(method, check, texts, values, faults) -> None:
    """Numbers that the row's own method or check cannot do without."""
    needs = (
        (
            method == "hands",
            "hands",
            Sentence("the number of hands that were counted is required."),
        ),
        (
            check == "landmark",
            "landmark_deg",
            Sentence("the landmark's true bearing is required."),
        ),
        (
            (method == "shadow-tip") & (values["slope_deg"] > 0.0),
            "downhill_deg",
            Sentence("the bearing in which the ground falls is required where slope_deg is not 0."),
        ),
    )
    for needed, name, sentence in needs:
        blank = np.array([not text for text in texts[name]], dtype=bool)
        for row in np.nonzero(needed & blank)[0]:
            faults.put(row, name, sentence)


def _horizons(texts, faults) -> np.ndarray:
    horizons = np.empty(len(texts), dtype=object)
    for row, text in enumerate(texts):
        try:
            horizons[row] = TerrainHorizon.parse(text)
        except HorizonError as error:
            horizons[row] = TerrainHorizon()
            faults.put(row, "horizon", error.sentence)
    return horizons
