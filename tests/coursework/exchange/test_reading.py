"""Reading a course file: every fault with its place, and never a crash."""

import copy
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coursework.exchange import LARGEST_BYTES, MOST_ROWS
from coursework.exchange.reading import FaultyFileError, read

pytestmark = pytest.mark.django_db

GOOD = {
    "format": "plumbshadow course",
    "version": 1,
    "course": {"title": "By the sun", "summary": "Two lines."},
    "lessons": [
        {"name": "a", "title": "First", "minutes": 30},
        {"name": "b", "title": "Second", "prerequisites": ["a"]},
    ],
    "exercises": [
        {
            "title": "Shadow line",
            "method": "shadow-tip",
            "task": "Lay a line.",
            "tolerance": 12.5,
            "lessons": ["b"],
        }
    ],
}


def written(document) -> bytes:
    return json.dumps(document).encode()


def faults_of(document) -> dict[str, str]:
    with pytest.raises(FaultyFileError) as caught:
        read(written(document))
    return {fault.place: fault.sentence for fault in caught.value.faults}


def changed(**paths) -> dict:
    """The good document with values replaced; '__' stands for a step inwards."""
    document = copy.deepcopy(GOOD)
    for path, value in paths.items():
        steps = [int(step) if step.isdecimal() else step for step in path.split("__")]
        inner = document
        for step in steps[:-1]:
            inner = inner[step]
        if value is ...:
            del inner[steps[-1]]
        else:
            inner[steps[-1]] = value
    return document


def test_a_good_file_is_read():
    found = read(written(GOOD))
    assert found.course.title == "By the sun"
    assert [lesson.minutes for lesson in found.lessons.values()] == [30, 60]
    assert (found.exercises[0].tolerance, found.exercises[0].attempts_needed) == (12.5, 3)
    assert (found.prerequisites, found.needed) == ({"a": [], "b": ["a"]}, [["b"]])


def test_a_byte_order_mark_before_it_does_no_harm():
    assert read(b"\xef\xbb\xbf" + written(GOOD)).course.title == "By the sun"


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "empty"),
        (b" \n", "empty"),
        (b"{", "line 1, column 2"),
        (b'{"a": 1,\n "b" 2}', "line 2, column 6"),
        (b"\xff\xfe{\x00}\x00", "byte 1 does not fit"),
        (b'{"a": NaN}', "“NaN” is not a number"),
        (b"[" * 100_000, "too deeply"),
        (b'{"a": ' + b"1" * 5000 + b"}", "thousands of digits"),
        (b" " * (LARGEST_BYTES + 1), "larger than 1000 kB"),
    ],
)  # fmt: skip
def test_what_is_no_json_is_refused_as_a_whole(content, words):
    with pytest.raises(FaultyFileError) as caught:
        read(content)
    (fault,) = caught.value.faults
    assert fault.place == ""
    assert words in fault.sentence


def test_a_file_of_the_largest_size_is_read():
    content = written(GOOD)
    assert read(content + b" " * (LARGEST_BYTES - len(content))).course.title == "By the sun"


@pytest.mark.parametrize(
    ("document", "place", "words"),
    [
        (changed(format="other"), "/format", "Must be “plumbshadow course”."),
        (changed(version=2), "/version", "Must be 1."),
        (changed(course=...), "/course", "missing"),
        (changed(course__title=...), "/course/title", "missing"),
        (changed(course__title=""), "/course/title", "blank"),
        (changed(course__title=" x"), "/course/title", "without spaces"),
        (changed(course__title="a\nb"), "/course/title", "one line"),
        (changed(course__title="x" * 121), "/course/title", "at most 120 characters"),
        (changed(course__colour=1), "/course/colour", "nothing of this name"),
        (changed(lessons={}), "/lessons", "array"),
        (changed(lessons__0__minutes="30"), "/lessons/0/minutes", "integer"),
        (changed(lessons__0__minutes=True), "/lessons/0/minutes", "integer"),
        (changed(lessons__0__minutes=4), "/lessons/0/minutes", "at least 5"),
        (changed(lessons__0__minutes=1441), "/lessons/0/minutes", "at most 1440"),
        (changed(lessons__0__name=...), "/lessons/0/name", "missing"),
        (changed(lessons__1__name="a"), "/lessons/1/name", "Number 1 of the list has this"),
        (changed(lessons__1__title="FIRST"), "/lessons/1/title", "Number 1 of the list has this"),
        (changed(lessons__0__kit="a\0"), "/lessons/0/kit", "no text"),
        (changed(lessons__0__kit="\ud800"), "/lessons/0/kit", "no text"),
        (changed(lessons__1__prerequisites=["c"]), "/lessons/1/prerequisites/0", "“c”"),
        (changed(lessons__1__prerequisites=["a", "a"]), "/lessons/1/prerequisites", "twice"),
        (changed(lessons__0__prerequisites=["b"]), "/lessons", "ring"),
        (changed(exercises__0__lessons=["z"]), "/exercises/0/lessons/0", "“z”"),
        (changed(exercises__0__method="moss"), "/exercises/0/method", "Must be one of"),
        (changed(exercises__0__tolerance=float(10**300)), "/exercises/0/tolerance", "at most"),
        (changed(exercises__0__tolerance=181), "/exercises/0/tolerance", "180"),
        (changed(exercises__0__distinct_days=4), "/exercises/0", "More days"),
        (changed(exercises__0__task=...), "/exercises/0/task", "missing"),
        ([], "", "object"),
    ],
)  # fmt: skip
def test_a_fault_is_told_with_its_place(document, place, words):
    faults = faults_of(document)
    assert words in faults[place]


def test_all_faults_are_told_at_once_in_the_order_of_their_places():
    document = changed(
        course__title="", lessons__0__minutes=1, lessons__1__colour="red", exercises__0__rule="x"
    )
    document["lessons"] += [
        {"name": f"n{number}", "title": f"T{number}", "minutes": 0} for number in range(12)
    ]
    assert list(faults_of(document)) == [
        "/course/title",
        "/exercises/0/rule",
        "/lessons/0/minutes",
        "/lessons/1/colour",
        *[f"/lessons/{number}/minutes" for number in range(2, 14)],
    ]


def test_a_name_said_twice_in_an_object_is_a_fault():
    text = json.dumps(GOOD).replace('"minutes": 30', '"minutes": 30, "minutes": 40')
    with pytest.raises(FaultyFileError) as caught:
        read(text.encode())
    assert [fault.place for fault in caught.value.faults] == ["/lessons/0/minutes"]


def test_a_name_with_a_slash_is_escaped_as_json_pointers_do():
    # RFC 6901, section 3: "~" is written "~0" and "/" is written "~1".
    assert list(faults_of(changed(**{"course__a/b~c": 1}))) == ["/course/a~1b~0c"]


@pytest.mark.parametrize(("number", "good"), [(MOST_ROWS, True), (MOST_ROWS + 1, False)])
def test_a_file_has_so_many_lessons_and_no_more(number, good):
    rows = [{"name": f"n{n}", "title": f"T{n}"} for n in range(number)]
    document = changed(lessons=rows, exercises=[])
    if good:
        assert len(read(written(document)).lessons) == number
    else:
        assert "at most 200" in faults_of(document)["/lessons"]


_json = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=12), inner, max_size=4)
    ),
    max_leaves=12,
)
_paths = st.sampled_from(
    ["format", "version", "course", "course__title", "course__summary", "lessons", "lessons__0",
     "lessons__0__name", "lessons__1__prerequisites", "lessons__1__minutes", "lessons__0__outline",
     "exercises", "exercises__0", "exercises__0__method", "exercises__0__tolerance",
     "exercises__0__target_deg", "exercises__0__lessons", "exercises__0__judged_on",
     "exercises__0__forenoon_and_afternoon", "exercises__0__attempts_needed", "more"]
)  # fmt: skip


def read_or_refused(content: bytes) -> None:
    """A file is either read or refused with faults that have places and sentences."""
    try:
        read(content)
    except FaultyFileError as error:
        assert error.faults
        for fault in error.faults:
            assert fault.place == "" or fault.place.startswith("/")
            assert fault.sentence.strip()


@settings(max_examples=150)
@given(_paths, _json)
def test_whatever_stands_in_one_place_the_reader_does_not_break(path, value):
    read_or_refused(written(changed(**{path: value})))


@settings(max_examples=100)
@given(st.binary(max_size=200))
def test_whatever_bytes_come_the_reader_does_not_break(content):
    read_or_refused(content)


@settings(max_examples=100)
@given(st.integers(0, 10_000), st.integers(0, 255))
def test_a_file_with_one_broken_byte_is_read_or_refused(place, byte):
    content = bytearray(written(GOOD))
    content[place % len(content)] = byte
    read_or_refused(bytes(content))
