"""Outlines on a page: what may come through, and what never does."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coursework.markdown import render


@pytest.mark.parametrize(
    "evil",
    [
        "<script>alert(1)</script>",
        "<p style='x'>a</p>",
        "<img src=x onerror=alert(1)>",
        "[a](javascript:alert(1))",
        "[a](JaVaScRiPt:alert(1))",
        "[a](data:text/html,x)",
        "[a](vbscript:x)",
        "![a](https://elsewhere.test/x.png)",
        "<https://a.test/\" onclick=\"x>",
        '[a](https://a.test "\\" onclick=\\"x")',
    ],
)  # fmt: skip
def test_nothing_that_runs_or_loads_comes_through(evil):
    shown = render(evil)
    assert not re.search(r"<(script|img|style|p style)", shown)
    assert not re.search(r'href="(?!https?:|mailto:)', shown)
    assert not re.search(r"<[^>]*\son[a-z]+=[\"']", re.sub(r'"[^"]*"', '""', shown))


def test_a_link_hands_no_trust_on():
    shown = render("[handbook](https://school.test/)")
    assert shown == '<p><a href="https://school.test/" rel="nofollow noopener">handbook</a></p>\n'


@pytest.mark.parametrize(
    ("text", "tags"),
    [("# a", ["h3"]), ("## a\n### b", ["h3", "h4"]), ("# a\n###### b", ["h3", "h6"])],
)
def test_headings_go_on_from_those_of_the_page(text, tags):
    assert re.findall(r"<(h\d)>", render(text)) == tags


def test_the_columns_of_a_table_carry_no_style():
    shown = render("| a | b |\n|:--|--:|\n| 1 | 2 |")
    assert "<table>" in shown
    assert "style" not in shown


@given(st.text(alphabet="<>\"'`=/ \n#*[](){}!:-|&;javscriptonx", max_size=80))
def test_whatever_is_typed_only_known_tags_come_out(text):
    shown = render(text)
    known = "p|a|em|strong|code|pre|ul|ol|li|h[3-6]|hr|br|blockquote|table|thead|tbody|tr|th|td"
    for tag in re.findall(r"<[^>]*>", shown):
        assert re.fullmatch(
            rf'</?({known})( (href|rel|title|start|class)="[^"<>]*")*( /)?>', tag
        ), tag
