"""Reading a file of attempts, without a database."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.bringing import read_attempts
from coursework.csv_files import FileError

HEADER = b"attempt,username,reading_deg\n"


def test_columns_are_read_by_name_in_any_order():
    (row,) = read_attempts(b"reading_deg,attempt,username\n350,a1,teo\n").rows
    assert (row["attempt"], row.who, row["reading_deg"], row["hands"]) == ("a1", "teo", "350", "")


def test_a_byte_order_mark_and_blank_lines_do_no_harm():
    file = read_attempts(b"\xef\xbb\xbf" + HEADER + b"\na1,teo,350\n\n")
    assert [row.line for row in file.rows] == [3]


def test_columns_that_are_not_used_are_told():
    assert read_attempts(b"attempt,name,weather\na,Teo,fine\n").unused == ("weather",)


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "empty"),
        (b"n\xffa", "not UTF-8"),
        (b"\xff\xfea", "UTF-16"),
        (b"attempt,username\n", "no row below"),
        (b"username,reading_deg\nteo,3\n", "“attempt” is missing"),
        (b"attempt,reading_deg\na,3\n", "whose attempt"),
        (b"attempt,attempt,name\na,b,c\n", "twice"),
        (b'attempt,name\na,"b\n', "quotation mark"),
        (b"attempt,name\na,\0\n", "characters that no text has"),
        (b"a" * (1024 * 1024 + 1), "larger than"),
        (HEADER + b"a,b,c\n" * 1001, "more than 1000"),
    ],
)
def test_a_file_that_is_none_is_refused_with_the_reason(content, sentence):
    with pytest.raises(FileError, match=sentence):
        read_attempts(content)


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        (b"a1,teo\n", "2 cells"),
        (b"a1,teo,3,4\n", "4 cells"),
        (b",teo,3\n", "no attempt identifier"),
    ],
)
def test_what_is_wrong_with_a_row_stands_at_the_row(line, fault):
    (row,) = read_attempts(HEADER + line).rows
    assert fault in " ".join(row.faults)


def test_an_attempt_that_comes_twice_is_a_fault_of_the_second():
    first, second = read_attempts(HEADER + b"a1,teo,3\na1,ida,4\n").rows
    assert not first.faults
    assert "line 2 already" in second.faults[0]


@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_refused(content):
    try:
        file = read_attempts(b"attempt,name\n" + content)
    except FileError:
        return
    assert file.rows
