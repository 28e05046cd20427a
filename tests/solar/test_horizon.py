import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solar.horizon import TerrainHorizon, groups


@pytest.mark.parametrize("text", ["", "  ", "\t"])
def test_no_profile_is_an_open_horizon_at_0(text):
    horizon = TerrainHorizon.parse(text)
    assert horizon.is_open
    assert horizon.elevation_deg(123.0) == 0.0


def test_a_profile_of_zeros_is_not_the_same_as_none():
    assert not TerrainHorizon.parse("0:0").is_open


def test_one_pair_holds_for_the_whole_circle():
    horizon = TerrainHorizon.parse("90:7.5")
    assert np.array_equal(horizon.elevation_deg([0.0, 89.0, 270.0, 359.9]), [7.5] * 4)


def test_pairs_are_joined_linearly_whatever_their_order():
    horizon = TerrainHorizon.parse("180:0 90:10 270:20")
    assert horizon.elevation_deg(135.0) == pytest.approx(5.0)
    assert horizon.elevation_deg(225.0) == pytest.approx(10.0)


def test_the_last_pair_is_joined_to_the_first_across_north():
    horizon = TerrainHorizon.parse("350:10 20:4")
    assert horizon.elevation_deg(350.0) == pytest.approx(10.0)
    assert horizon.elevation_deg(0.0) == pytest.approx(8.0)
    assert horizon.elevation_deg(360.0) == pytest.approx(8.0)
    assert horizon.elevation_deg(5.0) == pytest.approx(7.0)


def test_360_is_the_bearing_0():
    assert TerrainHorizon.parse("360:5 180:1").pairs == ((0.0, 5.0), (180.0, 1.0))


def test_north_may_be_given_as_0_and_360_alike():
    assert TerrainHorizon.parse("0:5 180:1 360:5").pairs == ((0.0, 5.0), (180.0, 1.0))


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("90", "such as"), ("90:", "such as"), (":5", "such as"), ("90:x", "such as"),
        ("90:nan", "such as"), ("90:inf", "such as"), ("90:1_0", "such as"), ("٣:4", "such as"),
        ("90: 5", "such as"), ("90:5;180:4", "such as"), ("90:5:6", "such as"),
        ("90:1,5", "such as"), ("1e2:5", "such as"),
        ("361:1", "bearing outside 0 to 360"), ("-1:1", "bearing outside 0 to 360"),
        ("90:60.1", "elevation outside -5 to 60"), ("90:-5.1", "elevation outside -5 to 60"),
        ("0:5 360:6", "second elevation"), ("10:5 10:5.5", "second elevation"),
    ],
)  # fmt: skip
def test_a_bad_pair_is_named_with_what_is_wrong(text, word):
    with pytest.raises(ValueError, match=word) as error:
        TerrainHorizon.parse(text)
    assert "“" in str(error.value)


@pytest.mark.parametrize("text", ["90:60", "90:-5", "0:1", "360:1", "+90:+1.5", "90:.5", "90:5."])
def test_what_stands_at_the_limit_is_taken(text):
    assert len(TerrainHorizon.parse(text).pairs) == 1


@given(st.lists(st.tuples(st.integers(0, 359), st.integers(-5, 60)), unique_by=lambda p: p[0]))
def test_what_is_written_out_reads_back_the_same(pairs):
    horizon = TerrainHorizon(tuple(sorted((float(b), float(e)) for b, e in pairs)))
    assert TerrainHorizon.parse(str(horizon)) == horizon


@given(st.text(max_size=30))
def test_any_text_is_either_a_profile_or_a_sentence(text):
    try:
        horizon = TerrainHorizon.parse(text)
    except ValueError as error:
        assert str(error).endswith(".")
    else:
        assert all(0.0 <= bearing < 360.0 for bearing, _ in horizon.pairs)


def test_rows_with_equal_profiles_are_put_together():
    low, high = TerrainHorizon.parse("0:1"), TerrainHorizon.parse("0:9")
    profiles = np.array([low, high, TerrainHorizon(((0.0, 1.0),)), high], dtype=object)
    found = {str(profile): rows.tolist() for profile, rows in groups(profiles)}
    assert found == {"0:1": [0, 2], "0:9": [1, 3]}


def test_no_rows_make_no_groups():
    assert groups(np.array([], dtype=object)) == []
