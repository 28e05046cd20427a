"""The drawings of a record, the same for page and print, and the words of each of their marks."""

from dataclasses import dataclass
from functools import cached_property

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from reportlab.graphics.shapes import Drawing

from assessments.records.points import Point
from assessments.records.student import Group, StudentRecord, mean_words
from assessments.sheets import words
from assessments.sheets.lettering import PAPER, SCREEN, SCREEN_WIDTH, Lettering
from assessments.sheets.record_groups import WIDTH, StripRow, strips_drawing
from assessments.sheets.record_history import MOST, NARROW, WIDE, HistoryMark, history_drawing
from assessments.sheets.record_rose import SIDE, error_rose
from assessments.sheets.svg import to_svg
from coursework.wording import in_one_line, said_of, short_date


@dataclass(frozen=True)
class Grouped:
    """One way to part the lines, with its drawing."""

    name: str
    title: str
    groups: list[Group]

    def drawing(self, width: float = WIDTH, lettering: Lettering = PAPER) -> Drawing:
        rows = [
            StripRow(group.name, tuple(line.own_error_deg for line in group.sound), group.own)
            for group in self.groups
        ]
        return strips_drawing(rows, width=width, lettering=lettering)

    @property
    def said(self) -> str:
        """What the drawing shows, in words."""
        return in_one_line(said_of(group.name, mean_words(group.own)) for group in self.groups)

    @property
    def svg(self) -> SafeString:
        return to_svg(
            self.drawing(lettering=SCREEN),
            prefix=f"record-{self.name}",
            title=_("Own errors %(how)s") % {"how": self.title},
            description=f"{self.said}. " + _("A table below says the same in figures."),
        )


class RecordCharts:
    """The drawings of a record with at least one line."""

    def __init__(self, record: StudentRecord) -> None:
        self.record = record

    @cached_property
    def marks(self) -> list[HistoryMark]:
        return [_mark(point) for point in self.record.shown]

    @property
    def mean_deg(self) -> float | None:
        found = self.record.all.own
        return None if found is None else found.mean_deg

    def history(self, width: float = WIDE, lettering: Lettering = PAPER) -> Drawing:
        return history_drawing(self.marks, width=width, mean_deg=self.mean_deg, lettering=lettering)

    @property
    def history_svgs(self) -> list[tuple[str, SafeString]]:
        """For a desk and for a phone: the class that shows it there, and the drawing."""
        return [
            (name, self._history_svg(f"record-{name}", width))
            for name, width in (("wide", WIDE), ("narrow", NARROW))
        ]

    def _history_svg(self, prefix: str, width: float) -> SafeString:
        number = min(len(self.marks), MOST[width])
        return to_svg(
            self.history(width, SCREEN),
            prefix=prefix,
            title=_("The newest %(number)s lines in order of time") % {"number": number},
            description=_(
                "Above, the result of each line as a dot and the method’s part in it as a bar; "
                "below, the own error with the uncertainty of the check. Upwards is to the right. "
                "The table below has the same lines in figures."
            ),
        )

    def rose(self, width: float = SIDE, lettering: Lettering = PAPER) -> Drawing:
        tolerances = {line.tolerance_deg for line in self.record.lines}
        return error_rose(
            [line.own_error_deg for line in self.record.lines],
            found=self.record.all.own,
            tolerance_deg=tolerances.pop() if len(tolerances) == 1 else None,
            width=width,
            lettering=lettering,
        )

    @property
    def rose_svg(self) -> SafeString:
        return to_svg(
            self.rose(SCREEN_WIDTH, SCREEN),
            prefix="record-rose",
            title=_("Rose of own errors"),
            description=_("Mean direction %(mean)s over %(number)s lines not laid end for end.")
            % {"mean": mean_words(self.record.all.own), "number": len(self.record.all.sound)},
        )

    @cached_property
    def grouped(self) -> list[Grouped]:
        record = self.record
        return [
            Grouped("method", _("by method"), record.by_method),
            Grouped("time", _("by time of day"), record.by_time),
            Grouped("site", _("by site"), record.by_site),
            Grouped("check", _("by who checked, and with what"), record.by_check),
        ]

    @property
    def script_marks(self) -> list[list[str]]:
        """The words of each line of the history and where it leads, in order, for the tooltip."""
        return [[mark_words(point), point.address] for point in self.record.shown]


def mark_words(point: Point) -> str:
    """One line in a sentence: when, what, result, the method's part, own error."""
    said = {
        "when": short_date(point.local, "j M Y, H:i"),
        "method": point.method_name,
        "result": words.turn(point.error_deg),
        "part": words.turn(point.method_error_deg),
        "own": words.turn(point.own_error_deg),
        "check": words.degrees(point.expanded_u_deg),
        "verdict": words.verdict_name(point.verdict),
    }
    sentence = (
        _(
            "%(when)s, %(method)s: result %(result)s, the method’s part %(part)s, "
            "own error %(own)s ±%(check)s; %(verdict)s"
        )
        % said
    )
    return sentence if point.assessed else f"{sentence} ({_('practice')})"


def _mark(point: Point) -> HistoryMark:
    return HistoryMark(
        day=point.local.date(),
        error_deg=point.error_deg,
        method_error_deg=point.method_error_deg,
        own_error_deg=point.own_error_deg,
        expanded_u_deg=point.expanded_u_deg,
        tolerance_deg=point.tolerance_deg,
        assessed=point.assessed,
        swapped=point.is_swapped,
    )
