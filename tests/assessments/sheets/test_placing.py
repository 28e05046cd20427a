"""Room for labels: columns and places beside points."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.sheets.placing import Box, Placer, spread


def test_labels_stay_where_they_are_wanted_where_there_is_room():
    assert spread([90.0, 50.0], [10.0, 10.0], 0.0, 100.0) == [90.0, 50.0]


@given(
    st.lists(st.tuples(st.floats(-50, 150), st.floats(4, 20)), min_size=1, max_size=6).filter(
        lambda items: sum(height for _middle, height in items) <= 99
    )
)
def test_labels_in_a_column_neither_overlap_nor_leave_it(items):
    items.sort(reverse=True)
    heights = [height for _middle, height in items]
    middles = spread([middle for middle, _height in items], heights, 0.0, 100.0)
    edges = [100.0]
    for middle, height in zip(middles, heights, strict=True):
        assert middle + height / 2 <= edges[-1] + 1e-6
        edges.append(middle - height / 2)
    assert edges[-1] >= -1e-6


def test_the_length_of_a_line_inside_a_box_is_measured():
    box = Box(0, 0, 10, 10)
    assert box.length_inside(((-5, 5), (15, 5))) == pytest.approx(10.0)
    assert box.length_inside(((-5, 20), (15, 20))) == 0.0
    assert box.length_inside(((2, 2), (2, 8))) == pytest.approx(6.0)


def test_labels_at_one_point_do_not_cover_one_another():
    placer = Placer((0.0, 0.0), 60.0)
    boxes = [placer.place((5.0, 5.0), 25.0, 10.0) for _n in range(5)]
    assert not any(a.overlaps(b) for a in boxes for b in boxes if a is not b)


def test_a_label_without_room_is_left_out():
    assert Placer((0.0, 0.0), 8.0).place((0.0, 0.0), 25.0, 10.0) is None


def test_a_label_keeps_off_a_line_where_it_can():
    placer = Placer((0.0, 0.0), 80.0, lines=[((-70.0, 0.0), (70.0, 0.0))])
    assert placer.place((0.0, 0.0), 25.0, 10.0).length_inside(placer.lines[0]) == 0.0
