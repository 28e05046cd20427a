"""The Markdown of an outline as the parts of a sheet: paragraphs, lists, tables, headings."""

from collections.abc import Callable, Iterator
from functools import lru_cache

from markdown_it.token import Token
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable

from assessments.sheets import fonts
from assessments.sheets.layout import STYLES, Composer, ruled
from assessments.sheets.tagging import Paragraph, Rule
from coursework import markdown

_INDENT = 11.0
_BULLETS = ("•", "–")


def outline_parts(text: str, composer: Composer) -> list[Flowable]:
    """An outline as flowables of the composer's width; links are followed by their address."""
    return list(_Outline(composer).blocks(markdown.parse(text)))


class _Outline:
    def __init__(self, composer: Composer) -> None:
        self.composer = composer
        # One entry a list that is open: its next number, or None for a list of bullets.
        self.lists: list[int | None] = []
        self.bullet = ""
        self.quoted = 0

    def blocks(self, tokens: list[Token]) -> Iterator[Flowable]:
        place = 0
        while place < len(tokens):
            token = tokens[place]
            match token.type:
                case "bullet_list_open":
                    self.lists.append(None)
                case "ordered_list_open":
                    self.lists.append(int(token.attrs.get("start", 1)))
                case "bullet_list_close" | "ordered_list_close":
                    self.lists.pop()
                case "list_item_open":
                    self.bullet = self._next_bullet()
                case "blockquote_open":
                    self.quoted += 1
                case "blockquote_close":
                    self.quoted -= 1
                case "heading_open":
                    yield self._paragraph(self._inline(tokens[place + 1]), heading=True)
                    place += 2
                case "inline":
                    yield self._paragraph(self._inline(token))
                case "fence" | "code_block":
                    yield self._paragraph(self.composer.markup(token.content.rstrip("\n")))
                case "html_block":
                    yield self._paragraph(self.composer.markup(token.content.strip()))
                case "hr":
                    yield Rule(width="100%", thickness=0.5, spaceBefore=3, spaceAfter=3)
                case "table_open":
                    end = _closing(tokens, place)
                    yield self._table(tokens[place:end])
                    place = end
            place += 1

    def _next_bullet(self) -> str:
        number = self.lists[-1]
        if number is None:
            return _BULLETS[(len(self.lists) - 1) % len(_BULLETS)]
        self.lists[-1] = number + 1
        return f"{number}."

    def _paragraph(self, markup: str, *, heading: bool = False) -> Paragraph:
        bullet, self.bullet = self.bullet, ""
        style = _style(heading, len(self.lists), self.quoted, bool(bullet))
        return Paragraph(markup, style, bulletText=bullet or None)

    def _table(self, tokens: list[Token]) -> Flowable:
        rows: list[list[Paragraph]] = []
        for place, token in enumerate(tokens):
            if token.type == "tr_open":
                rows.append([])
            elif token.type in {"th_open", "td_open"}:
                style = STYLES["label" if token.type == "th_open" else "small"]
                rows[-1].append(Paragraph(self._inline(tokens[place + 1]), style))
        width = self.composer.width / max(len(row) for row in rows)
        return ruled(rows, [width] * len(rows[0]), header=True)

    def _inline(self, token: Token) -> str:
        """Markup of a line of text. What is not known is printed as its words."""
        parts, address = [], ""
        for child in token.children or []:
            if child.type == "link_open":
                address = str(child.attrs.get("href", ""))
            elif child.type == "link_close":
                shown = self.composer.markup(address)
                # An address that stands there in full already is not said twice.
                if not parts or parts[-1] != shown:
                    parts.append(f" ({shown})")
            else:
                parts.append(_INLINE.get(child.type, _words)(child, self.composer))
        return "".join(parts)


@lru_cache(maxsize=64)
def _style(heading: bool, lists: int, quoted: int, begins_item: bool) -> ParagraphStyle:
    """One object for all paragraphs of a kind, which are laid out once by it."""
    base, depth = STYLES["label" if heading else "small"], lists + quoted
    return ParagraphStyle(
        f"outline-{heading}-{depth}-{begins_item}",
        parent=base,
        leftIndent=_INDENT * depth,
        bulletIndent=_INDENT * (depth - 1) + 1 if depth else 0,
        spaceBefore=5 if heading else 0,
        spaceAfter=2,
        keepWithNext=int(heading),
        bulletFontName=fonts.REGULAR,
        bulletFontSize=base.fontSize,
        kind="LI" if begins_item else "H3" if heading else "P",
        depth=lists,
    )


def _words(child: Token, composer: Composer) -> str:
    return composer.markup(child.content)


_INLINE: dict[str, Callable[[Token, Composer], str]] = {
    "strong_open": lambda _child, _composer: "<b>",
    "strong_close": lambda _child, _composer: "</b>",
    "em_open": lambda _child, _composer: "<i>",
    "em_close": lambda _child, _composer: "</i>",
    "softbreak": lambda _child, _composer: " ",
    "hardbreak": lambda _child, _composer: "<br/>",
}


def _closing(tokens: list[Token], opening: int) -> int:
    """Where the table that opens there is closed."""
    return next(
        place for place in range(opening, len(tokens)) if tokens[place].type == "table_close"
    )
