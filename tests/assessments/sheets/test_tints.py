"""The tints read in grey and with few colours."""

import itertools

import numpy as np
import pytest

from assessments.sheets.tints import SCALES, hatch_colour, lightness, rgb

# Machado, Oliveira & Fernandes 2009, "A physiologically-based model for simulation of color
# vision deficiency", severity 1.0 (matrices from memory), on linear sRGB.
DEFICIENCIES = {
    "protanopia": [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216],
                   [-0.003882, -0.048116, 1.051998]],
    "deuteranopia": [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413],
                     [-0.011820, 0.042940, 0.968881]],
    "tritanopia": [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602],
                   [0.004733, 0.691367, 0.303900]],
}  # fmt: skip


def seen(colour: str, deficiency: str) -> str:
    """The colour as someone sees it who tells few colours apart."""
    linear = (np.array(rgb(colour)) / 255.0) ** 2.2
    shown = np.clip(np.array(DEFICIENCIES[deficiency]) @ linear, 0.0, 1.0) ** (1 / 2.2)
    return "#" + "".join(f"{round(part * 255):02x}" for part in shown)


@pytest.mark.parametrize("scale", SCALES.values(), ids=SCALES)
def test_lightness_runs_one_way_in_steps_that_can_be_told(scale):
    steps = np.diff([lightness(colour) for colour in scale.colours])
    assert (steps > 0).all() or (steps < 0).all()
    assert np.abs(steps).min() > 6.0


@pytest.mark.parametrize("scale", SCALES.values(), ids=SCALES)
@pytest.mark.parametrize("deficiency", DEFICIENCIES)
def test_lightness_runs_one_way_for_eyes_that_tell_few_colours(scale, deficiency):
    steps = np.diff([lightness(seen(colour, deficiency)) for colour in scale.colours])
    assert (steps > 0).all() or (steps < 0).all()
    assert np.abs(steps).min() > 4.0


@pytest.mark.parametrize("scale", SCALES.values(), ids=SCALES)
def test_hatching_stands_out_on_every_tint(scale):
    apart = [abs(lightness(c) - lightness(hatch_colour(c))) for c in scale.colours]
    assert min(apart) > 40.0


@pytest.mark.parametrize(("colour", "expected"), [("#000000", 0.0), ("#ffffff", 100.0),
                                                  ("#777777", 50.03)])  # fmt: skip
def test_lightness_is_that_of_the_cie(colour, expected):
    # CIE L* of the sRGB grey 119: 50.03 (worked from IEC 61966-2-1).
    assert lightness(colour) == pytest.approx(expected, abs=0.01)


def test_each_tint_is_a_range_and_bounds_grow():
    for scale in SCALES.values():
        assert len(scale.colours) == len(scale.bounds_deg) + 1
        assert all(a < b for a, b in itertools.pairwise(scale.bounds_deg))


def test_the_scale_of_sizes_takes_both_sides_alike():
    size = SCALES["size"]
    assert size.tint_of(np.array([-17.0, 17.0])).tolist() == [6, 6]


def test_the_scale_of_sides_tells_left_from_right():
    left, right = SCALES["sided"].tint_of(np.array([-17.0, 17.0]))
    assert left < 4 < right
