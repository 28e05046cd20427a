"""`manage.py score_file IN.csv OUT.csv`: statuses, sentences, a file whole or absent."""

import csv
import io
import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from solar.scoring import ADDED

NAMES = (
    "attempt", "method", "lat", "lon", "zone", "times", "check", "reading_deg", "tolerance_deg",
)  # fmt: skip
GOOD = ("A1", "watch", "46.5", "8", "Europe/Zurich", "2026-05-10T10:00", "direct", "2", "90")
REQUIRED = ("attempt", "method", "lat", "lon", "check", "reading_deg", "tolerance_deg")


def line(*cells, **changes):
    return list(
        cells or (changes.get(name, value) for name, value in zip(NAMES, GOOD, strict=True))
    )


def text_of(*rows, header=NAMES, end="\r\n"):
    file = io.StringIO()
    csv.writer(file, lineterminator=end).writerows([header, *rows])
    return file.getvalue()


class Run:
    """One call of the command in a folder of its own."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.source, self.destination = folder / "in.csv", folder / "out.csv"
        self.stderr = self.stdout = ""

    def __call__(self, content: str | bytes, *, destination: Path | None = None) -> int:
        if isinstance(content, str):
            content = content.encode()
        self.source.write_bytes(content)
        return self.again(destination=destination)

    def again(self, *, destination: Path | None = None) -> int:
        out, err = io.StringIO(), io.StringIO()
        status = 0
        try:
            call_command("score_file", str(self.source), str(destination or self.destination),
                         stdout=out, stderr=err, no_color=True)  # fmt: skip
        except SystemExit as stop:
            status = stop.code
        self.stdout, self.stderr = out.getvalue(), err.getvalue()
        return status

    @property
    def rows(self) -> list[dict]:
        with self.destination.open(encoding="utf-8", newline="") as file:
            return list(csv.DictReader(file))

    def leaves_nothing(self) -> bool:
        return sorted(path.name for path in self.folder.iterdir()) == ["in.csv"]


@pytest.fixture
def run(tmp_path):
    return Run(tmp_path)


def test_status_0_and_silence_where_every_row_was_scored(run):
    assert run(text_of(line(), line(attempt="A2"))) == 0
    assert (run.stdout, run.stderr) == ("", "")
    assert [row["verdict"] for row in run.rows] == ["within", "within"]


def test_status_1_and_their_number_where_some_rows_had_problems(run):
    rows = [line(), line(attempt="A2", lat="north"), line(attempt="A3", times="soon")]
    assert run(text_of(*rows)) == 1
    assert "2 of 3 rows" in run.stderr
    assert [bool(row["problem"]) for row in run.rows] == [False, True, True]


@pytest.mark.parametrize("name", REQUIRED)
def test_status_2_and_no_file_where_a_required_column_is_missing(run, name):
    names = [other for other in NAMES if other != name]
    cells = [value for other, value in zip(NAMES, GOOD, strict=True) if other != name]
    assert run(text_of(cells, header=names)) == 2
    assert f"lacks: {name}." in run.stderr
    assert "Nothing was written." in run.stderr
    assert run.leaves_nothing()


def test_all_missing_columns_are_named_at_once(run):
    assert run("a,b\r\n1,2\r\n") == 2
    assert all(name in run.stderr for name in REQUIRED)


@pytest.mark.parametrize("name", ["lat", "zone"])
def test_status_2_where_a_column_of_the_format_stands_twice(run, name):
    assert run(text_of([*GOOD, "x"], header=[*NAMES, name])) == 2
    assert f"more than once: {name}." in run.stderr
    assert run.leaves_nothing()


def test_status_2_where_an_attempt_comes_twice(run):
    assert run(text_of(line(), line(attempt="A2"), line(attempt=" A1 "))) == 2
    assert "“A1” comes more than once" in run.stderr
    assert run.leaves_nothing()


@pytest.mark.parametrize(
    "content",
    [
        text_of(line(attempt="Zoë")).encode("latin-1"),
        text_of(line()).encode("utf-16"),
        b"\x89PNG\r\n\x1a\n\xff\xfe",
        text_of(*(line(attempt=f"A{n}") for n in range(9000))).encode() + b"\xe9,1\r\n",
    ],
)
def test_status_2_where_the_file_is_not_utf_8(run, content):
    assert run(content) == 2
    assert "not UTF-8 text" in run.stderr
    assert run.leaves_nothing()


def test_status_2_where_the_file_is_binary_that_happens_to_be_utf_8(run):
    assert run(b"\0\0\0,\0\0") == 2
    assert "not text" in run.stderr


def test_status_2_where_a_quote_is_never_closed(run):
    assert run(text_of(line()) + 'A2,"watch,46.5\r\n') == 2
    assert "RFC 4180" in run.stderr
    assert run.leaves_nothing()


@pytest.mark.parametrize("content", ["", "\ufeff", "\r\n"])
def test_status_2_where_the_file_is_empty(run, content):
    assert run(content) == 2
    assert "lacks" in run.stderr
    assert run.leaves_nothing()


def test_a_header_alone_is_scored_to_a_header_alone(run):
    assert run(text_of()) == 0
    assert run.destination.read_bytes().decode() == ",".join([*NAMES, *ADDED]) + "\r\n"


def test_a_byte_order_mark_is_accepted_and_none_is_written(run):
    assert run("\ufeff" + text_of(line())) == 0
    assert run.destination.read_bytes().startswith(b"attempt,")
    assert run.rows[0]["verdict"] == "within"


@pytest.mark.parametrize("end", ["\r\n", "\n", "\r"])
def test_lines_may_end_in_any_of_three_ways_and_end_in_crlf_afterwards(run, end):
    assert run(text_of(line(), line(attempt="A2"), end=end)) == 0
    written = run.destination.read_bytes()
    assert written.count(b"\r\n") == written.count(b"\n") == written.count(b"\r") == 3
    assert [row["attempt"] for row in run.rows] == ["A1", "A2"]


def test_a_last_line_without_an_end_is_read(run):
    assert run(text_of(line()).rstrip()) == 0
    assert len(run.rows) == 1


def test_lines_with_nothing_on_them_are_no_rows(run):
    assert run(text_of(line()) + "\r\n\r\n" + ",".join(line(attempt="A2")) + "\r\n\r\n") == 0
    assert [row["attempt"] for row in run.rows] == ["A1", "A2"]


def test_unknown_columns_are_carried_through_unchanged(run):
    note = ' said "east",\r\nthen turned – 東 💥 '
    assert run(text_of([note, *line(), ""], header=["note", *NAMES, "empty"])) == 0
    assert run.rows[0]["note"] == note
    assert run.rows[0]["empty"] == ""
    assert list(run.rows[0]) == ["note", *NAMES, "empty", *ADDED]


def test_unknown_columns_of_one_name_are_all_carried(run):
    assert run(text_of(["x", *line(), "y"], header=["note", *NAMES, "note"])) == 0
    header, first = csv.reader(run.destination.read_text(encoding="utf-8").splitlines())
    assert header.count("note") == 2
    assert (first[0], first[len(NAMES) + 1]) == ("x", "y")


def test_columns_with_the_name_of_an_added_one_are_replaced(run):
    header = ["problem", *NAMES, "error_deg", "verdict"]
    assert run(text_of(["old", *line(), "77", "old"], header=header)) == 0
    assert list(run.rows[0]) == [*NAMES, *ADDED]
    assert run.rows[0]["error_deg"] == "2.000"
    assert run.rows[0]["problem"] == ""


def test_a_scored_file_can_be_scored_again_to_the_same(run):
    run(text_of(line(), line(attempt="A2", lat="north")))
    first = run.destination.read_bytes()
    run.source.write_bytes(first)
    assert run.again() == 1
    assert run.destination.read_bytes() == first


@pytest.mark.parametrize("cells", [1, len(GOOD) - 1])
def test_a_short_row_is_a_problem_of_that_row(run, cells):
    assert run(text_of(line(attempt="A0"), GOOD[:cells])) == 1
    good, short = run.rows
    assert good["verdict"] == "within"
    assert f"{cells} cells where the header has {len(GOOD)}" in short["problem"]
    assert short["attempt"] == "A1"
    assert [short[name] for name in ADDED[:-1]] == [""] * (len(ADDED) - 1)


def test_a_long_row_is_a_problem_of_that_row_and_loses_nothing(run):
    assert run(text_of(line(attempt="A0"), [*GOOD, "rain", "fog"])) == 1
    good, long = run.rows
    assert good["verdict"] == "within"
    assert f"{len(GOOD) + 2} cells where the header has {len(GOOD)}" in long["problem"]
    assert "“rain”, “fog”" in long["problem"]
    assert long["verdict"] == ""


@pytest.mark.parametrize("blank", ["", "   "])
def test_blank_identifiers_are_row_problems_and_no_duplicates_of_each_other(run, blank):
    assert run(text_of(line(attempt=blank), line(attempt=blank), line())) == 1
    assert ["attempt is blank" in row["problem"] for row in run.rows] == [True, True, False]


def test_a_short_row_that_repeats_an_identifier_is_still_a_duplicate(run):
    assert run(text_of(line(), ["A1"])) == 2


def test_the_file_may_be_scored_onto_itself(run):
    assert run(text_of(line()), destination=run.source) == 0
    assert run.leaves_nothing()
    assert run.source.read_text(encoding="utf-8").splitlines()[0].endswith(",problem")


def test_an_unusable_file_that_would_be_scored_onto_itself_is_left_alone(run):
    content = text_of(line(), line())
    assert run(content, destination=run.source) == 2
    assert run.source.read_bytes() == content.encode()


@pytest.mark.parametrize("bad", [text_of(line(), line()), "a,b\r\n", b"\xff"])
def test_an_older_result_survives_a_file_that_is_unusable(run, bad):
    run.destination.write_text("older")
    assert run(bad) == 2
    assert run.destination.read_text() == "older"


def test_an_older_result_is_replaced_as_a_whole(run):
    run.destination.write_text("older " * 100_000)
    assert run(text_of(line())) == 0
    assert "older" not in run.destination.read_text(encoding="utf-8")


def test_status_2_where_there_is_no_such_file(run):
    assert run.again() == 2
    assert "in.csv: No such file or directory." in run.stderr
    assert list(run.folder.iterdir()) == []


def test_status_2_where_a_folder_is_given_as_the_file(run):
    run.source = run.folder
    assert run.again() == 2
    assert "directory" in run.stderr


def test_status_2_where_the_folder_of_the_result_is_missing(run):
    assert run(text_of(line()), destination=run.folder / "no" / "out.csv") == 2
    assert "There is no folder" in run.stderr
    assert run.leaves_nothing()


def test_status_2_where_the_result_is_a_folder(run):
    assert run(text_of(line()), destination=run.folder) == 2
    assert "not a file that can be replaced" in run.stderr
    assert run.leaves_nothing()


def test_a_pipe_or_a_device_is_never_replaced(run):
    pipe = run.folder / "pipe"
    os.mkfifo(pipe)
    assert run(text_of(line()), destination=pipe) == 2
    assert "not a file that can be replaced" in run.stderr
    assert pipe.is_fifo()


def test_status_2_where_the_disk_is_full_and_nothing_is_left_behind(run, monkeypatch):
    def full(descriptor):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("solar.batch.os.fsync", full)
    assert run(text_of(line())) == 2
    assert "No space left on device" in run.stderr
    assert run.leaves_nothing()


def test_nothing_is_left_behind_when_it_is_interrupted(run, monkeypatch):
    def interrupted(table):
        raise KeyboardInterrupt

    monkeypatch.setattr("solar.batch.score", interrupted)
    with pytest.raises(KeyboardInterrupt):
        run(text_of(line()))
    assert run.leaves_nothing()


def test_the_result_may_be_read_by_whom_the_folder_allows(run):
    mask = os.umask(0o027)
    try:
        run(text_of(line()))
    finally:
        os.umask(mask)
    assert run.destination.stat().st_mode & 0o777 == 0o640


def test_both_files_must_be_named():
    with pytest.raises(CommandError, match=r"OUT\.csv"):
        call_command("score_file", "in.csv")


def test_the_shell_sees_status_and_sentence(run):
    run.source.write_text(text_of(line(lat="north")), encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "manage.py", "score_file", run.source, run.destination],
        capture_output=True, text=True, check=False,
        cwd=Path(__file__).parents[2],
    )  # fmt: skip
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr.strip().startswith("1 of 1 rows")
    assert "lat “north”" in run.rows[0]["problem"]
