"""The lettering: what it covers, and what is said of the rest."""

import pytest

from assessments.sheets import fonts


@pytest.mark.parametrize(
    "name",
    [
        "Åse Østbø",
        "Łukasz Żółć",
        "İğdır Şen",
        "Ελένη Παπαδοπούλου",
        "Юлія Ґалаґан",
        "Nguyễn Thị Ẩn",
    ],
)
def test_names_in_european_scripts_and_vietnamese_are_printed_as_they_are(name):
    assert fonts.missing_characters(name) == []
    assert fonts.printable(name) == name


def test_letters_typed_as_parts_are_put_together():
    assert fonts.printable("A\u030ase") == "Åse"


def test_characters_that_are_lacking_are_printed_as_numbers():
    assert fonts.printable("Li 李") == "Li [U+674E]"
    assert fonts.missing_characters("李 and 李, 明") == ["李", "明"]


def test_characters_that_show_nothing_are_left_out():
    assert fonts.printable("a\u200e\x07b") == "ab"
    assert fonts.missing_characters("a\u200e\x07b") == []
