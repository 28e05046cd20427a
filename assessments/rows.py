"""Lines of lists of results as HTML; see `coursework.rows`."""

import uuid
from collections.abc import Callable, Iterable
from datetime import datetime
from functools import lru_cache
from html import escape
from typing import NamedTuple

from django.db.models import QuerySet
from django.db.models.fields.json import KeyTextTransform
from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.text import capfirst, slugify
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from assessments.models import Attempt, Revision, Verdict
from assessments.models.attempts import NEWEST_FIRST
from assessments.models.revisions import ToldScore
from assessments.sheets import travel_words, words
from coursework.models import Method, Unit
from coursework.rows import parts, together
from coursework.templatetags.coursework import local_time_in

_PAIR = "<div><dt>{}</dt><dd>{}</dd></div>"
_TRAVEL = f'<dl class="attempt-numbers attempt-score">{_PAIR}</dl>'
_VERDICT = ' <span class="verdict-word verdict-{}">{}</span>'
_NONE = '<p class="attempt-none">{}</p> <span class="verdict-word verdict-none">{}</span>'
_PLACE = uuid.UUID(int=9)
# What `ScoreLine` has of a result, by its columns; the zone is that of the site as it stood.
_COLUMNS = {
    "key": "key",
    "assessed": "assessed",
    "method": "method",
    "student": "student__name",
    "exercise": "exercise__title",
    "observed_at": "current__observed_at",
    "zone": KeyTextTransform("zone", "current__inputs"),
    "no_result": "current__no_result",
    "remark": "current__remark",
    "verdict": "current__verdict",
    "error_deg": "current__error_deg",
    "method_error_deg": "current__method_error_deg",
    "own_error_deg": "current__own_error_deg",
    "score_value": "current__score_value",
    "score_unit": "current__score_unit",
    "score_side": "current__score_side",
    "results": "current__results",
}


class _ScoreColumns(NamedTuple):
    key: uuid.UUID
    assessed: bool
    method: str
    student: str
    exercise: str
    observed_at: datetime
    zone: str
    no_result: str
    remark: str
    verdict: str
    error_deg: float | None
    method_error_deg: float | None
    own_error_deg: float | None
    score_value: float | None
    score_unit: str
    score_side: str
    results: dict[str, float]


class ScoreLine(_ScoreColumns, ToldScore):
    """A result with no more than a line of a list says."""

    __slots__ = ()

    @classmethod
    def of(cls, attempt: Attempt) -> "ScoreLine":
        score = attempt.current
        of_attempt = (attempt.key, attempt.assessed, attempt.method)
        named = (attempt.student.name, attempt.exercise.title, score.observed_at, score.zone)
        return cls(*of_attempt, *named, *[getattr(score, name) for name in cls._fields[7:]])


def read(attempts: QuerySet[Attempt]) -> list[ScoreLine]:
    """The lines of results, the last observed first; one query."""
    rows = attempts.order_by(*NEWEST_FIRST).annotate(zone_name=_COLUMNS["zone"])
    columns = _COLUMNS | {"zone": "zone_name"}
    return [ScoreLine._make(row) for row in rows.values_list(*columns.values())]


def score_name(score: Revision | ScoreLine) -> str:
    """What the score of a result without a line is of, in a word or two."""
    names = {
        Method.PACE_COUNT: _("distance"),
        Method.DISTANCE: _("distance"),
        Method.POSITION: _("off the point"),
        Method.CHECKLIST: _("met"),
    }
    by_unit = {Unit.DEGREES: _("bearing walked"), Unit.METRES: _("off the goal")}
    return names.get(Method(score.method)) or by_unit[Unit(score.score_unit)]


def score_words(score: Revision | ScoreLine) -> str:
    """The score of a result without a line, with its unit and side."""
    return travel_words.signed_score(
        score.score_value, score.score_unit, score.score_side, score.results
    )


class _Words:
    """Words that lines say again and again, looked up once for a list."""

    def __init__(self):
        self.language = get_language()
        self.practice, self.none = _("practice"), _("no result")
        result, method, own = (escape(word) for word in (_("result"), _("method"), _("own")))
        self.angles = (
            f'<dl class="attempt-numbers"><div><dt>{result}</dt><dd>%s</dd></div> '
            f"<div><dt>{method}</dt><dd>%s</dd></div> <div><dt>{own}</dt><dd>%s</dd></div></dl>%s"
        )


def numbers(score: Revision | ScoreLine, said: _Words | None = None) -> SafeString:
    """The three angles of a result or its one score, and the verdict; or why there is none."""
    said = said or _Words()
    if score.no_result:
        return format_html(_NONE, capfirst(score.no_result_words), said.none)
    verdict = _verdict(score.verdict, said.language)
    if score.is_travel:
        return format_html(_TRAVEL, score_name(score), score_words(score)) + verdict
    return SafeString(
        said.angles
        % (
            _signed(round(score.error_deg, 1), said.language),
            _signed(round(score.method_error_deg, 1), said.language),
            _signed(round(score.own_error_deg, 1), said.language),
            verdict,
        )
    )


@lru_cache(maxsize=8192)
def _signed(value: float, _language: str | None) -> str:
    return escape(words.signed(value))


@lru_cache
def _verdict(value: str, _language: str | None) -> SafeString:
    label = Verdict(value).label if value else ""
    return format_html(_VERDICT, slugify(value), label)


def attempts(
    rows: Iterable[ScoreLine | Attempt], *, hide_student: bool = False, hide_exercise: bool = False
) -> SafeString:
    """Lines that were `read`, or results of `with_scores` or `for_lines`."""
    address, said = _addresses(), _Words()

    def one(row: ScoreLine | Attempt) -> str:
        score = row if isinstance(row, ScoreLine) else ScoreLine.of(row)
        about = parts(
            "" if hide_student or hide_exercise else score.exercise,
            local_time_in(score.observed_at, score.zone, said.language),
            "" if score.assessed else said.practice,
        )
        title = escape(score.exercise if hide_student else score.student)
        return (
            f'<li class="row-line attempt-line"><a class="row-main" href="{address(score.key)}">'
            f'<span class="row-title">{title}</span> <span class="row-note">{about}</span></a>'
            f"{numbers(score, said)}</li>"
        )

    return together(one(row) for row in rows)


def _addresses() -> Callable[[uuid.UUID], str]:
    before, after = reverse("attempt-detail", args=[_PLACE]).split(str(_PLACE))
    return lambda key: f"{before}{key}{after}"
