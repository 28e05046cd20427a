"""What the page of one attempt shows, worked out of the stored record."""

from functools import cached_property

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import pgettext
from reportlab.graphics.shapes import Drawing

from assessments.models import Revision
from assessments.sheets import said, travel_words, words
from assessments.sheets.contents import steps_were_noted
from assessments.sheets.drawing_words import star_names, star_place
from assessments.sheets.lettering import SCREEN, SCREEN_WIDTH
from assessments.sheets.observed import observation_rows
from assessments.sheets.sources import numbers_of, place_of, standard_of
from assessments.sheets.svg import to_svg
from coursework.models import Method


class ResultPage:
    """What the pages of all results show; nothing is scored. Enough where there is no result."""

    def __init__(self, revision: Revision) -> None:
        self.revision = revision
        self.inputs, self.facts = revision.inputs, revision.facts
        self.numbers = numbers_of(revision)

    @property
    def exercise(self) -> str:
        """The exercise as it was called, with its method where the name does not say it."""
        name, method = self.facts["exercise"], str(Method(self.inputs["method"]).label)
        return name if method.lower() in name.lower() else f"{name} ({method})"

    @property
    def verdict(self) -> str:
        return said.verdict_sentence(self.numbers)

    @property
    def verdict_class(self) -> str:
        return {"within": "within", "outside": "outside"}.get(self.revision.verdict, "close")

    @property
    def standard(self) -> str:
        return said.standard_sentence(standard_of(self.numbers))

    @property
    def split(self) -> str:
        """What came out, in one sentence; for a line, what the method and the student did."""
        return said.main_sentence(self.numbers)

    @property
    def inputs_as_recorded(self) -> list[tuple[str, str]]:
        return observation_rows(self.inputs, self.facts)

    @cached_property
    def place(self):
        return place_of(self.revision)

    @property
    def steps_were_noted(self) -> bool:
        return steps_were_noted(self.revision.steps_met, self.inputs["method"])

    @property
    def steps(self) -> list[tuple[str, bool]]:
        met = set(self.revision.steps_met)
        return [(step, step in met) for step in self.facts["steps"]]

    @property
    def svg(self) -> SafeString | str:
        """The drawing; nothing where there is nothing to draw."""
        drawing, zone = self.revision.drawing, self.inputs["zone"]
        made = drawn_for_page(drawing, zone)
        if made is None:
            return ""
        return to_svg(
            made,
            prefix="attempt",
            title=said.title_of_drawing(drawing),
            description=said.description_of_drawing(drawing, self.numbers, zone),
        )


class TravelPage(ResultPage):
    """A distance, leg, position or checklist."""

    @property
    def sentences(self) -> list[str]:
        """What else is to be said."""
        found = travel_words.further_sentences(self.numbers)
        if said.is_too_coarse(self.numbers):
            found.append(
                _(
                    "The reference is too coarse for the tolerance: no result could have been "
                    "shown to be within it."
                )
            )
        return found

    @cached_property
    def angles(self) -> list[tuple[str, str]]:
        """The small table: name and value with unit and side."""
        return travel_words.number_rows(self.numbers)


class AttemptPage(ResultPage):
    """The stored score of a line in sentences, tables and a drawing."""

    @property
    def sentences(self) -> list[str]:
        """What else is to be said, the split apart, then the warnings."""
        numbers = self.numbers
        found = [
            words.result_sentence(numbers),
            words.counting_sentence(numbers),
            words.correction_sentence(numbers),
            words.scatter_sentence(numbers.marking_scatter_deg),
            *self._warnings(),
        ]
        return [sentence for sentence in found if sentence]

    def _warnings(self) -> list[str]:
        warnings = []
        if self.inputs["method"] == Method.HANDS and not self.facts["hand_measured"]:
            warnings.append(
                _(
                    "This student’s hand was not measured: 15° a hand was taken, so counting "
                    "is not told apart from laying."
                )
            )
        if abs(self.revision.method_error_deg) > 90.0:
            warnings.append(
                _(
                    "At this hour the method points more than a quarter turn away: under a sun "
                    "that stays up, or on its far side, the tip moves the other way."
                )
            )
        if self.facts.get("instrument_check", {}).get("overdue"):
            warnings.append(
                _("The instrument’s own check was overdue: it may not read what it is said to.")
            )
        if not self.revision.can_show_within:
            warnings.append(
                _(
                    "This check is too coarse for the tolerance: no line could have been shown "
                    "to be within it."
                )
            )
        if float(self.inputs["slope_deg"] or 0.0) and self.inputs["method"] != Method.SHADOW_TIP:
            warnings.append(_("The ground slopes; for this method that is not in the numbers."))
        return warnings

    @cached_property
    def angles(self) -> list[tuple[str, str]]:
        """The small table: name and value with unit and side."""
        revision = self.revision
        rows = [
            (_("Line asked for, true"), words.bearing(self.numbers.target_deg)),
            (_("Line laid, true"), words.bearing(revision.laid_true_deg)),
            (_("Result error"), words.signed(revision.error_deg)),
            (_("Method’s error"), words.signed(revision.method_error_deg)),
            (_("Student’s own error"), words.signed(revision.own_error_deg)),
        ]
        parts = [
            (_("of it counting the hands"), revision.counting_error_deg),
            (_("of it choosing the correction"), revision.correction_error_deg),
            (_("of it laying the line"), revision.laying_error_deg),
        ]
        rows += [(name, words.signed(part)) for name, part in parts if part is not None]
        if revision.marking_scatter_deg is not None:
            scatter = words.degrees(revision.marking_scatter_deg)
            rows.append((_("Scatter of a careful line (standard deviation)"), scatter))
        return rows

    @property
    def miss(self) -> str:
        return words.miss_sentence(self.revision.error_deg)

    @cached_property
    def uncertainty(self) -> list[tuple[str, str]]:
        """The parts of the uncertainty, standard deviations, then the expanded one."""
        names = {
            "reading": _("Reading"),
            "declination": _("Declination"),
            "mark": _("Bearing of the mark"),
            "check time": _("Time of the check"),
            "clock": _("Times of the marks"),
        }
        parts = self.facts["uncertainty"]
        return [(names[name], f"{words.degrees(part, 2)}") for name, part in parts.items()]

    @property
    def expanded(self) -> str:
        return f"±{words.degrees(self.revision.expanded_uncertainty_deg)}"

    @property
    def sky(self) -> list[tuple[str, str]]:
        """The sun, or the stars that were sighted: name, and true bearing with height."""
        stars = self.revision.drawing.get("stars")
        if stars:
            return list(zip(star_names(self.revision.method), map(star_place, stars), strict=True))
        place = _("%(azimuth)s true, %(elevation)s high") % {
            "azimuth": words.bearing(self.revision.sun_azimuth_deg),
            "elevation": words.degrees(self.revision.sun_elevation_deg),
        }
        return [(pgettext("in the sky", "Sun"), place)]

    @property
    def declination(self) -> str:
        """The declination that was used and where it is from; blank where none was."""
        used = self.revision.declination_used_deg
        if used is None:
            return ""
        side = _("east") if used >= 0 else _("west")
        source = self.revision.magnetic_model or _("the instructor’s own")
        return f"{words.degrees(abs(used))} {side}, {source}"


def page_of(revision: Revision) -> ResultPage:
    """The page of a result, whatever was done, or of none."""
    if not revision.has_result:
        return ResultPage(revision)
    return TravelPage(revision) if revision.is_travel else AttemptPage(revision)


def drawn_for_page(drawing: dict, zone: str) -> Drawing | None:
    """The drawing of a score for a phone and a desk; None where there is none."""
    return said.drawn(
        drawing, width=SCREEN_WIDTH, height=4.0 * SCREEN_WIDTH, zone=zone, lettering=SCREEN
    )
