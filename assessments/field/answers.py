"""The score of a stored result, as a device shows it."""

from typing import Any

from django.utils.text import slugify
from django.utils.translation import gettext as _

from assessments.models import Attempt
from assessments.sheets import travel_words, words


def score_of(attempt: Attempt) -> dict[str, Any]:
    """Pairs of name and words with unit and side, the verdict, and the address of the result."""
    score = attempt.current
    if not score.has_result:
        parts = [[_("no result"), score.no_result_words]]
    elif score.is_travel:
        said = travel_words.signed_score(
            score.score_value, score.score_unit, score.score_side, score.results
        )
        parts = [[_("score"), said]]
    elif score.error_deg is None:
        parts = []
    else:
        parts = [
            [_("result"), words.signed(score.error_deg)],
            [_("method"), words.signed(score.method_error_deg)],
            [_("own"), words.signed(score.own_error_deg)],
        ]
    return {
        "parts": parts,
        "verdict": score.get_verdict_display() if score.verdict else "",
        "verdict_class": slugify(score.verdict),
        "address": attempt.get_absolute_url(),
    }
