"""QR codes: the fixed patterns that ISO/IEC 18004 asks for are where it asks for them."""

import re

from coursework.qr import QUIET_ZONE, qr_code

# ISO/IEC 18004:2015, 6.3.3 (from memory): a finder pattern is 7 squares a side, three dark
# squares within a light ring within a dark one, and stands in three of the corners.
FINDER = ["#######", "#     #", "# ### #", "# ### #", "# ### #", "#     #", "#######"]


def squares(text: str) -> list[str]:
    code = qr_code(text)
    rows = [[" "] * code.size for _ in range(code.size)]
    for x, y, length in re.findall(r"M(\d+) (\d+)h(\d+)v1h-\d+z", code.path):
        for column in range(int(x), int(x) + int(length)):
            rows[int(y)][column] = "#"
    return ["".join(row) for row in rows]


def part(rows: list[str], top: int, left: int) -> list[str]:
    return [row[left : left + 7] for row in rows[top : top + 7]]


def test_three_corners_hold_the_finder_pattern():
    rows = squares("https://school.example/join/abc/")
    near, far = QUIET_ZONE, len(rows) - QUIET_ZONE - 7
    assert part(rows, near, near) == part(rows, near, far) == part(rows, far, near) == FINDER


def test_the_quiet_zone_is_light():
    rows = squares("https://school.example/join/abc/")
    edge = [*rows[:QUIET_ZONE], *rows[-QUIET_ZONE:]]
    edge += [row[:QUIET_ZONE] + row[-QUIET_ZONE:] for row in rows]
    assert "#" not in "".join(edge)


def test_the_timing_pattern_alternates_between_the_finders():
    rows = squares("https://school.example/join/abc/")
    line = rows[QUIET_ZONE + 6][QUIET_ZONE + 7 : len(rows) - QUIET_ZONE - 7]
    assert set(line[0::2]) == {" "}
    assert set(line[1::2]) == {"#"}


def test_other_texts_make_other_codes():
    assert qr_code("a").path != qr_code("b").path
