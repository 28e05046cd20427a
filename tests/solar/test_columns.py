from datetime import UTC, date, datetime

import numpy as np
import pytest

from solar.columns import COLUMNS, REQUIRED, as_text, read
from tests.solar.rows import BASE, LANDMARK, problem, row, scored, table


def test_blanks_mean_what_the_format_says():
    attempts, faults = read(table([row(method="hands")]))
    assert faults.sound.all()
    for name, value in (("elevation_m", 0.0), ("degrees_per_hand", 15.0), ("stick_m", 1.0),
                        ("rule_deg_per_hand", 15.0), ("mark_u_m", 0.005), ("slope_deg", 0.0),
                        ("target_deg", 0.0), ("correction_deg", 0.0)):  # fmt: skip
        assert getattr(attempts, name)[0] == value, name
    for name in ("declared_deg", "own_declination_deg", "landmark_deg", "reading_u_deg"):
        assert np.isnan(getattr(attempts, name)[0]), name
    assert not attempts.judged_on_own[0]
    assert attempts.guarded[0]
    assert attempts.horizon[0].is_open


def test_only_the_required_columns_need_to_be_there():
    attempts, faults = read({name: [BASE[name]] for name in (*REQUIRED, "times", "zone")})
    assert faults.sentence.tolist() == [""]
    assert len(attempts) == 1


@pytest.mark.parametrize("name", REQUIRED)
def test_a_required_column_that_is_missing_is_named(name):
    columns = table([row()])
    del columns[name]
    with pytest.raises(ValueError, match=f"Columns are missing: {name}"):
        read(columns)


def test_columns_of_unequal_length_are_an_error_of_the_caller():
    with pytest.raises(ValueError, match="lat has 2 rows where method has 1"):
        read(table([row()]) | {"lat": ["1", "2"]})


@pytest.mark.parametrize("name", REQUIRED)
def test_a_required_value_that_is_blank_is_refused(name):
    result = scored(**{name: ""})
    assert result["fault_column"] == name
    assert result["problem"].startswith(f"{name} is blank")


@pytest.mark.parametrize(
    ("name", "value", "word"),
    [
        ("method", "sundial", "shadow-tip, first-last"), ("method", "Watch", "shadow-tip"),
        ("check", "gps", "compass, shadow, landmark or direct"),
        ("judged_on", "both", "result or own"), ("rule", "strict", "guarded or plain"),
    ],
)  # fmt: skip
def test_a_word_outside_its_list_is_refused_with_the_list(name, value, word):
    result = scored(**{name: value})
    assert word in result["problem"]
    assert value in result["problem"]


def test_a_half_counts_for_hands_only():
    assert "forenoon or afternoon" in problem(method="hands", half="morning")
    assert problem(method="watch", half="morning") == ""


@pytest.mark.parametrize(
    ("value", "word"),
    [("89.001", "pole"), ("-89.001", "pole"), ("90", "pole"), ("-90", "pole"),
     ("90.001", "from -90 to 90"), ("-1e9", "from -90 to 90")],
)  # fmt: skip
def test_a_latitude_within_a_degree_of_a_pole_is_refused_otherwise_than_a_wrong_one(value, word):
    assert word in problem(lat=value)


@pytest.mark.parametrize("value", ["89", "-89"])
def test_89_degrees_are_not_too_near_to_a_pole(value):
    month = "06" if value == "89" else "12"
    times = f"2026-{month}-21T10:00Z;2026-{month}-21T10:15Z"
    assert problem(lat=value, times=times) == ""


def test_hands_must_be_counted_for_hands_and_may_stand_otherwise():
    assert "hands that were counted" in problem(method="hands", hands="")
    assert problem(hands="99") == ""


def test_a_landmark_check_needs_the_bearing_of_the_mark():
    result = scored(**LANDMARK | {"landmark_deg": ""})
    assert result["fault_column"] == "landmark_deg"
    assert "true bearing" in result["problem"]


def test_a_slope_needs_the_bearing_in_which_the_ground_falls():
    result = scored(slope_deg="5")
    assert result["fault_column"] == "downhill_deg"
    assert "ground falls" in result["problem"]
    assert problem(slope_deg="0") == ""
    assert problem(slope_deg="5", downhill_deg="0") == ""


@pytest.mark.parametrize("method", ["hands", "watch", "equal-shadow", "shortest-shadow"])
def test_a_slope_is_a_mere_remark_for_the_other_methods(method):
    assert problem(method=method, slope_deg="5") == ""


def test_a_skyline_that_cannot_be_read_is_refused_with_the_pair():
    result = scored(horizon="0:1 90-4")
    assert result["fault_column"] == "horizon"
    assert "“90-4”" in result["problem"]


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (None, ""), (" a ", "a"), (1.5, "1.5"), (np.float64(1.5), "1.5"), (7, "7"),
        (date(2026, 5, 10), "2026-05-10"),
        (datetime(2026, 5, 10, 8, tzinfo=UTC), "2026-05-10T08:00:00+00:00"),
        ([datetime(2026, 5, 10, 8), datetime(2026, 5, 10, 9)],
         "2026-05-10T08:00:00;2026-05-10T09:00:00"),
    ],
)  # fmt: skip
def test_typed_values_are_read_as_their_text(value, text):
    assert as_text(value) == text


def test_typed_columns_score_like_texts():
    typed = row(
        lat=46.5, lon=8, reading_deg=np.float64(2), tolerance_deg=10,
        times=[datetime(2026, 5, 10, 8, tzinfo=UTC), datetime(2026, 5, 10, 8, 15, tzinfo=UTC)],
        horizon=None,
    )  # fmt: skip
    assert scored(**typed) == scored()


def test_blanks_around_every_value_do_not_count():
    padded = {name: f"  {value}\t" for name, value in row(**LANDMARK).items() if value}
    assert scored(**padded) == scored(**LANDMARK)


def test_no_rows_are_no_error():
    attempts, faults = read({name: [] for name in COLUMNS})
    assert (len(attempts), faults.sentence.size) == (0, 0)
