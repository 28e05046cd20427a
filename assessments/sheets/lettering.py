"""How large a drawing writes: small on paper, which is read from near, larger on a screen.

A drawing for the screen is laid out as wide as the page of a phone leaves and is shown no wider
than it can be read well at a desk, so that one drawing serves both. Lengths are in points of the
drawing; on a phone a point is about a pixel.
"""

from dataclasses import dataclass

SCREEN_WIDTH = 352.0
"""What the page of a phone leaves between its margins."""


@dataclass(frozen=True, kw_only=True)
class Lettering:
    """Sizes of the letters of a drawing, and what goes by them.

    `slack`: how much wider than measured here the letters may come out; a page sets its own font.
    `around`: whether what stands on the rim is named above and below the rose, not beside it.
    `breaks`: whether words that are too long for their place are broken.
    """

    slack: float
    around: bool
    breaks: bool
    # The band of degrees: its width, its figures and its letters, and how far their baselines
    # lie below their middles.
    band: float
    degree: float
    degree_drop: float
    point: float
    point_drop: float
    # Names on the rim, from line to line.
    name: float
    name_leading: float
    # Names within the drawing: size, height of their piece of bare paper, baseline above its foot.
    mark: float
    mark_height: float
    mark_base: float
    marks_apart: float
    # Around the drawing: legend, scale, north arrow; from row to row.
    key: float
    key_row: float
    key_drop: float
    strip: float
    # Legs and positions.
    spot: float
    spot_height: float
    spot_base: float
    title: float
    panel: float
    # Charts of a record; figures at an axis are a point smaller.
    chart: float
    # The three norths; names and notes are a point smaller than letters and angles.
    norths: float


PAPER = Lettering(
    slack=1.14,
    around=False,
    breaks=False,
    band=15.0,
    degree=6.5,
    degree_drop=2.3,
    point=9,
    point_drop=3.3,
    name=8.5,
    name_leading=10.0,
    mark=8.0,
    mark_height=10.0,
    mark_base=2.2,
    marks_apart=20.0,
    key=8.0,
    key_row=13.0,
    key_drop=2.8,
    strip=34.0,
    spot=8.5,
    spot_height=11.0,
    spot_base=2.6,
    title=9.0,
    panel=260.0,
    chart=10.0,
    norths=11.0,
)

SCREEN = Lettering(
    slack=1.28,
    around=True,
    breaks=True,
    band=20.0,
    degree=11.6,
    degree_drop=4.1,
    point=13.0,
    point_drop=4.7,
    name=12.5,
    name_leading=14.5,
    mark=12.0,
    mark_height=14.5,
    mark_base=3.2,
    marks_apart=30.0,
    key=12.0,
    key_row=16.5,
    key_drop=4.2,
    strip=46.0,
    spot=12.0,
    spot_height=15.0,
    spot_base=3.4,
    title=13.0,
    panel=260.0,
    chart=12.6,
    norths=12.4,
)
