"""The planner on paper: the map of the year, the day's lines, good and wrong hours."""

from django.utils.translation import gettext as _
from reportlab.platypus import Flowable, KeepTogether

from assessments.hours import PlannedHours
from assessments.sheets import words
from assessments.sheets.layout import Composer, ruled
from assessments.sheets.place_words import coordinates
from assessments.sheets.shapes import scaled
from assessments.sheets.tagging import Figure
from coursework.templatetags.coursework import zone_abbreviation
from coursework.wording import date_format
from solar.best_hours import Window

_MAP_PART = 0.78


def render_pdf(planned: PlannedHours, *, paper: str = "a4") -> bytes:
    """The hours as PDF on `paper` ("a4" or "letter"); ValueError for another paper."""
    composer = Composer(paper)
    asked = planned.asked
    title = _("%(method)s at %(site)s, %(year)s") % {
        "method": words.capital(asked.method_name),
        "site": asked.site.name,
        "year": asked.day.year,
    }
    place = _("%(where)s; times of %(zone)s; tolerance %(tolerance)s either side.") % {
        "where": coordinates(asked.site),
        "zone": asked.site.zone,
        "tolerance": words.degrees(asked.tolerance_deg),
    }
    if asked.method == "shadow-tip":
        place += " " + _("Marks %(minutes)s minutes apart.") % {
            "minutes": f"{asked.interval_min:g}"
        }
    width, day, said = composer.width * _MAP_PART, planned.day(), planned.drawing_words()
    story: list[Flowable] = [
        composer.paragraph(title, "title"),
        composer.paragraph(place),
        Figure(scaled(planned.legend(), width), f"{said['legend']}."),
        Figure(scaled(planned.map(printed=True), width), f"{said['map']}."),
    ]
    if day is not None:
        shown = date_format(asked.day, "l j F Y")
        drawn = Figure(scaled(day, width), f"{said['day']}.")
        story.append(KeepTogether(composer.section(shown, drawn)))
    if day is not None:
        on = {"day": date_format(asked.day, "j F")}
        story += _windows(composer, _("Good hours on %(day)s") % on, planned.good)
        story.append(composer.paragraph(_good_note(asked.tolerance_deg), "small"))
        story += _windows(
            composer, _("Reliably wrong hours on %(day)s") % on, planned.wrong, best=False
        )
        story.append(composer.paragraph(_wrong_note(), "small"))
    story += _windows(composer, _("The best of each month, ranked"), planned.best_of_months)
    if day is None:
        story.append(composer.paragraph(_good_note(asked.tolerance_deg), "small"))
    return composer.pdf(story, title=title, author=asked.site.school.name, footer="")


def _good_note(tolerance_deg: float) -> str:
    return _(
        "Starts with a method error of at most %(tolerance)s. The rank, at the best start of each "
        "stretch, is the method error without its side plus twice the marking scatter; the "
        "smallest comes first."
    ) % {"tolerance": words.tolerance(tolerance_deg)}


def _wrong_note() -> str:
    return _(
        "For an exercise about the limits of the method: even careful marks, two scatters to the "
        "better side, lay a line beyond the tolerance. The rank is the method error less twice "
        "the scatter; the largest comes first."
    )


def _windows(composer: Composer, title: str, windows: list[Window], *, best=True) -> list[Flowable]:
    if not windows:
        return composer.section(title, composer.paragraph(_("None.")))
    heads = (
        _("Date"),
        _("Start from, to"),
        _("Best at") if best else _("Worst at"),
        _("Method error"),
        _("Marking scatter"),
        _("Rank"),
    )
    cells = [[composer.paragraph(head, "label") for head in heads]]
    for window in windows:
        scatter = "–" if window.scatter_deg is None else words.degrees(window.scatter_deg)
        parts = (
            date_format(window.date, "D j F"),
            f"{window.start:%H:%M}–{window.end:%H:%M} {zone_abbreviation(window.end)}",
            f"{window.at:%H:%M}",
            words.turn(window.error_deg),
            scatter,
            words.degrees(window.rank_deg),
        )
        cells.append([composer.paragraph(part) for part in parts])
    widths = [composer.width * part for part in (0.2, 0.26, 0.1, 0.2, 0.14, 0.1)]
    return composer.section(title, ruled(cells, widths, header=True))
