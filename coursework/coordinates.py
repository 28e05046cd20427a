"""Positions as people write them: decimal degrees, degrees and minutes, UTM and MGRS.

`parse_position` reads one text, the `..._text` functions write it. All are on WGS 84, degrees,
north and east positive. A text that could mean two places is refused, never guessed. UTM goes
through PROJ (pyproj), MGRS through NGA's routines (mgrs).
"""

import re
from functools import lru_cache
from typing import NamedTuple

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from mgrs import MGRS
from mgrs.core import MGRSError
from pyproj import Proj

from coursework.geographic import PositionError, read_geographic
from solar import utm

__all__ = [
    "POSITION_HELP",
    "Position",
    "PositionError",
    "decimal_text",
    "dms_text",
    "entry_text",
    "mgrs_text",
    "parse_position",
    "position_texts",
    "utm_text",
]

POSITION_HELP = gettext_lazy(
    "Degrees (latitude first), UTM or MGRS. Such as 46.72 8.18; 46° 43.2′ N 8° 10.8′ E; "
    "32 north 437334 E 5174376 N; 32T MS 37334 74375."
)
_UTM = re.compile(
    r"(?:ZONE\s+)?(?P<zone>\d{1,3})\s*(?P<side>NORTH|SOUTH|[A-Z])[\s,]+"
    r"(?P<first>E)?\s*(?P<easting>\d{3}[\d.,]*)\s*M?\s*(?P<after_first>E|ME)?[\s,;]+"
    r"(?P<second>N)?\s*(?P<northing>\d[\d.,]*)\s*M?\s*(?P<after_second>N|MN)?",
    re.ASCII,
)
# What can only be meant as UTM: no latitude has these words or letters behind its degrees.
_UTM_LIKE = re.compile(
    r"ZONE\b.*|\d{1,3}\s*(?:(?:NORTH|SOUTH|[CF-HJ-MP-RT-VX])\b.*|[A-Z]\s.*\d{5}.*)", re.ASCII
)
_MGRS = re.compile(r"(\d{1,3})([A-Z])([A-Z]{2})(\d*)", re.ASCII)
_MGRS_BARE_ZONE = re.compile(r"\d{1,2}[C-HJ-MP-X]", re.ASCII)
_POLAR = re.compile(r"[ABYZ](?:[A-Z]{2}\d{2,10}|\d{6,14}(?:\.\d+)?)", re.ASCII)
# Figures of easting and of northing without which a reference says too little: 100 m.
LEAST_FIGURES = 3
_EASTINGS_M, _NORTHINGS_M = (100_000.0, 900_000.0), (0.0, 10_000_000.0)
# How far over the edge of a zone a neighbour's grid is still used, as maps do (about 40 km).
_ZONE_OVERLAP_DEG, _BAND_OVERLAP_DEG = 0.7, 0.02
_ROUNDING_DEG = 8e-6


class Position(NamedTuple):
    """A place on WGS 84, degrees, north and east positive."""

    latitude_deg: float
    longitude_deg: float


def parse_position(text: str) -> Position:
    """The position that a text says; PositionError (a ValueError) with a sentence otherwise.

    Latitude is from -90 to 90, longitude from -180 to 180. An MGRS reference means the
    middle of its square.
    """
    text = " ".join(text.split())
    if not text:
        raise PositionError(_("Write a position."))
    capitals = text.upper()
    packed = capitals.replace(" ", "")
    if _POLAR.fullmatch(packed):
        raise PositionError(
            _("Polar grid references (beyond 84° N and 80° S) are not read: write degrees.")
        )
    if found := _MGRS.fullmatch(packed):
        return _read_mgrs(text, *found.groups())
    if _MGRS_BARE_ZONE.fullmatch(packed):
        raise PositionError(
            _("“%(text)s” is only a grid zone: add the square and the figures.") % {"text": text}
        )
    if found := _UTM.fullmatch(capitals):
        return _read_utm(text, found)
    if _UTM_LIKE.fullmatch(capitals):
        raise PositionError(
            _("“%(text)s” is not a UTM position such as 38 north 444141 E 3684706 N.")
            % {"text": text}
        )
    return Position(*read_geographic(text))


def entry_text(position: tuple[float, float]) -> str:
    """Decimal degrees for a field: read back it is the same place, within a centimetre."""
    return ", ".join(f"{round(value, 7) + 0.0:.7f}".rstrip("0").rstrip(".") for value in position)


def decimal_text(position: tuple[float, float]) -> str:
    """Decimal degrees to about a metre, such as '46.72000° N, 8.18000° E'."""
    parts = zip(position, _sides(position), strict=True)
    return ", ".join(f"{abs(value):.5f}° {side}" for value, side in parts)


def dms_text(position: tuple[float, float]) -> str:
    """Degrees, minutes and seconds to about 3 m, such as '46° 43′ 12.0″ N, 8° 10′ 48.0″ E'."""
    return ", ".join(
        f"{_sexagesimal(abs(value))} {side}"
        for value, side in zip(position, _sides(position), strict=True)
    )


def utm_text(position: tuple[float, float]) -> str:
    """Zone, hemisphere, easting and northing in whole metres, 'north' and 'south' in full.

    Such as '38 north 444141 E 3684706 N': a letter S could mean a band or the hemisphere.
    PositionError beyond 84 N and 80 S.
    """
    latitude_deg, longitude_deg = position
    _require_grid(latitude_deg)
    number = utm.zone(latitude_deg=latitude_deg, longitude_deg=longitude_deg)
    south = latitude_deg < 0.0
    easting_m, northing_m = _grid(number, south)(longitude_deg, latitude_deg)
    # As it is typed and read back, in whatever language.
    side = "south" if south else "north"
    return f"{number} {side} {easting_m:.0f} E {northing_m:.0f} N"


def mgrs_text(position: tuple[float, float]) -> str:
    """The MGRS reference of the square metre that holds the place, such as
    '38S MB 44140 84706'; PositionError beyond 84 N and 80 S."""
    _require_grid(position[0])
    text = MGRS().toMGRS(*position, MGRSPrecision=5)
    return f"{int(text[:2])}{text[2]} {text[3:5]} {text[5:10]} {text[10:]}"


def position_texts(position: tuple[float, float]) -> list[tuple[str, str]]:
    """The names of the four ways of writing and what each writes, or why it writes nothing."""
    ways = [
        (_("Decimal degrees"), decimal_text),
        (_("Minutes and seconds"), dms_text),
        (_("UTM"), utm_text),
        (_("MGRS"), mgrs_text),
    ]
    return [(name, _or_reason(way, position)) for name, way in ways]


def _or_reason(way, position) -> str:
    try:
        return way(position)
    except PositionError as reason:
        return str(reason)


def _sides(position) -> tuple[str, str]:
    latitude_deg, longitude_deg = position
    return _("N") if latitude_deg >= 0.0 else _("S"), _("E") if longitude_deg >= 0.0 else _("W")


def _sexagesimal(size: float) -> str:
    # In tenths of a second first, so that 59.96 seconds carry over instead of showing 60.0.
    minutes, tenths = divmod(round(size * 36_000), 600)
    degrees, minutes = divmod(minutes, 60)
    return f"{degrees}° {minutes:02d}′ {tenths / 10:04.1f}″"


def _require_grid(latitude_deg: float) -> None:
    if not utm.is_on_grid(latitude_deg):
        raise PositionError(_("Not defined beyond 84° N and 80° S."))


@lru_cache(maxsize=120)
def _grid(zone: int, south: bool) -> Proj:
    return Proj(proj="utm", zone=zone, south=south, ellps="WGS84")


def _read_mgrs(text: str, zone: str, letter: str, square: str, figures: str) -> Position:
    _check_zone(int(zone))
    _check_band(int(zone), letter)
    if len(figures) % 2:
        raise PositionError(
            _("“%(text)s” has %(number)s figures: easting and northing need equally many.")
            % {"text": text, "number": len(figures)}
        )
    if len(figures) < 2 * LEAST_FIGURES:
        raise PositionError(
            _("“%(text)s” is too coarse: give at least three figures each way (100 m).")
            % {"text": text}
        )
    if len(figures) > 10:
        raise PositionError(
            _("“%(text)s” has more than five figures each way (1 m).") % {"text": text}
        )
    no_square = _("There is no square %(square)s in %(zone)s%(band)s.") % {
        "square": square,
        "zone": int(zone),
        "band": letter,
    }
    try:
        _zone, hemisphere, easting_m, northing_m = MGRS().MGRSToUTM(
            f"{int(zone)}{letter}{square}{figures}"
        )
    except (MGRSError, RuntimeWarning) as error:
        raise PositionError(no_square) from error
    south = hemisphere == "S"
    position = _from_grid(int(zone), south, easting_m, northing_m)
    if not _is_in_zone(position, int(zone)) or not _is_in_band(position, letter):
        raise PositionError(no_square)
    return position


def _read_utm(text: str, found: re.Match) -> Position:
    zone, side = int(found["zone"]), found["side"]
    _check_zone(zone)
    easting_m = _metres(found["easting"])
    northing_m = _metres(found["northing"])
    if not _EASTINGS_M[0] <= easting_m <= _EASTINGS_M[1]:
        raise PositionError(
            _("The easting %(typed)s is not from 100000 to 900000 m.") % {"typed": found["easting"]}
        )
    if not _NORTHINGS_M[0] <= northing_m <= _NORTHINGS_M[1]:
        raise PositionError(
            _("The northing %(typed)s is not from 0 to 10000000 m.") % {"typed": found["northing"]}
        )
    if side in {"NORTH", "SOUTH"}:
        return _of_hemisphere(zone, side == "SOUTH", easting_m, northing_m)
    if side not in {"N", "S"}:
        _check_band(zone, side)
        return _of_band(text, zone, side, easting_m, northing_m)
    return _of_doubtful_letter(text, zone, side, easting_m, northing_m)


def _of_doubtful_letter(text, zone, side, easting_m, northing_m) -> Position:
    """N and S are names of bands as well as hemispheres. Band N is in the north anyway."""
    if side == "N":
        return _of_hemisphere(zone, False, easting_m, northing_m)
    try:
        _of_band(text, zone, "S", easting_m, northing_m)
    except PositionError:
        return _of_hemisphere(zone, True, easting_m, northing_m)
    raise PositionError(
        _(
            "“%(text)s”: S can mean the southern hemisphere or band S (32° to 40° N). Write "
            "%(zone)s south or %(zone)s north."
        )
        % {"text": text, "zone": zone}
    )


def _of_hemisphere(zone: int, south: bool, easting_m: float, northing_m: float) -> Position:
    position = _from_grid(zone, south, easting_m, northing_m)
    half = position.latitude_deg <= 0.0 if south else position.latitude_deg >= 0.0
    if not half or not utm.is_on_grid(position.latitude_deg):
        raise PositionError(
            _("This northing is not in the hemisphere written, or beyond the grid (84° N, 80° S).")
        )
    if not _is_in_zone(position, zone):
        raise PositionError(
            _("At this northing the easting lies outside zone %(zone)s.") % {"zone": zone}
        )
    return position


def _of_band(text: str, zone: int, letter: str, easting_m: float, northing_m: float) -> Position:
    position = _of_hemisphere(zone, letter < "N", easting_m, northing_m)
    if not _is_in_band(position, letter):
        raise PositionError(
            _("“%(text)s”: this northing is not in band %(band)s.") % {"text": text, "band": letter}
        )
    return position


def _from_grid(zone: int, south: bool, easting_m: float, northing_m: float) -> Position:
    longitude_deg, latitude_deg = _grid(zone, south)(easting_m, northing_m, inverse=True)
    for edge_deg in (utm.SOUTH_LIMIT_DEG, 0.0, utm.NORTH_LIMIT_DEG):
        # Whole metres at the edge of the grid or of a half of it may lie just over it.
        if abs(latitude_deg - edge_deg) < _ROUNDING_DEG:
            latitude_deg = edge_deg
    return Position(latitude_deg, longitude_deg)


def _check_zone(zone: int) -> None:
    if not 1 <= zone <= 60:
        raise PositionError(_("There is no zone %(zone)s: they run from 1 to 60.") % {"zone": zone})


def _check_band(zone: int, letter: str) -> None:
    if letter not in utm.BANDS:
        raise PositionError(_("There is no band %(band)s.") % {"band": letter})
    if letter == "X" and zone in {32, 34, 36}:
        raise PositionError(
            _("Zone %(zone)s has no band X: over Svalbard its neighbours are wider.")
            % {"zone": zone}
        )


def _is_in_zone(position: Position, zone: int) -> bool:
    return utm.is_on_grid(position.latitude_deg) and any(
        utm.zone(latitude_deg=position.latitude_deg, longitude_deg=position.longitude_deg + shift)
        == zone
        for shift in (0.0, -_ZONE_OVERLAP_DEG, _ZONE_OVERLAP_DEG)
    )


def _is_in_band(position: Position, letter: str) -> bool:
    # A square's corner, or a rounded northing, may lie just over the edge.
    return any(
        utm.band(min(84.0, max(-80.0, position.latitude_deg + shift))) == letter
        for shift in (0.0, -_BAND_OVERLAP_DEG, _BAND_OVERLAP_DEG)
    )


def _metres(typed: str) -> float:
    """Metres with at most one decimal sign; a thousands sign could be meant otherwise."""
    digits = typed.rstrip(".,").replace(",", ".")
    whole, _point, decimals = digits.partition(".")
    if "." in decimals or (decimals and len(whole) < 4):
        raise PositionError(
            _("“%(typed)s” is not read: write metres without thousands signs.") % {"typed": typed}
        )
    return float(digits)
