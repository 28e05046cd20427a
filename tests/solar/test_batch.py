"""Files in, files out (the command line around it: tests/assessments/test_score_file.py)."""

import csv
from datetime import datetime, timedelta

import pytest

from solar.batch import UnusableFileError, score_file
from solar.scoring import ADDED
from tests.solar.rows import BY_METHOD, row


def write(path, rows, names=None, **options):
    names = names or list(rows[0])
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, names, extrasaction="ignore", **options)
        writer.writeheader()
        writer.writerows(rows)
    return path


def read(path):
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture
def scored(tmp_path):
    """Scores rows through a file; the rows of the result."""

    def through_a_file(*rows):
        score_file(write(tmp_path / "in.csv", list(rows)), tmp_path / "out.csv")
        return read(tmp_path / "out.csv")

    return through_a_file


def numbered(count, **changes):
    return [row(attempt=f"A{n}", **changes) for n in range(count)]


def test_the_added_columns_follow_those_of_the_file(scored):
    result = scored(row())[0]
    assert list(result)[-len(ADDED) :] == list(ADDED)
    assert list(result)[: -len(ADDED)] == list(row())


def test_results_have_three_decimals_and_blanks_where_there_is_nothing(scored):
    result = scored(row(check="compass"))[0]
    for name in ("laid_true_deg", "method_error_deg", "sun_elevation_deg", "declination_used_deg"):
        whole, decimals = result[name].lstrip("-").split(".")
        assert whole.isdigit() and len(decimals) == 3, name
    assert result["counting_error_deg"] == result["correction_error_deg"] == result["problem"] == ""


@pytest.mark.parametrize(
    ("reading", "laid", "error"),
    [("-0.0004", "0.000", "0.000"), ("359.9996", "0.000", "0.000"), ("0", "0.000", "0.000"),
     ("-179.9996", "180.000", "180.000"), ("180.0004", "180.000", "180.000"),
     ("179.9996", "180.000", "180.000"), ("359.9994", "359.999", "-0.001"),
     ("-0.0006", "359.999", "-0.001"), ("0.0005000001", "0.001", "0.001")],
)  # fmt: skip
def test_bearings_and_errors_stay_in_range_after_rounding(scored, reading, laid, error):
    result = scored(row(reading_deg=reading))[0]
    assert (result["laid_true_deg"], result["error_deg"]) == (laid, error)


def test_a_row_that_cannot_be_scored_keeps_its_input_and_is_otherwise_blank(scored):
    good, bad = scored(row(), row(attempt="A2", lat="north", method="watch"))
    assert good["verdict"] == "within"
    assert bad["lat"] == "north"
    assert "lat “north”" in bad["problem"]
    assert [bad[name] for name in ADDED[:-1]] == [""] * (len(ADDED) - 1)


def test_values_are_carried_through_as_they_were_written(scored):
    given = row(lat=" 46.50 ", reading_deg="+2.0") | {
        "remark": ' "cold", windy \n and late ',
        "é": "",
    }
    result = scored(given)[0]
    assert {name: result[name] for name in given} == given


def test_columns_come_in_any_order(tmp_path):
    names = list(row())
    rows = [row(attempt=f"A{n}", method=name) for n, name in enumerate(BY_METHOD)]
    one = score_file(write(tmp_path / "a.csv", rows, names), tmp_path / "a.out")
    other = score_file(write(tmp_path / "b.csv", rows, names[::-1]), tmp_path / "b.out")
    assert one == other
    assert [r | {} for r in read(tmp_path / "a.out")] == [
        {name: r[name] for name in (*names, *ADDED)} for r in read(tmp_path / "b.out")
    ]


def test_blanks_around_a_name_in_the_header_do_not_count_and_are_kept(tmp_path):
    text = "attempt, method ,lat,lon,zone,times,check,reading_deg,tolerance_deg, my notes \r\n"
    text += "A1,watch,46.5,8,Europe/Zurich,2026-05-10T10:00,direct,2,10,x\r\n"
    (tmp_path / "in.csv").write_text(text, encoding="utf-8", newline="")
    assert score_file(tmp_path / "in.csv", tmp_path / "out.csv").problems == 0
    head = (tmp_path / "out.csv").read_text(encoding="utf-8").splitlines()[0]
    assert head.startswith("attempt, method ,lat,") and ", my notes ,laid_true_deg," in head


def test_a_file_larger_than_a_batch_is_scored_to_its_end(tmp_path, monkeypatch):
    monkeypatch.setattr("solar.batch._ROWS_AT_ONCE", 7)
    outcome = score_file(write(tmp_path / "in.csv", numbered(23)), tmp_path / "out.csv")
    assert (outcome.rows, outcome.problems) == (23, 0)
    result = read(tmp_path / "out.csv")
    assert [line["attempt"] for line in result] == [f"A{n}" for n in range(23)]
    assert len({line["method_error_deg"] for line in result}) == 1


def test_an_attempt_that_comes_twice_is_found_across_batches(tmp_path, monkeypatch):
    monkeypatch.setattr("solar.batch._ROWS_AT_ONCE", 5)
    rows = [*numbered(12), row(attempt=" A3 ")]
    with pytest.raises(UnusableFileError, match="“A3” comes more than once"):
        score_file(write(tmp_path / "in.csv", rows), tmp_path / "out.csv")
    assert not (tmp_path / "out.csv").exists()


def test_rows_of_thousands_of_marks_are_scored_in_small_company(tmp_path, monkeypatch):
    sizes = []
    monkeypatch.setattr("solar.batch.score", _recording(sizes))
    start = datetime(2026, 6, 21)
    many = ";".join((start + timedelta(minutes=n)).isoformat() for n in range(9000))
    odd = row(attempt="long", lat="75", zone="UTC", times=many)
    assert len(many) > 131_072  # the csv module's own limit of a cell
    outcome = score_file(
        write(tmp_path / "in.csv", [*numbered(60), odd, *numbered(0), row(attempt="last")]),
        tmp_path / "out.csv",
    )
    assert (outcome.rows, outcome.problems) == (62, 0)
    assert max(sizes) == 60
    assert read_long(tmp_path / "out.csv")[-2:] == ["long", "last"]


def _recording(sizes):
    from solar.scoring import score

    def recorded(table):
        sizes.append(len(table["method"]))
        return score(table)

    return recorded


def read_long(path):
    limit = csv.field_size_limit(10_000_000)
    try:
        return [line["attempt"] for line in read(path)]
    finally:
        csv.field_size_limit(limit)


def test_the_limit_of_the_csv_module_is_left_as_it_was(tmp_path):
    before = csv.field_size_limit()
    score_file(write(tmp_path / "in.csv", numbered(1)), tmp_path / "out.csv")
    assert csv.field_size_limit() == before


def test_a_link_is_followed_and_stays_a_link(tmp_path):
    (tmp_path / "real").mkdir()
    target, link = tmp_path / "real" / "out.csv", tmp_path / "link.csv"
    link.symlink_to(target)
    score_file(write(tmp_path / "in.csv", numbered(1)), link)
    assert link.is_symlink()
    assert read(target)[0]["attempt"] == "A0"
