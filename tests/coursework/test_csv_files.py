import pytest
from hypothesis import given
from hypothesis import strategies as st

from coursework.csv_files import FileError, rows_of, text_of


def read(text: str, most_rows: int = 100):
    return list(rows_of(text, separator=",", most_rows=most_rows))


def test_a_row_has_the_number_of_its_first_line():
    assert read('name,note\n\na,"two\nlines"\n,\nb,\n') == [
        (1, ["name", "note"]),
        (3, ["a", "two\nlines"]),
        (6, ["b", ""]),
    ]


def test_column_names_are_made_as_asked_and_cells_are_left_as_they_are():
    rows = rows_of("Name , x\n A ,b\n", separator=",", most_rows=9, name_of=str.upper)
    assert list(rows) == [(1, ["NAME ", " X"]), (2, [" A ", "b"])]


@pytest.mark.parametrize(("number", "fits"), [(3, True), (4, False)])
def test_as_many_rows_as_allowed_are_read(number, fits):
    text = "name\n" + "a\n" * number
    if fits:
        assert len(read(text, most_rows=3)) == 1 + number
        return
    with pytest.raises(FileError, match="more than 3 rows"):
        read(text, most_rows=3)


def test_a_line_that_is_not_utf_8_is_named():
    with pytest.raises(FileError, match="Line 2 is not UTF-8"):
        text_of(b"name\nRen\xe9\n", most_bytes=100)


def test_the_mark_at_the_head_of_a_file_is_no_part_of_its_text():
    assert text_of("\ufeffname".encode(), most_bytes=100) == "name"


@given(st.binary(max_size=200))
def test_any_bytes_are_rows_or_one_sentence(content):
    try:
        rows = read(text_of(content, most_bytes=150))
    except FileError as refused:
        assert str(refused).endswith((".", "?"))
    else:
        assert len(rows) > 1
