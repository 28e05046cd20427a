"""The lettering of sheets: embedded, so that a print shop or a phone shows the same names.

Fira Sans covers Latin with its extensions, Greek, Cyrillic and Vietnamese; Noto Sans Arabic
stands in for Arabic letters, joined and put in order here since reportlab draws characters as
they come. What both lack is never dropped or boxed: `printable` writes the character's Unicode
number instead, and the sheet says so (`missing_characters`).
"""

import re
import unicodedata
from functools import lru_cache

import arabic_reshaper
import fontpkg
from bidi.algorithm import get_display
from reportlab.graphics.shapes import STATE_DEFAULTS
from reportlab.lib.fonts import addMapping
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus.tables import CellStyle

REGULAR, BOLD, ITALIC, BOLD_ITALIC = "Sheet", "Sheet-Bold", "Sheet-Italic", "Sheet-BoldItalic"
ARABIC = "Sheet-Arabic"
_FAMILY, _ARABIC_FAMILY = "Fira Sans", "Noto Sans Arabic"
_ARABIC = re.compile("[\u0600-\u06ff\u0750-\u077f\u08a0-\u08ff\ufb50-\ufdff\ufe70-\ufefe]+")
# Most words of a packet stand on many pages of it, and on those of others.
KEPT = 20_000
_FACES = {
    REGULAR: (400, "normal"),
    BOLD: (600, "normal"),
    ITALIC: (400, "italic"),
    BOLD_ITALIC: (600, "italic"),
}


@lru_cache(maxsize=1)
def register() -> None:
    """Make the faces known to reportlab; done once, needed before anything is measured."""
    for name, (weight, style) in _FACES.items():
        path = fontpkg.path(_FAMILY, weight=weight, style=style)
        pdfmetrics.registerFont(TTFont(name, str(path)))
    pdfmetrics.registerFont(TTFont(ARABIC, str(fontpkg.path(_ARABIC_FAMILY))))
    # Empty cells of tables and drawings without words set a face as well: one that files carry.
    CellStyle.fontname = STATE_DEFAULTS["fontName"] = REGULAR
    for bold in (0, 1):
        for italic in (0, 1):
            addMapping(REGULAR, bold, italic, tuple(_FACES)[bold + 2 * italic])


@lru_cache(maxsize=KEPT)
def text_width(text: str, size: float, font: str = REGULAR) -> float:
    """Width in points of a line of text."""
    register()
    return sum(
        pdfmetrics.stringWidth(part, ARABIC if is_arabic else font, size)
        for is_arabic, part in runs(text)
    )


def runs(text: str) -> list[tuple[bool, str]]:
    """Printable text cut where it goes into Arabic letters and out of them."""
    if text.isascii():
        return [(False, text)] if text else []
    found, end = [], 0
    for match in _ARABIC.finditer(text):
        if match.start() > end:
            found.append((False, text[end : match.start()]))
        found.append((True, match.group()))
        end = match.end()
    if end < len(text):
        found.append((False, text[end:]))
    return found


def _is_arabic(character: str) -> bool:
    return _ARABIC.fullmatch(character) is not None


@lru_cache(maxsize=1)
def _covered() -> frozenset[int]:
    register()
    # Only what every face has, since a name may be set in any of them.
    return frozenset.intersection(
        *(frozenset(pdfmetrics.getFont(name).face.charToGlyph) for name in _FACES)
    )


@lru_cache(maxsize=1)
def _covered_arabic() -> frozenset[int]:
    register()
    return frozenset(pdfmetrics.getFont(ARABIC).face.charToGlyph)


def _composed(text: str) -> str:
    return unicodedata.normalize("NFC", text)


def _in_visual_order(text: str) -> str:
    """Arabic letters in the shapes that join, each line from left to right as it is drawn."""
    # Shapes that were made before stay: they stand in visual order already.
    if not any(ord(c) < 0xFB50 and c.isalpha() for part in _ARABIC.findall(text) for c in part):
        return text
    return "\n".join(
        get_display(arabic_reshaper.reshape(line), base_dir="L") for line in text.split("\n")
    )


def _shows(character: str) -> bool:
    """Whether it is a letter, a sign or a space; not a control or a direction mark."""
    return character.isprintable() or character in "\n\t" or unicodedata.category(character) == "Zs"


def _lacks(character: str) -> bool:
    if character in "\n\t" or ord(character) in _covered():
        return False
    return not (_is_arabic(character) and ord(character) in _covered_arabic())


def missing_characters(text: str) -> list[str]:
    """The characters of `text` that the lettering lacks, each once, in order of appearance."""
    return list(_missing(text))


@lru_cache(maxsize=KEPT)
def _missing(text: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(c for c in _composed(text) if _shows(c) and _lacks(c)))


def printable(text: str) -> str:
    """`text` with each character that the lettering lacks as its number, such as [U+674E].

    Characters that show nothing (controls, direction marks) are left out.
    """
    return _printable(str(text))


@lru_cache(maxsize=KEPT)
def _printable(text: str) -> str:
    return "".join(
        f"[U+{ord(character):04X}]" if _lacks(character) else character
        for character in _in_visual_order(_composed(text))
        if _shows(character)
    )
