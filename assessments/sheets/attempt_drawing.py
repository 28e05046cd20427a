"""One attempt seen from above, to scale, north up: the same shapes for page and paper.

Tags for stylesheets: drawing-laid, -wedge, -asked, -method, -shadow, -mark, -chord, -sun,
-assumed-sun, -star, -dropped, -axis, -sunline, -rim, -tick, -degree, -point, -label, -leader,
-backing, -scale, -north, -slope, -foot, -legend, -ring, -turn; -hollow and -solid for small
filled parts, -words for text beside a symbol. Without a stylesheet all is black, white and grey,
and kinds of line differ by their pattern and by what stands on the rim.
"""

import math
from collections.abc import Iterator

from reportlab.graphics.shapes import Drawing, Shape

from assessments.sheets import furniture, rose
from assessments.sheets.drawing_words import DrawingWords
from assessments.sheets.lettering import PAPER, Lettering
from assessments.sheets.plan import Plan
from assessments.sheets.shapes import (
    arrow_head,
    at_bearing,
    backing,
    circle,
    grey,
    line,
    polyline,
    sector,
    sun,
    tag,
    text,
)
from solar.bearings import difference_deg

# Parts of the inner radius at which the three lines end. They differ, so that each can be told
# from the others where they lie on top of one another.
_LAID_END, _METHOD_END = 0.86, 0.94


def attempt_drawing(
    drawing: dict | None,
    *,
    width: float,
    height: float,
    zone: str = "UTC",
    words: DrawingWords | None = None,
    lettering: Lettering = PAPER,
) -> Drawing:
    """The drawing of one attempt, or an empty rose where `drawing` is empty or None.

    `drawing` is that of a score: true bearings in degrees, positions in metres east and north
    of the foot of the stick. `width` and `height` are in points; what is made has that width
    and at most that height. `zone` is the IANA zone in which times are written.
    ValueError where the room is too small to be read.
    """
    labels = words or DrawingWords.current()
    if not drawing:
        return _empty_rose(width, height, labels)
    plan = Plan(drawing, width, height, zone, labels, lettering)
    made = tag(Drawing(width, plan.height), "drawing-attempt")
    for part in (
        rose.band(plan.centre, plan.radius, labels.letters, lettering=lettering),
        _uncertainty(plan),
        _shadows(plan),
        _sun_lines(plan),
        _lines(plan),
        plan.sky.shapes() if plan.sky is not None else iter(()),
        _marks(plan),
        furniture.foot(plan.centre),
        _rim(plan),
        _strip(plan, labels),
        plan.legend.shapes(plan.legend_at),
    ):
        _add(made, part)
    return made


def _add(made: Drawing, shapes: Iterator[Shape]) -> None:
    for shape in shapes:
        made.add(shape)


def _empty_rose(width: float, height: float, labels: DrawingWords) -> Drawing:
    radius = min(width, height) / 2 - PAPER.band - 2.0
    if radius < 40.0:
        raise ValueError("The drawing has too little room to be read.")
    made = tag(Drawing(width, 2 * (radius + PAPER.band + 2.0)), "drawing-empty")
    centre = (width / 2, made.height / 2)
    for part in (0.25, 0.5, 0.75):
        made.add(circle(centre, radius * part, "drawing-ring", width=0.5, dash=[1, 3]))
    for bearing in range(0, 360, 30):
        ends = at_bearing(centre, bearing, 8.0), at_bearing(centre, bearing, radius)
        made.add(line(*ends, "drawing-ring", width=0.4, dash=[1, 3]))
    _add(made, rose.band(centre, radius, labels.letters, fine=radius > 110))
    _add(made, furniture.foot(centre))
    if width - made.height > 150.0:
        _add(made, furniture.north_arrow((12.0, made.height - 34.0), labels.true_north))
    return made


def _uncertainty(plan: Plan) -> Iterator[Shape]:
    half = min(plan.drawing.get("uncertainty_deg") or 0.0, 180.0)
    if half > 0.0:
        laid = plan.drawing["laid_deg"]
        radius = plan.radius * _LAID_END
        yield sector(plan.centre, radius, laid - half, laid + half, "drawing-wedge")


def _shadows(plan: Plan) -> Iterator[Shape]:
    for tip in plan.tips:
        yield line(
            plan.centre, tip, "drawing-shadow", width=furniture.SHADOW_WIDTH, colour=grey(0.72)
        )


def _sun_lines(plan: Plan) -> Iterator[Shape]:
    """Where there are no shadows to draw, a fine line to the sun the student faced."""
    if not plan.tips:
        for label in plan.suns:
            rim = at_bearing(plan.centre, label.bearing_deg, plan.radius)
            yield line(plan.centre, rim, "drawing-sunline", width=0.8, dash=furniture.SUNLINE_DASH)


def _lines(plan: Plan) -> Iterator[Shape]:
    drawing, centre = plan.drawing, plan.centre
    if plan.chord is not None:
        yield line(*plan.chord, "drawing-chord", width=0.8, dash=furniture.CHORD_DASH)
    asked = at_bearing(centre, drawing["target_deg"], plan.radius)
    yield line(centre, asked, "drawing-asked", width=1.0, dash=furniture.ASKED_DASH)
    bearing = drawing["method_deg"]
    tip = at_bearing(centre, bearing, plan.radius * _METHOD_END)
    yield line(centre, tip, "drawing-method", width=1.6, dash=furniture.METHOD_DASH)
    yield arrow_head(tip, bearing, "drawing-method", size=6.0, filled=False)
    bearing = drawing["laid_deg"]
    tip = at_bearing(centre, bearing, plan.radius * _LAID_END)
    neck = at_bearing(centre, bearing, plan.radius * _LAID_END - 6.0)
    yield line(centre, neck, "drawing-laid", width=2.0)
    yield arrow_head(tip, bearing, "drawing-laid", size=8.0)


def _marks(plan: Plan) -> Iterator[Shape]:
    for tip in plan.tips:
        yield from furniture.mark(tip)
    for label in plan.mark_labels():
        box = label.box
        if label.needs_leader:
            ends = label.anchor, box.nearest_to(label.anchor)
            yield line(*ends, "drawing-leader", width=0.5)
        yield backing(box.left, box.bottom, box.right - box.left, box.top - box.bottom)
        at, size = (box.middle[0], box.bottom + plan.lettering.mark_base), plan.lettering.mark
        yield text(at, label.words, "drawing-label", size=size, anchor="middle")


def _rim(plan: Plan) -> Iterator[Shape]:
    centre, outer = plan.centre, plan.radius + plan.lettering.band
    for shapes, _box in plan.rim_labels():
        yield from shapes
    yield from _turn(plan)
    for label in plan.labels:
        if label.is_sun:
            at = at_bearing(centre, label.bearing_deg, outer + label.reach - 8.5)
            yield from sun(at, 7.0, f"drawing-{label.mark}", real=label.mark == "sun")
        else:
            yield from rose.pointer(centre, outer + label.offset, label.bearing_deg, label.mark)


def _turn(plan: Plan) -> Iterator[Shape]:
    """From where the rule supposes the sun to where it was: the method's error as an arc."""
    supposed = plan.drawing.get("assumed_sun_deg")
    real = next((label for label in plan.labels if label.mark == "sun"), None)
    if supposed is None or real is None:
        return
    turn = float(difference_deg(real.bearing_deg, supposed))
    radius = plan.radius + plan.lettering.band + real.reach - 8.5
    steps = max(2, int(abs(turn) / 3.0))
    # From rim to rim of the two symbols, not through them.
    inset = math.degrees(8.0 / radius) * (1.0 if turn > 0 else -1.0)
    arc = [
        at_bearing(plan.centre, supposed + inset + (turn - 2 * inset) * n / steps, radius)
        for n in range(steps + 1)
    ]
    if abs(turn) > 2 * abs(inset) + 2.0:
        yield polyline(arc, "drawing-turn", width=0.7)
        heading = supposed + turn - inset + (90.0 if turn > 0 else -90.0)
        yield arrow_head(arc[-1], heading, "drawing-turn", size=5.0, filled=False)


def _strip(plan: Plan, labels: DrawingWords) -> Iterator[Shape]:
    """North arrow, scale bar where something is to scale, slope where there is one."""
    drawing = plan.drawing
    yield from furniture.north_arrow(plan.north_at, labels.true_north, plan.lettering)
    if plan.tips:
        yield from furniture.scale_bar(
            plan.scale_at,
            plan.points_per_metre,
            plan.scale_room,
            drawing["stick_m"],
            lettering=plan.lettering,
        )
    if drawing.get("slope_deg"):
        slope = drawing["slope_deg"], drawing["downhill_deg"]
        yield from furniture.slope_arrow(plan.slope_at, *slope, plan.lettering)
