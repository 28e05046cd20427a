"""Lines of lists of results as HTML; see `coursework.rows`."""

import uuid
from collections.abc import Callable, Iterable
from functools import lru_cache

from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.text import capfirst, slugify
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from assessments.models import Attempt, Revision, Verdict
from assessments.sheets import travel_words, words
from coursework.models import Method, Unit
from coursework.rows import parts, together
from coursework.templatetags.coursework import local_time_in

_PAIR = "<div><dt>{}</dt><dd>{}</dd></div>"
_TRAVEL = f'<dl class="attempt-numbers attempt-score">{_PAIR}</dl>'
_ANGLES = f'<dl class="attempt-numbers">{_PAIR} {_PAIR} {_PAIR}</dl>'
_VERDICT = ' <span class="verdict-word verdict-{}">{}</span>'
_NONE = '<p class="attempt-none">{}</p> <span class="verdict-word verdict-none">{}</span>'
_LINE = (
    '<li class="row-line attempt-line"><a class="row-main" href="{}">'
    '<span class="row-title">{}</span> <span class="row-note">{}</span></a>{}</li>'
)
_PLACE = uuid.UUID(int=9)


def score_name(score: Revision) -> str:
    """What the score of a result without a line is of, in a word or two."""
    names = {
        Method.PACE_COUNT: _("distance"),
        Method.DISTANCE: _("distance"),
        Method.POSITION: _("off the point"),
        Method.CHECKLIST: _("met"),
    }
    by_unit = {Unit.DEGREES: _("bearing walked"), Unit.METRES: _("off the goal")}
    return names.get(Method(score.method)) or by_unit[Unit(score.score_unit)]


def score_words(score: Revision) -> str:
    """The score of a result without a line, with its unit and side."""
    return travel_words.signed_score(
        score.score_value, score.score_unit, score.score_side, score.results
    )


class _Words:
    """Words that lines say again and again, looked up once for a list."""

    def __init__(self):
        self.language = get_language()
        self.result, self.method, self.own = _("result"), _("method"), _("own")
        self.practice, self.none = _("practice"), _("no result")


def numbers(score: Revision, said: _Words | None = None) -> SafeString:
    """The three angles of a result or its one score, and the verdict; or why there is none."""
    said = said or _Words()
    if score.no_result:
        return format_html(_NONE, capfirst(score.no_result_words), said.none)
    if score.is_travel:
        told = format_html(_TRAVEL, score_name(score), score_words(score))
    else:
        told = format_html(
            _ANGLES,
            said.result,
            _signed(round(score.error_deg, 1), said.language),
            said.method,
            _signed(round(score.method_error_deg, 1), said.language),
            said.own,
            _signed(round(score.own_error_deg, 1), said.language),
        )
    return told + _verdict(score.verdict, said.language)


@lru_cache(maxsize=8192)
def _signed(value: float, _language: str | None) -> str:
    return words.signed(value)


@lru_cache
def _verdict(value: str, _language: str | None) -> SafeString:
    label = Verdict(value).label if value else ""
    return format_html(_VERDICT, slugify(value), label)


def attempts(
    rows: Iterable[Attempt], *, hide_student: bool = False, hide_exercise: bool = False
) -> SafeString:
    """Results of `with_scores` or `for_lines`."""
    address, said = _addresses(), _Words()

    def one(attempt: Attempt) -> SafeString:
        score = attempt.current
        about = parts(
            "" if hide_student or hide_exercise else attempt.exercise.title,
            local_time_in(score.observed_at, score.zone, said.language),
            "" if attempt.assessed else said.practice,
        )
        return format_html(
            _LINE,
            address(attempt.key),
            attempt.exercise.title if hide_student else attempt.student.name,
            about,
            numbers(score, said),
        )

    return together(one(attempt) for attempt in rows)


def _addresses() -> Callable[[uuid.UUID], str]:
    before, after = reverse("attempt-detail", args=[_PLACE]).split(str(_PLACE))
    return lambda key: f"{before}{key}{after}"
