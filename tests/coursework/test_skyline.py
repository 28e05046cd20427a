"""Where the lines of a skyline chart go."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coursework import skyline
from solar.horizon import TerrainHorizon


def points_of(text: str) -> list[tuple[float, float]]:
    chart = skyline.chart(TerrainHorizon.parse(text))
    return [tuple(map(float, point.split(","))) for point in chart["points"].split()]


def test_the_outline_runs_from_north_round_to_north_and_is_closed_on_the_floor():
    points = points_of("90:10")
    assert points[0] == (skyline.LEFT, skyline.FLOOR)
    assert points[-1] == (skyline.RIGHT, skyline.FLOOR)
    assert points[1][1] == points[-2][1]


def test_a_higher_skyline_is_drawn_higher():
    heights = dict(points_of("0:0 90:10 180:0"))
    quarter = skyline.LEFT + (skyline.RIGHT - skyline.LEFT) / 4
    assert heights[quarter] == skyline.TOP
    assert heights[skyline.LEFT] == skyline.FLOOR


def test_a_skyline_below_the_horizontal_lowers_the_floor():
    labels = [row["label"] for row in skyline.chart(TerrainHorizon.parse("90:-3"))["levels"]]
    assert labels[0] == "−5°"
    assert labels[-1] == "10°"


def test_the_highest_skyline_fits():
    chart = skyline.chart(TerrainHorizon.parse("90:60 270:5"))
    assert min(y for _x, y in points_of("90:60 270:5")) >= skyline.TOP
    assert chart["levels"][-1]["label"] == "60°"


@pytest.mark.parametrize(
    ("text", "pairs"),
    [
        ("90:4.5 180:12", ["90:4.5", "180:12"]),
        ("90:4,5; 180:12", ["90:4.5", "180:12"]),
        ("90 : 4.5, 180 : 12", ["90:4.5", "180:12"]),
        ("90 4.5\n180 12", ["90:4.5", "180:12"]),
        ("90\t4,5\n180\t12", ["90:4.5", "180:12"]),
        ("90;4,5\r\n180;12", ["90:4.5", "180:12"]),
        ("90,4.5\n180,12", ["90:4.5", "180:12"]),
        ("90, 4.5", ["90:4.5"]),
        ("bearing elevation\n90° −2°\n\n", ["90:-2"]),
        ("", []),
        ("90 4 5", ["90,4,5"]),
        ("90", ["90"]),
    ],
)
def test_lists_are_read_however_they_are_parted(text, pairs):
    assert skyline.pasted_pairs(text) == pairs


BEARINGS = st.integers(0, 3599).map(lambda tenths: tenths / 10.0)
ELEVATIONS = st.integers(-50, 600).map(lambda tenths: tenths / 10.0)


@given(st.dictionaries(BEARINGS, ELEVATIONS, min_size=1), st.sampled_from(["\t", " ", ";", ":"]))
def test_a_list_written_is_the_profile_read(profile, parting):
    lines = (f"{bearing}{parting}{elevation}" for bearing, elevation in profile.items())
    read = TerrainHorizon.parse(" ".join(skyline.pasted_pairs("\n".join(lines))))
    assert dict(read.pairs) == profile


@given(st.text())
def test_any_text_is_a_profile_or_refused_with_a_sentence(text):
    try:
        TerrainHorizon.parse(" ".join(skyline.pasted_pairs(text)))
    except ValueError as error:
        assert str(error).endswith(".")
