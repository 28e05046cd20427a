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
from coursework.rows import note, parts, together
from coursework.templatetags.coursework import local_time

_PAIR = "<div><dt>{}</dt><dd>{}</dd></div>"
_TRAVEL = f'<dl class="attempt-numbers attempt-score">{_PAIR}</dl>'
_ANGLES = f'<dl class="attempt-numbers">{_PAIR} {_PAIR} {_PAIR}</dl>'
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


def numbers(score: Revision) -> SafeString:
    """The three angles of a result or its one score, and the verdict; or why there is none."""
    if score.no_result:
        return format_html(
            '<p class="attempt-none">{}</p> <span class="verdict-word verdict-none">{}</span>',
            capfirst(score.no_result_words),
            _("no result"),
        )
    if score.is_travel:
        said = format_html(_TRAVEL, score_name(score), score_words(score))
    else:
        said = format_html(
            _ANGLES,
            _("result"),
            words.signed(score.error_deg),
            _("method"),
            words.signed(score.method_error_deg),
            _("own"),
            words.signed(score.own_error_deg),
        )
    kind, verdict = _verdict(score.verdict, get_language())
    return format_html('{} <span class="verdict-word verdict-{}">{}</span>', said, kind, verdict)


@lru_cache
def _verdict(value: str, _language: str | None) -> tuple[str, str]:
    return slugify(value), str(Verdict(value).label) if value else ""


def attempts(
    rows: Iterable[Attempt], *, hide_student: bool = False, hide_exercise: bool = False
) -> SafeString:
    """Results of `with_scores`."""
    address, practice = _addresses(), _("practice")

    def one(attempt: Attempt) -> SafeString:
        score = attempt.current
        said = parts(
            "" if hide_student or hide_exercise else attempt.exercise.title,
            local_time(score.observed_at, score.zone),
            "" if attempt.assessed else practice,
        )
        return format_html(
            '<li class="row-line attempt-line"><a class="row-main" href="{}">'
            '<span class="row-title">{}</span> {}</a>{}</li>',
            address(attempt.key),
            attempt.exercise.title if hide_student else attempt.student.name,
            note(said),
            numbers(score),
        )

    return together(one(attempt) for attempt in rows)


def _addresses() -> Callable[[uuid.UUID], str]:
    before, after = reverse("attempt-detail", args=[_PLACE]).split(str(_PLACE))
    return lambda key: f"{before}{key}{after}"
