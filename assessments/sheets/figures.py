"""Drawings of scores as figures of a sheet, with the words that a page has for them."""

from assessments.sheets import said
from assessments.sheets.tagging import Figure


def figure_of(
    drawing: dict, numbers: said.Said, *, width: float, height: float, zone: str, alt: str = ""
) -> Figure | None:
    """The drawing of a score, `alt` in its stead where it cannot be seen; None without one.

    Without `alt` it is what a page says of the drawing.
    """
    made = said.drawn(drawing, width=width, height=height, zone=zone)
    if made is None:
        return None
    if not alt:
        title = said.title_of_drawing(drawing)
        alt = f"{title}. {said.description_of_drawing(drawing, numbers, zone)}"
    return Figure(made, alt)
