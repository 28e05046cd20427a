"""The three commands, run as a script runs them, against the second opinion."""

import csv
import io
import math
import re
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tests.reference.mixed_rows import COLUMNS, mixed_rows
from tests.reference.second_opinion import Attempt, OpenError, Place, RefusedError

pytestmark = pytest.mark.reference

ROOT = Path(__file__).resolve().parent.parent.parent
ADDED = (
    "laid_true_deg", "error_deg", "method_error_deg", "own_error_deg", "counting_error_deg",
    "correction_error_deg", "marking_scatter_deg", "expanded_uncertainty_deg", "verdict",
    "sun_azimuth_deg", "sun_elevation_deg", "declination_used_deg", "problem",
)  # fmt: skip
BEARINGS = {"laid_true_deg", "sun_azimuth_deg"}
PLACE = {"--lat": "46.5", "--lon": "8", "--zone": "Europe/Zurich"}


def run(*words, **options):
    arguments = [word for pair in options.items() for word in pair]
    return subprocess.run(
        [sys.executable, "manage.py", *map(str, words), *arguments],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip


def write(path, rows, columns=COLUMNS):
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, columns)
        writer.writeheader()
        writer.writerows(rows)
    return path


@pytest.fixture(scope="module")
def season(tmp_path_factory):
    """A file scored by the command: its rows, what was written, and the finished process."""
    folder = tmp_path_factory.mktemp("season")
    rows = mixed_rows(150, seed=11, mistakes=0.1)
    source = write(folder / "in.csv", rows)
    done = run("score_file", source, folder / "out.csv")
    with (folder / "out.csv").open(encoding="utf-8", newline="") as file:
        return rows, list(csv.DictReader(file)), done


def test_a_scored_file_keeps_its_columns_and_rows_and_adds_the_thirteen(season):
    rows, written, _ = season
    assert tuple(written[0]) == (*COLUMNS, *ADDED)
    assert [{name: row[name] for name in COLUMNS} for row in written] == rows


def test_a_scored_file_agrees_with_the_second_opinion_to_its_three_decimals(season):
    rows, written, _ = season
    compared = 0
    for row, line in zip(rows, written, strict=True):
        if line["problem"]:
            assert [line[name] for name in ADDED[:-1]] == [""] * 12
            continue
        try:
            opinion = Attempt(row).score()
        except (OpenError, RefusedError):
            pytest.fail(f"{row['attempt']} was scored: {row}")
        for name in ADDED[:-1]:
            if name == "verdict":
                continue
            if opinion[name] is None:
                assert line[name] == "", name
            else:
                turn = (float(line[name]) - opinion[name] + 180.0) % 360.0 - 180.0
                assert abs(turn) < 0.0011, (row["attempt"], name)
                compared += 1
    assert compared > 500


def test_numbers_of_a_scored_file_have_three_decimals_and_stay_in_range(season):
    _, written, _ = season
    for line in written:
        for name in set(ADDED) - {"verdict", "problem"}:
            text = line[name]
            assert text == "" or re.fullmatch(r"-?\d+\.\d{3}", text)
            assert text not in {"-0.000", "360.000", "-180.000"}
            if text and name in BEARINGS:
                assert 0.0 <= float(text) < 360.0


def test_the_exit_status_tells_rows_with_problems_and_their_number(season):
    _, written, done = season
    problems = sum(bool(line["problem"]) for line in written)
    assert problems > 5
    assert done.returncode == 1
    assert re.search(rf"\b{problems}\b", done.stderr)


def test_a_file_of_which_every_row_is_scored_ends_with_status_0(tmp_path):
    rows = [row for row in mixed_rows(60, seed=12, mistakes=0.0) if row["method"] == "shadow-tip"]
    rows = [row | {"check": "direct", "horizon": "", "slope_deg": ""} for row in rows]
    good = [row for row in rows if -40 < float(row["lat"]) < 40]
    done = run("score_file", write(tmp_path / "in.csv", good), tmp_path / "out.csv")
    assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"attempt,method,lat,lon,check,reading_deg\nA1,watch,1,1,direct,2\n",
        b"attempt,method,lat,lon,check,reading_deg,tolerance_deg,lat\n",
        b"attempt,method,lat,lon,check,reading_deg,tolerance_deg\n"
        b"A1,watch,1,1,direct,2,10\nA1,watch,1,1,direct,2,10\n",
        b"attempt,method,lat,lon,check,reading_deg,tolerance_deg\nA\xff,watch,1,1,direct,2,10\n",
        b"PK\x03\x04\x00\x00",
    ],
    ids=["empty", "column missing", "column doubled", "attempt twice", "not UTF-8", "not text"],
)
def test_an_unusable_file_ends_with_status_2_and_writes_nothing(tmp_path, content):
    (tmp_path / "in.csv").write_bytes(content)
    (tmp_path / "out.csv").write_text("kept", encoding="utf-8")
    done = run("score_file", tmp_path / "in.csv", tmp_path / "out.csv")
    assert done.returncode == 2
    assert done.stderr.strip()
    assert "Traceback" not in done.stderr
    assert (tmp_path / "out.csv").read_text(encoding="utf-8") == "kept"
    assert {path.name for path in tmp_path.iterdir()} == {"in.csv", "out.csv"}


def test_a_byte_order_mark_strange_columns_and_ragged_rows_are_taken_as_they_come(tmp_path):
    (tmp_path / "in.csv").write_bytes(
        b"\xef\xbb\xbfremark,tolerance_deg,attempt,method,lat,lon,times,check,reading_deg,verdict\r\n"
        b'"windy, cold",10,A1,shadow-tip,46,8,2026-05-10T08:00Z;2026-05-10T08:15Z,direct,2,old\r\n'
        b"short,10,A2,shadow-tip\r\n"
        b"long,10,A3,shadow-tip,46,8,2026-05-10T08:00Z;2026-05-10T08:15Z,direct,2,x,more\r\n"
    )
    done = run("score_file", tmp_path / "in.csv", tmp_path / "out.csv")
    content = (tmp_path / "out.csv").read_bytes()
    lines = list(csv.DictReader(io.StringIO(content.decode("utf-8"), newline="")))
    assert done.returncode == 1
    assert not content.startswith(b"\xef\xbb\xbf")
    assert lines[0]["remark"] == "windy, cold"
    assert lines[0]["verdict"] in {"within", "outside"}
    assert content.split(b"\r\n")[0].decode().split(",").count("verdict") == 1
    assert [bool(line["problem"]) for line in lines] == [False, True, True]


def test_the_sun_table_agrees_with_pvlibs_sun():
    done = run("sun_table", **PLACE | {
        "--date": "2026-03-29", "--every": "45", "--elevation-m": "1200",
        "--horizon": "0:5 120:9 240:2",
    })  # fmt: skip
    assert done.returncode == 0
    place = Place(46.5, 8.0, 1200.0, [(0, 5), (120, 9), (240, 2)])
    comments = [line for line in done.stdout.splitlines() if line.startswith("#")]
    table = [line for line in done.stdout.splitlines() if not line.startswith("#")]
    assert [line.split()[1] for line in comments] == ["rise", "noon", "set"]
    zone = ZoneInfo("Europe/Zurich")
    # The clocks go forward on that day: it has 23 hours.
    start = datetime(2026, 3, 29, tzinfo=zone).timestamp()
    crossings = place.crossings(start, start + 23 * 3600)
    for comment, (when, kind) in zip(comments[::2], crossings, strict=True):
        hour = datetime.fromtimestamp(when + 0.5, zone).strftime("%H:%M:%S")
        near = datetime.fromtimestamp(when + 0.0, zone).strftime("%H:%M:%S")
        assert comment in {f"# {kind} {hour}", f"# {kind} {near}"}
    rows = list(csv.DictReader(table))
    assert len(rows) == math.ceil(23 * 60 / 45)
    for row in rows:
        instant = datetime.fromisoformat(row["time"])
        sun = place.sun(instant)
        assert float(row["azimuth_deg"]) == pytest.approx(sun.azimuth, abs=0.0006)
        assert float(row["elevation_deg"]) == pytest.approx(sun.apparent, abs=0.0006)
        if place.clearance(instant.timestamp())[0] < 0:
            assert (row["shadow_bearing_deg"], row["shadow_length"]) == ("", "")
        else:
            length = 1 / math.tan(math.radians(sun.apparent))
            assert float(row["shadow_length"]) == pytest.approx(length, abs=0.0006)
            assert float(row["shadow_bearing_deg"]) == pytest.approx(
                (sun.azimuth + 180.0) % 360.0, abs=0.0006
            )


@pytest.mark.parametrize(
    ("day", "words"), [("2026-06-21", "up all day"), ("2026-12-21", "down all day")]
)
def test_the_sun_table_says_that_the_sun_does_not_set_or_rise(day, words):
    done = run("sun_table", **{"--lat": "78.2", "--lon": "15.6", "--zone": "Arctic/Longyearbyen",
                               "--date": day})  # fmt: skip
    comments = [line for line in done.stdout.splitlines() if line.startswith("#")]
    assert any(words in line for line in comments)
    assert len(comments) == 3


@pytest.mark.parametrize("method", ["shadow-tip", "watch", "hands", "equal-shadow"])
def test_method_windows_agree_with_the_second_opinion(method):
    # The error at every start of the day by the second opinion; the stretches are its runs.
    done = run("method_windows", **PLACE | {
        "--from": "2026-08-10", "--to": "2026-08-10", "--method": method, "--every": "20",
        "--interval": "15", "--limit": "8",
    })  # fmt: skip
    assert done.returncode == 0
    zone = ZoneInfo("Europe/Zurich")
    midnight = datetime(2026, 8, 10, tzinfo=zone).astimezone(UTC)
    errors = {}
    for number in range(72):
        start = midnight + timedelta(minutes=20 * number)
        times = [start, start + timedelta(minutes=15)][: 2 if method == "shadow-tip" else 1]
        row = dict.fromkeys(COLUMNS, "") | {
            "lat": "46.5", "lon": "8", "zone": "Europe/Zurich", "method": method, "hands": "3",
            "times": ";".join(time.isoformat() for time in times), "check": "direct",
            "reading_deg": "0", "tolerance_deg": "10",
        }  # fmt: skip
        try:
            error = Attempt(row).score()["method_error_deg"]
        except RefusedError:
            continue
        if abs(error) <= 8.0:
            errors[number] = (start.astimezone(zone).strftime("%H:%M"), error)
    expected = []
    for number in sorted(errors):
        if number - 1 in errors:
            expected[-1].append(errors[number])
        else:
            expected.append([errors[number]])
    found = list(csv.DictReader(done.stdout.splitlines()))
    assert [(row["from"], row["to"]) for row in found] == [
        (cells[0][0], cells[-1][0]) for cells in expected
    ]
    for row, cells in zip(found, expected, strict=True):
        worst = max((error for _, error in cells), key=abs)
        assert float(row["worst_method_error_deg"]) == pytest.approx(worst, abs=0.002)
