"""Outlines on paper."""

from io import BytesIO

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from assessments.sheets.markdown_parts import outline_parts
from assessments.sheets.pocket import PocketComposer


def printed(text: str) -> str:
    composer = PocketComposer("a4")
    pdf = composer.pdf(outline_parts(text, composer), title="t", author="a", footer="f")
    return " ".join(" ".join(page.extract_text().split()) for page in PdfReader(BytesIO(pdf)).pages)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("# Title\n\nwords", "Title words"),
        ("- one\n- two", "• one • two"),
        ("3. three\n4. four", "3. three 4. four"),
        ("- a\n  - b", "• a – b"),
        ("**bold** and *slanted*", "bold and slanted"),
        ("[handbook](https://school.test/a)", "handbook (https://school.test/a)"),
        ("<https://school.test/a>", "https://school.test/a Notes"),
        ("| a | b |\n|---|---|\n| 1 | 2 |", "a b 1 2"),
        ("> quoted", "quoted"),
        ("    code <b>", "code <b>"),
        ("<b>raw</b> & more", "<b>raw</b> & more"),
        ("one\ntwo  \nthree", "one two three"),
    ],
)
def test_what_is_written_is_printed(text, said):
    assert said in printed(text)


@settings(max_examples=60)
@given(st.text(alphabet="ab <>&\"'`=/\n#*_[](){}!:-|1.>\t", max_size=120))
def test_whatever_is_typed_can_be_printed(text):
    printed(text)
