"""Hands above the horizon: the sun's height in hands, turned into its bearing."""

import numpy as np

from solar.daylight import SEMIDIAMETER_DEG
from solar.ephemeris import declination_and_hour_angle
from solar.horizon import groups
from solar.methods.base import Group, Laid, culminates_south
from solar.sentences import Sentence

NAME = "hands"


def hand_deg(*, breadth_m: float, reach_m: float) -> float:
    """Degrees that a hand of a breadth covers at a reach from the eye (same unit for both)."""
    if breadth_m <= 0.0 or reach_m <= 0.0:
        raise ValueError("Breadth and reach of a hand are both more than nothing.")
    return float(2.0 * np.degrees(np.arctan(breadth_m / (2.0 * reach_m))))


def lay(group: Group) -> Laid:
    """North is the sun's azimuth less the bearing that the rule gives it at the right count.

    The rule starts from due east, or ends at due west, and turns r degrees a hand towards the
    equator's side; the right count is the lower limb's height above the skyline over c.
    """
    azimuth, elevation = group.sun()
    latitude = group.of("latitude_deg")
    declination, hour_angle = declination_and_hour_angle(
        group.times[:, 0], longitude_deg=group.of("longitude_deg")
    )
    refuse_wrong_side(group, declination)
    forenoon = _forenoon(group, hour_angle)
    ground = np.empty(group.rows.size)
    for profile, some in groups(group.of("horizon")):
        ground[some] = profile.elevation_deg(azimuth[some, 0])
    perfect = (elevation[:, 0] - SEMIDIAMETER_DEG - ground) / group.of("degrees_per_hand")
    turn = np.where(forenoon, 1.0, -1.0) * np.where(latitude >= 0.0, 1.0, -1.0)
    turn *= group.of("rule_deg_per_hand")
    assumed = np.where(forenoon, 90.0, 270.0) + turn * perfect
    return Laid.of(
        group,
        azimuth[:, 0] - assumed,
        group.times,
        azimuth,
        elevation,
        assumed_sun_deg=assumed,
        hands_perfect=perfect,
        per_hand_deg=-turn,
    )


def refuse_wrong_side(group: Group, declination_deg: np.ndarray) -> None:
    """Refuse rows where the sun culminates on the other side than the rule supposes."""
    latitude = group.of("latitude_deg")
    south = culminates_south(latitude, declination_deg)
    group.refuse(
        south != (latitude >= 0.0),
        "lat",
        lambda i: (
            Sentence(
                "on this date the sun culminates south of the zenith here, "
                "on the other side than the rule supposes, so the rule does not hold."
            )
            if south[i]
            else Sentence(
                "on this date the sun culminates north of the zenith here, "
                "on the other side than the rule supposes, so the rule does not hold."
            )
        ),
    )


def _forenoon(group: Group, hour_angle: np.ndarray) -> np.ndarray:
    """By what was recorded, else by the sun; a record that contradicts the sun is refused."""
    half, before_noon = group.of("half"), hour_angle < 0.0
    contradicts = (half != "") & ((half == "forenoon") != before_noon)
    group.refuse(
        contradicts,
        "half",
        lambda i: (
            Sentence("at the recorded time the sun was before its highest.")
            if before_noon[i]
            else Sentence("at the recorded time the sun was past its highest.")
        ),
    )
    return np.where(half == "", before_noon, half == "forenoon")
