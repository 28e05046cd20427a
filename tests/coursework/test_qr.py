"""QR codes: the fixed patterns that ISO/IEC 18004 asks for are where it asks for them."""

import re

import numpy as np
import pytest
from reportlab.graphics.barcode.qrencoder import QR8bitByte, QRCode, QRErrorCorrectLevel

from coursework.qr import QUIET_ZONE, _Code, penalty, qr_code

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


def lines(*rows: str) -> np.ndarray:
    return np.array([[square == "#" for square in row] for row in rows])


# Counted by hand after ISO/IEC 18004:2015, 7.8.3.1 (from memory).
@pytest.mark.parametrize(
    ("dark", "points"),
    [
        # Lines alike are 5 long, 10 of them: 30; 16 blocks: 48; all light is 50 % off: 100.
        (lines(*["     "] * 5), 178),
        # Every other square: no lines, no blocks, 13 of 25 dark.
        (lines("# # #", " # # ", "# # #", " # # ", "# # #"), 0),
        # One block of 2 by 2: 3; 9 of 16 dark are 6 % off: 10.
        (lines("##  ", "## #", " # #", "# # "), 13),
    ],
)
def test_a_mask_is_judged_by_the_points_of_the_standard(dark, points):
    assert penalty(dark) == points


def test_a_likeness_of_a_finder_costs_forty_points_on_the_side_that_is_light():
    chequered = np.indices((12, 12)).sum(axis=0) % 2 == 1
    before = penalty(chequered)
    like = chequered.copy()
    like[5, :11] = lines("# ### #    ")[0]
    turned = like[:, ::-1]
    assert penalty(like) == penalty(turned)
    without = like.copy()
    without[5, 8] = True
    assert penalty(like) - penalty(without) >= 40 > before


@pytest.mark.parametrize("mask", range(8))
def test_the_mask_with_the_fewest_points_is_taken(mask):
    text = f"https://school.example/check/{mask}"
    code = _Code(None, QRErrorCorrectLevel.M)
    code.addData(QR8bitByte(text))
    code.make()
    chosen = code.getBestMaskPattern()
    found = []
    for number in range(8):
        # As reportlab draws it with that mask, the format of the code left out.
        other = QRCode(None, QRErrorCorrectLevel.M)
        other.addData(QR8bitByte(text))
        other.version = other.calculate_version()
        other.makeImpl(True, number)
        found.append(penalty(np.array(other.modules, dtype=bool)))
    assert found[chosen] == min(found)
