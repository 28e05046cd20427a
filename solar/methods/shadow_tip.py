"""Shadow-tip line: the tip of a vertical stick's shadow is marked two or more times."""

import numpy as np

from solar.methods.base import LONGEST_SHADOW, Group, Laid, bearing_of, unit
from solar.sentences import Sentence

NAME = "shadow-tip"


def lay(group: Group) -> Laid:
    """East is the line through the tips in time order; north is east - 90.

    Tips on ground of gradient g lie at 1 / (tan h + u.g) stick lengths along the shadow's
    direction u. Two tips make a chord, more an orthogonal least-squares line.
    """
    azimuth, elevation = group.sun()
    along = unit(azimuth + 180.0)
    fall = unit(group.of("downhill_deg")) * -np.tan(np.radians(group.of("slope_deg")))[:, None]
    steepness = np.tan(np.radians(elevation)) + np.einsum("rmk,rk->rm", along, fall)
    _refuse(group, steepness)
    with np.errstate(divide="ignore"):
        length = 1.0 / steepness
    points = along * (length * group.of("stick_m")[:, None])[..., None]
    direction, scatter = _line(points, group.of("mark_u_m"))
    return Laid.of(
        group,
        bearing_of(direction) - 90.0,
        group.times,
        azimuth,
        elevation,
        points_m=points,
        scatter_deg=scatter,
    )


def _refuse(group: Group, steepness: np.ndarray) -> None:
    least = np.nanmin(steepness, axis=1)
    group.refuse(
        least <= 0.0,
        "times",
        lambda i: Sentence("on this slope and at this hour the shadow never lands."),
    )
    group.refuse(
        (least > 0.0) & (least * LONGEST_SHADOW < 1.0),
        "times",
        lambda i: Sentence(
            "the shadow was %(length).0f stick lengths long; beyond "
            "%(longest).0f it has no end that can be marked.",
            length=float(1.0 / least[i]),
            longest=LONGEST_SHADOW,
        ),
    )


def _line(points: np.ndarray, mark_u_m: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Direction (rows, 2) of the line through points in order, and its marking scatter."""
    present = ~np.isnan(points[..., 0])
    count = present.sum(axis=1)
    centred = points - (np.nansum(points, axis=1) / count[:, None])[:, None, :]
    centred[~present] = 0.0
    east, north = centred[..., 0], centred[..., 1]
    twice = np.arctan2(
        2.0 * (east * north).sum(axis=1), (east * east).sum(axis=1) - (north * north).sum(axis=1)
    )
    direction = np.stack([np.cos(twice / 2.0), np.sin(twice / 2.0)], axis=-1)
    rows = np.arange(points.shape[0])
    onward = centred[rows, count - 1] - centred[:, 0]
    direction *= np.where((direction * onward).sum(axis=-1) < 0.0, -1.0, 1.0)[:, None]
    distance = np.einsum("rmk,rk->rm", centred, direction)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        scatter = np.degrees(mark_u_m / np.sqrt((distance * distance).sum(axis=1)))
    return direction, scatter
