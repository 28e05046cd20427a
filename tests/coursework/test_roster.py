"""Reading roster files: what is understood, and what is refused with which sentence."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coursework.csv_files import FileError
from coursework.roster import LARGEST_BYTES, MOST_ROWS, read_roster


def read(text: str, encoding: str = "utf-8"):
    return read_roster(text.encode(encoding))


def told(text: str) -> str:
    with pytest.raises(FileError) as refused:
        read(text)
    return str(refused.value)


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_the_separator_is_found_in_the_line_of_names(separator):
    lines = [("name", "username", "role"), ("Aino Lehto", "aino", "lead")]
    roster = read("\n".join(separator.join(line) for line in lines))
    (row,) = roster.rows
    assert (row.name, row.username, row.role, roster.separator) == (
        "Aino Lehto",
        "aino",
        "lead",
        separator,
    )


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_every_end_of_line_will_do(end):
    rows = read(end.join(["name,username", "Aino,aino", "Teo,teo", ""])).rows
    assert [row.username for row in rows] == ["aino", "teo"]


def test_a_byte_order_mark_is_no_part_of_the_first_name():
    assert read("name,username\nAino,aino", "utf-8-sig").rows[0].name == "Aino"


def test_column_names_may_be_in_capitals_in_any_order_and_with_others_between():
    roster = read("E-Mail, Phone ,NAME\nA@x.example,1,Aino")
    assert (roster.rows[0].name, roster.rows[0].username) == ("Aino", "A@x.example")
    assert roster.unused == ("phone",)


def test_a_separator_inside_quotation_marks_is_part_of_the_name():
    assert read('name,username\n"Lehto, Aino",aino').rows[0].name == "Lehto, Aino"


def test_a_name_over_two_lines_is_one_name_and_the_lines_are_still_counted():
    rows = read('name,username\n"Aino\nLehto",aino\nTeo,teo').rows
    assert [(row.line, row.name) for row in rows] == [(2, "Aino Lehto"), (4, "Teo")]


def test_blank_lines_are_passed_over():
    assert [row.line for row in read("\n\nname,username\n\n,\nAino,aino\n\n").rows] == [6]


@pytest.mark.parametrize(
    ("word", "role"),
    [("", "student"), ("Student", "student"), ("ASSISTANT", "assistant"), ("course lead", "lead")],
)
def test_roles_are_understood_whatever_the_capitals(word, role):
    assert read(f"name,username,role\nAino,aino,{word}").rows[0].role == role


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        (",aino,", "The name is missing."),
        ("Aino,,", "A sign-in name or an e-mail address is missing."),
        ("Aino,ai no,", "“ai no” is no sign-in name"),
        ("Aino,aino,king", "“king” is no role; the roles are lead, assistant, student."),
        ("Aino,aino,,extra", "It has 4 cells, and there are 3 columns."),
        ("A" * 121 + ",aino,", "more than 120 characters"),
        ("A" * 120 + ",aino,", None),
        ("Aino," + "a" * 151 + ",", "more than 150 characters"),
        ("Aino," + "a" * 150 + ",", None),
        ("Ai\u202eno,aino,", "cannot be printed"),
        ("Aino,aino,,", None),
    ],
)
def test_a_fault_stands_at_its_row(row, sentence):
    (found,) = read(f"name,username,role\n{row}").rows
    assert bool(found.faults) is (sentence is not None)
    assert sentence is None or any(sentence in fault for fault in found.faults)


def test_an_address_that_is_none_is_a_fault():
    (row,) = read("name,email\nAino,aino").rows
    assert row.faults == ("“aino” is no e-mail address.",)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "The file is empty."),
        (" \n\n", "The file is empty."),
        ("name,username\n", "no row below its column names"),
        ("Aino,aino,lead\n", "The first line must name the columns"),
        ("name\nAino", "The first line must name the columns"),
        ("name,username;role\nA,a;b", "The first line must name the columns"),
        ("name,role\nAino,lead", "A column “username” or “email” is missing"),
        ("username,role\naino,lead", "The column “name” is missing."),
        ("name,username,Name\nA,a,B", "The column “name” is there twice."),
        ('name,username\n"Aino,aino\n', "cannot be read: a quotation mark"),
        ("name,username\nAino\0,aino", "characters that no text has"),
        ("PK\x03\x04rest", "This is a spreadsheet or an archive"),
    ],
)
def test_what_is_no_roster_is_refused_with_the_reason(text, sentence):
    assert sentence in told(text)


def test_utf_16_is_refused_by_its_name():
    with pytest.raises(FileError, match="UTF-16"):
        read("name,username\nAino,aino", "utf-16")


def test_another_encoding_is_refused_with_the_line_where_it_shows():
    with pytest.raises(FileError, match="Line 2 is not UTF-8"):
        read("name,username\nZoë,zoe", "latin-1")


def test_as_many_rows_as_allowed_are_read_and_one_more_is_refused():
    head, line = "name,username\n", "Aino,aino\n"
    assert len(read(head + line * MOST_ROWS).rows) == MOST_ROWS
    assert "more than 500 rows" in told(head + line * (MOST_ROWS + 1))


def test_a_file_at_the_limit_is_read_and_one_byte_more_is_refused():
    text = "name,username\nAino,aino\n"
    assert read(text + "\n" * (LARGEST_BYTES - len(text))).rows
    assert "larger than 256 kB" in told(text + "\n" * (LARGEST_BYTES - len(text) + 1))


@given(st.binary(max_size=400))
def test_any_bytes_are_read_or_refused_with_a_sentence(content):
    try:
        roster = read_roster(content)
    except FileError as refused:
        assert str(refused)
    else:
        assert roster.rows


@given(st.text(st.sampled_from('name,userl;\t"\n\r ro@.é\u2028'), max_size=200))
def test_text_that_looks_like_a_roster_is_read_or_refused_with_a_sentence(text):
    for content in (text, "name,username,role\n" + text, "name;email\n" + text):
        try:
            roster = read_roster(content.encode())
        except FileError as refused:
            assert str(refused)
        else:
            assert all(row.faults or (row.name and row.username) for row in roster.rows)


NAMES = st.text(st.characters(categories=["L", "N", "P"]), min_size=1, max_size=40)
USERNAMES = st.from_regex(r"[a-z0-9.+_-]{1,30}", fullmatch=True)


@given(
    st.lists(st.tuples(NAMES, USERNAMES, st.sampled_from(["lead", "assistant", "student"])),
             min_size=1, max_size=8),
    st.sampled_from([",", ";", "\t"]),
    st.sampled_from(["utf-8", "utf-8-sig"]),
)  # fmt: skip
def test_what_a_spreadsheet_writes_is_what_is_read(people, separator, encoding):
    file = io.StringIO(newline="")
    csv.writer(file, delimiter=separator).writerows([("name", "username", "role"), *people])
    rows = read_roster(file.getvalue().encode(encoding)).rows
    assert [(row.name, row.username, row.role) for row in rows] == people
    assert not any(row.faults for row in rows)
