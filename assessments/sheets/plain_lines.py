"""Paragraphs without markup: broken into lines once, however often and in however many files.

Most of a packet is the same prose as in every other. Lines are broken by reportlab; what has
markup in it, or a style that is not as plain, is left to reportlab altogether.
"""

from dataclasses import dataclass
from functools import cached_property, lru_cache

from reportlab.lib.colors import Color
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase import pdfmetrics
from reportlab.platypus import paragraph

from assessments.sheets import fonts
from assessments.sheets.operators import Letters

_LEFT, _RIGHT = 0, 2
# What a style may ask for beyond letters; each is unset, or an empty value, where it does not.
_MORE = (
    "backColor", "borderColor", "bulletOffsetY", "bulletText", "embeddedHyphenation", "endDots",
    "hyphenationLang", "shaping", "textTransform", "wordWrap",
)  # fmt: skip


@dataclass(frozen=True)
class Laid:
    """A paragraph in a width; `broken` are its lines as reportlab has them."""

    text: str
    style: ParagraphStyle
    bullet: str
    broken: object
    height: float

    @cached_property
    def _lines(self) -> list[tuple[float, str, str]]:
        """Each line with its distance from the left edge and what sets its spaces narrower."""
        style, found = self.style, []
        first, at = style.firstLineIndent, 0
        if self.bullet:
            width = pdfmetrics.stringWidth(self.bullet, style.bulletFontName, style.bulletFontSize)
            end = style.bulletIndent + width + style.bulletFontSize * 0.6
            first = max(first, end - style.leftIndent)
        for number, (spare, words) in enumerate(self.broken.lines):
            for word in words:
                at = max(at, self.text.find(word, at) + len(word))
            left = style.leftIndent + (first if number == 0 else 0.0)
            text, spaces = " ".join(words), ""
            if spare < -1e-8:
                # Reportlab takes a word that goes into a line with its spaces drawn together.
                gaps = len(words) - 1 + text.count("\xa0")
                spaces = f"{spare / gaps:.4f} Tw " if gaps else ""
            elif style.alignment == _RIGHT:
                left += spare
            # A space parts words at the ends of lines (ISO 32000-1, 14.8.2.5); none is put into a
            # word that is wider than its line.
            found.append((left, f"{text} " if self.text[at : at + 1].isspace() else text, spaces))
        return found

    @cached_property
    def _colour(self) -> str:
        colour = self.style.textColor
        return f"{colour.red:.4g} {colour.green:.4g} {colour.blue:.4g} rg"

    def operators(self, letters: Letters, x: float, y: float, after_label: str = "") -> str:
        """What draws it with its lower left corner there; `after_label` is put behind a bullet."""
        style = self.style
        base = y + self.height - style.fontSize
        told = ["q", self._colour]
        if self.bullet:
            at = (x + style.bulletIndent, base)
            told.append(letters.shown(at, style.bulletFontName, style.bulletFontSize, self.bullet))
            if after_label:
                told.append(after_label)
        font, size = style.fontName, style.fontSize
        for left, words, spaces in self._lines:
            shown = letters.shown((x + left, base), font, size, words)
            told.append(f"{spaces}{shown} 0 Tw" if spaces else shown)
            base -= style.leading
        told.append("Q")
        return " ".join(told)


def is_plain(text: str, style: ParagraphStyle) -> bool:
    """Whether there are words without markup, in a style that asks for no more than letters."""
    return "<" not in text and "&" not in text and bool(text.strip()) and _is_plain(style)


@lru_cache(maxsize=64)
def _is_plain(style: ParagraphStyle) -> bool:
    if style.alignment not in (_LEFT, _RIGHT) or style.bulletAnchor != "start":
        return False
    if any(getattr(style, name, None) for name in _MORE):
        return False
    colours = {style.textColor, getattr(style, "bulletColor", style.textColor)}
    return len(colours) == 1 and isinstance(style.textColor, Color) and style.textColor.alpha == 1


@lru_cache(maxsize=fonts.KEPT)
def fragments(text: str, style: ParagraphStyle) -> list:
    """What reportlab makes of words without markup; not to be changed."""
    return [_fragment(style).clone(text=text)]


@lru_cache(maxsize=64)
def _fragment(style: ParagraphStyle):
    (found,) = paragraph.Paragraph("words", style).frags
    return found


@lru_cache(maxsize=fonts.KEPT)
def laid(text: str, style: ParagraphStyle, bullet: str, width: float) -> Laid:
    made = paragraph.Paragraph(None, style, bullet or None, frags=fragments(text, style))
    made.wrap(width, 1e6)
    return Laid(text, style, bullet, made.blPara, made.height)
