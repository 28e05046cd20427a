"""Latitude and longitude as people write them: decimal degrees, or degrees and minutes."""

import re
from dataclasses import dataclass, field

from django.utils.translation import gettext as _

_TOKEN = re.compile(
    r"(?P<number>[+-]?(?:\d+(?:[.,]\d+)?|[.]\d+))|(?P<letter>[A-Za-z]+)"
    r"|(?P<degree>[°º˚])|(?P<second>″|”|“|\"|''|’’|′′)|(?P<minute>[′’‘'´])"
    r"|(?P<gap>\s*[,;/]\s*|\s+)|(?P<other>.)",
    re.ASCII,
)
_COMMA_BETWEEN_DIGITS = re.compile(r"\d,\d")
_UNITS = ("degree", "minute", "second")
_SIDES = {"N": ("latitude", 1.0), "S": ("latitude", -1.0), "E": ("longitude", 1.0)}
_SIDES |= {"W": ("longitude", -1.0)}
_WORDS = {"NORTH": "N", "SOUTH": "S", "EAST": "E", "WEST": "W"}


class PositionError(ValueError):
    """A text that is no position, or not a certain one; the message is a sentence for people."""


@dataclass
class _Angle:
    """The numbers of one coordinate as they come, with the units written behind them."""

    numbers: list[str] = field(default_factory=list)
    units: list[str] = field(default_factory=list)
    side: str = ""


def read_geographic(text: str) -> tuple[float, float]:
    """(latitude, longitude) in degrees, north and east positive; PositionError otherwise.

    Both need a letter (N or S, E or W, in either order), or neither: then latitude is first.
    A comma between digits is decimal where no point stands in the text and both have one.
    """
    angles = _two_angles(text)
    values = [_degrees(angle) for angle in angles]
    sides = [angle.side for angle in angles]
    if not any(sides):
        latitude_deg, longitude_deg = values
    else:
        latitude_deg, longitude_deg = _by_side(sides, values)
    if abs(latitude_deg) > 90.0:
        sentence = _("Latitude is from −90° to 90°, and %(number)s is not.")
        if not any(sides):
            sentence = _("Latitude comes first and is from −90° to 90°: %(number)s is not.")
        raise PositionError(sentence % {"number": _shown(latitude_deg)})
    if abs(longitude_deg) > 180.0:
        raise PositionError(
            _("Longitude is from −180° to 180°, and %(number)s is not.")
            % {"number": _shown(longitude_deg)}
        )
    return latitude_deg, longitude_deg


def _shown(value: float) -> str:
    return f"{value:g}°".replace("-", "−")


def _two_angles(text: str) -> list[_Angle]:
    tokens = _tokens(text)
    lettered = [word for kind, word in tokens if kind == "side"]
    if lettered:
        if len(lettered) != 2:
            raise PositionError(_("Write N or S with the latitude and E or W with the longitude."))
        return _lettered(text, tokens)
    return _bare(text, tokens)


def _tokens(text: str) -> list[tuple[str, str]]:
    tokens: list[tuple[str, str]] = []
    for match in _TOKEN.finditer(_with_plain_decimals(text)):
        kind, word = match.lastgroup, match.group()
        if kind == "letter":
            word = _side(text, word)
            kind = "degree" if word == "D" else "side"
        if kind == "gap" and not word.strip():
            continue
        if kind == "other":
            raise PositionError(
                _("“%(sign)s” in “%(text)s” is not understood.") % {"sign": word, "text": text}
            )
        tokens.append((kind, word))
    return tokens


def _side(text: str, word: str) -> str:
    letter = _WORDS.get(word.upper(), word.upper())
    if letter == "O":
        raise PositionError(_("O may be west or east, depending on the language: write W or E."))
    if letter not in _SIDES and letter != "D":
        raise PositionError(
            _(
                "“%(text)s” is not understood: “%(word)s” is not N, S, E or W. Write decimal "
                "degrees, degrees and minutes, UTM or MGRS."
            )
            % {"text": text, "word": word}
        )
    return letter


def _with_plain_decimals(text: str) -> str:
    """The text with points before decimals, and the minus sign that keyboards have.

    A comma between two digits is decimal where the text has no point, and the numbers that are
    then found leave no doubt; where points are decimal it parts the numbers.
    """
    text = text.replace("−", "-").replace("–", "-")
    commas = _COMMA_BETWEEN_DIGITS.findall(text)
    if not commas:
        return text
    if "." in text:
        return re.sub(r"(?<=\d),(?=\d)", ", ", text)
    if re.search(r"\d,\d+,\d", text) or (len(commas) == 1 and not _has_sides(text)):
        raise PositionError(
            _(
                "The comma in “%(text)s” may be decimal or part the numbers. Write points before "
                "decimals, and a space between the numbers."
            )
            % {"text": text}
        )
    return re.sub(r"(?<=\d),(?=\d)", ".", text)


def _has_sides(text: str) -> bool:
    return bool(re.search(r"[NSns].*[EWew]|[EWew].*[NSns]", text))


def _lettered(text: str, tokens: list[tuple[str, str]]) -> list[_Angle]:
    """Each with its letter before its numbers, or each behind."""
    leads = next(kind for kind, _word in tokens if kind != "gap") == "side"
    angles = [_Angle()] if not leads else []
    for kind, word in tokens:
        if kind == "side":
            if leads:
                angles.append(_Angle(side=word))
            else:
                angles[-1].side = word
                angles.append(_Angle())
        elif kind != "gap":
            _add(text, angles[-1], kind, word)
    angles = [angle for angle in angles if angle.numbers or angle.side]
    if len(angles) != 2 or not all(angle.numbers and angle.side for angle in angles):
        raise PositionError(
            _("“%(text)s”: write each letter behind its number, or each before it.")
            % {"text": text}
        )
    return angles


def _bare(text: str, tokens: list[tuple[str, str]]) -> list[_Angle]:
    """Two numbers without letters, parted by a sign or by where degrees begin again."""
    parts: list[list[tuple[str, str]]] = [[]]
    for kind, word in tokens:
        if kind == "gap":
            parts.append([])
        else:
            parts[-1].append((kind, word))
    units = [word for kind, word in tokens if kind in _UNITS]
    if len(parts) == 1:
        parts = _parted(parts[0], marked=bool(units))
    if not units and sum(kind == "number" for kind, _word in tokens) in {4, 6}:
        raise PositionError(
            _("Degrees and minutes need their signs (° ′) or the letters N or S and E or W.")
        )
    angles = []
    for part in parts:
        angles.append(_Angle())
        for kind, word in part:
            _add(text, angles[-1], kind, word)
    if len(angles) != 2 or not all(angle.numbers for angle in angles):
        raise PositionError(_("“%(text)s” is not a latitude and a longitude.") % {"text": text})
    return angles


def _parted(tokens: list[tuple[str, str]], *, marked: bool) -> list[list[tuple[str, str]]]:
    """One run of numbers cut where a number is followed by a degree sign, or at each number."""
    parts: list[list[tuple[str, str]]] = []
    for index, (kind, word) in enumerate(tokens):
        following = tokens[index + 1][0] if index + 1 < len(tokens) else ""
        begins = kind == "number" and (following == "degree" or not marked)
        if begins or not parts:
            parts.append([])
        parts[-1].append((kind, word))
    return parts


def _add(text: str, angle: _Angle, kind: str, word: str) -> None:
    if kind == "number":
        angle.numbers.append(word)
        return
    place = len(angle.numbers)
    if place == 0 or place > 3 or _UNITS[place - 1] != kind or len(angle.units) >= place:
        raise PositionError(
            _("“%(text)s”: write degrees, then minutes, then seconds.") % {"text": text}
        )
    angle.units.append(kind)


def _degrees(angle: _Angle) -> float:
    first = angle.numbers[0]
    if angle.side and first[0] in "+-":
        raise PositionError(
            _("%(number)s has a sign and the letter %(side)s: write only one of them.")
            % {"number": first.replace("-", "−"), "side": angle.side}
        )
    if len(angle.numbers) > 3:
        raise PositionError(
            _("Too many numbers: each of the two has degrees, minutes and seconds at most.")
        )
    for number in angle.numbers[:-1]:
        if "." in number or "," in number:
            raise PositionError(
                _("Only the last number of an angle has decimals, and %(number)s has some.")
                % {"number": number}
            )
    for name, number in zip((_("minutes"), _("seconds")), angle.numbers[1:], strict=False):
        if number[0] in "+-" or float(number) >= 60.0:
            raise PositionError(
                _("%(number)s %(name)s: must be from 0 to less than 60.")
                % {"number": number, "name": name}
            )
    parts = [abs(float(number)) for number in angle.numbers]
    size = sum(part / 60.0**place for place, part in enumerate(parts))
    return -size if first.startswith("-") or _SIDES.get(angle.side, ("", 1.0))[1] < 0 else size


def _by_side(sides: list[str], values: list[float]) -> tuple[float, float]:
    found = {_SIDES[side][0]: value for side, value in zip(sides, values, strict=True)}
    if len(found) != 2:
        raise PositionError(_("Write N or S with the latitude and E or W with the longitude."))
    return found["latitude"], found["longitude"]
