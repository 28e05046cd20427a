"""Where the lines of a skyline chart go."""

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
