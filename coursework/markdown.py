"""Markdown of lesson outlines, safe on a page: no raw HTML, no images, no foreign code.

The syntax is CommonMark with tables. Links open without handing the page's trust on.
"""

from functools import lru_cache
from typing import Any

from django.utils.safestring import SafeString, mark_safe
from markdown_it import MarkdownIt
from markdown_it.token import Token

# A page has one first-level heading, and its sections second-level ones: the highest heading of
# an outline is the next below, whichever its author began with.
_FIRST = 3
_DEEPEST = 6


@lru_cache(maxsize=1)
def _reader() -> MarkdownIt:
    # Raw HTML is shown as it was typed; markdown-it itself refuses javascript: and data: links.
    reader = MarkdownIt("commonmark", {"html": False}).enable("table").disable("image")
    reader.add_render_rule("link_open", _link_open)
    return reader


def _link_open(self, tokens: list[Token], index: int, options: Any, env: Any) -> str:
    tokens[index].attrSet("rel", "nofollow noopener")
    return self.renderToken(tokens, index, options, env)


def parse(text: str) -> list[Token]:
    """The block tokens of a text, for whoever draws it on paper."""
    tokens = _reader().parse(text)
    levels = [int(token.tag[1]) for token in tokens if token.type == "heading_open"]
    deeper = _FIRST - min(levels, default=_FIRST)
    for token in tokens:
        if token.type in {"heading_open", "heading_close"}:
            token.tag = f"h{min(int(token.tag[1]) + deeper, _DEEPEST)}"
        # The alignment of a column comes as an inline style, which the page's policy refuses.
        token.attrs.pop("style", None)
    return tokens


def render(text: str) -> SafeString:
    """A text as HTML: headings from the third level down, links without trust."""
    reader = _reader()
    return mark_safe(reader.renderer.render(parse(text), reader.options, {}))
