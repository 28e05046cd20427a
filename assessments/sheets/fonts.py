"""The lettering of sheets: embedded, so that a print shop or a phone shows the same names.

Fira Sans covers Latin with its extensions, Greek, Cyrillic and Vietnamese. What it lacks is
never dropped or boxed: `printable` writes the character's Unicode number instead, and the
sheet says so (`missing_characters`).
"""

import unicodedata
from functools import lru_cache

import fontpkg
from reportlab.lib.fonts import addMapping
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

REGULAR, BOLD, ITALIC, BOLD_ITALIC = "Sheet", "Sheet-Bold", "Sheet-Italic", "Sheet-BoldItalic"
_FAMILY = "Fira Sans"
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
    for bold in (0, 1):
        for italic in (0, 1):
            addMapping(REGULAR, bold, italic, tuple(_FACES)[bold + 2 * italic])


def text_width(text: str, size: float, font: str = REGULAR) -> float:
    """Width in points of a line of text."""
    register()
    return pdfmetrics.stringWidth(text, font, size)


@lru_cache(maxsize=1)
def _covered() -> frozenset[int]:
    register()
    # Only what every face has, since a name may be set in any of them.
    return frozenset.intersection(
        *(frozenset(pdfmetrics.getFont(name).face.charToGlyph) for name in _FACES)
    )


def _composed(text: str) -> str:
    return unicodedata.normalize("NFC", text)


def _shows(character: str) -> bool:
    """Whether it is a letter, a sign or a space; not a control or a direction mark."""
    return character.isprintable() or character in "\n\t" or unicodedata.category(character) == "Zs"


def _lacks(character: str) -> bool:
    return character not in "\n\t" and ord(character) not in _covered()


def missing_characters(text: str) -> list[str]:
    """The characters of `text` that the lettering lacks, each once, in order of appearance."""
    return list(dict.fromkeys(c for c in _composed(text) if _shows(c) and _lacks(c)))


def printable(text: str) -> str:
    """`text` with each character that the lettering lacks as its number, such as [U+674E].

    Characters that show nothing (controls, direction marks) are left out.
    """
    return "".join(
        f"[U+{ord(character):04X}]" if _lacks(character) else character
        for character in _composed(str(text))
        if _shows(character)
    )
