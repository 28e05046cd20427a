"""Sentences and drawing of a score, whichever kind it is: a line that was laid, or none."""

from reportlab.graphics.shapes import Drawing

from assessments.sheets import travel_words, words
from assessments.sheets.attempt_drawing import attempt_drawing
from assessments.sheets.contents import Standard, TravelStandard
from assessments.sheets.drawing_words import drawing_description, drawing_title
from assessments.sheets.lettering import PAPER, Lettering
from assessments.sheets.travel_drawing import travel_drawing, travel_title
from assessments.sheets.travel_words import TravelNumbers
from assessments.sheets.words import Numbers
from coursework.models.curriculum import evidence_sentences
from coursework.models.methods import is_travel

Said = Numbers | TravelNumbers


def sentences(numbers: Said) -> list[str]:
    """Everything that is to be said of an attempt, verdict apart."""
    if isinstance(numbers, TravelNumbers):
        return travel_words.sentences(numbers)
    return words.sentences(numbers)


def main_sentence(numbers: Said) -> str:
    """What method and student did, or what came out where no line was laid."""
    if isinstance(numbers, TravelNumbers):
        return travel_words.result_sentence(numbers)
    return words.split_sentence(numbers)


def verdict_part(numbers: Said) -> str:
    if isinstance(numbers, TravelNumbers):
        return travel_words.verdict_part(numbers)
    return words.verdict_part(numbers)


def verdict_sentence(numbers: Said) -> str:
    return words.capital(verdict_part(numbers)) + "."


def is_too_coarse(numbers: Said) -> bool:
    """Whether the guarded check could not show any result within the tolerance."""
    if numbers.rule != "guarded":
        return False
    if isinstance(numbers, TravelNumbers):
        return 0.0 < numbers.tolerance <= numbers.expanded_u
    return numbers.expanded_uncertainty_deg >= numbers.tolerance_deg


def closeness_sentence(standard: Standard | TravelStandard) -> str:
    """What is asked for, how near and by which rule."""
    if isinstance(standard, Standard):
        return words.standard_sentence(
            target_deg=standard.target_deg,
            tolerance_deg=standard.tolerance_deg,
            judged_on=standard.judged_on,
            rule=standard.rule,
        )
    return travel_words.standard_sentence(
        method=standard.method,
        judged_on=standard.judged_on,
        tolerance_is=standard.tolerance,
        unit=standard.unit,
        rule=standard.rule,
    )


def standard_sentence(standard: Standard | TravelStandard) -> str:
    """What is asked for, how near, by which rule, how often and spread over what."""
    sentences = [closeness_sentence(standard)]
    if standard.attempts_needed:
        sentences += evidence_sentences(
            attempts_needed=standard.attempts_needed,
            distinct_days=standard.distinct_days,
            forenoon_and_afternoon=standard.forenoon_and_afternoon,
            distinct_assessors=standard.distinct_assessors,
        )
    return " ".join(sentences)


def drawn(
    drawing: dict, *, width: float, height: float, zone: str, lettering: Lettering = PAPER
) -> Drawing | None:
    """The drawing of a score; None where there is nothing to draw."""
    if not drawing:
        return None
    if is_travel(drawing["method"]):
        return travel_drawing(drawing, width=width, height=height, lettering=lettering)
    return attempt_drawing(drawing, width=width, height=height, zone=zone, lettering=lettering)


def title_of_drawing(drawing: dict) -> str:
    return travel_title(drawing) if is_travel(drawing["method"]) else drawing_title(drawing)


def description_of_drawing(drawing: dict, numbers: Said, zone: str) -> str:
    if isinstance(numbers, TravelNumbers):
        return " ".join(sentences(numbers))
    return drawing_description(drawing, zone)
