"""Results on other pages: each tag shows only what the page's reader may see."""

from django import template

from assessments import policies
from assessments.models import Attempt
from assessments.sheets import words
from coursework.models import Cohort, Drill, Person

register = template.Library()

RECENT = 10


@register.filter
def signed_angle(value: float) -> str:
    """For tables: '+2.1° right', '−17.7° left'."""
    return words.signed(value)


@register.inclusion_tag("assessments/attempt_rows.html", takes_context=True)
def drill_attempts(context, drill: Drill):
    """The results of a drill, last first."""
    return _rows(context, {"drill": drill}, hide_exercise=True)


@register.inclusion_tag("assessments/attempt_rows.html", takes_context=True)
def recent_attempts(context, person: Person):
    """The last results of a student."""
    return _rows(context, {"student": person}, limit=RECENT, hide_student=True)


@register.inclusion_tag("assessments/attempt_rows.html", takes_context=True)
def cohort_attempts(context, cohort: Cohort):
    """The last results of a cohort."""
    return _rows(context, {"drill__cohort": cohort}, limit=RECENT)


def _rows(context, lookup: dict, *, limit: int | None = None, **more) -> dict:
    attempts = policies.visible_attempts(context["request"].user).filter(**lookup)
    attempts: list[Attempt] = list(attempts.with_scores()[: limit + 1 if limit else None])
    has_more = limit is not None and len(attempts) > limit
    return {"attempts": attempts[:limit], "has_more": has_more, "limit": limit, **more}


@register.filter
def three_places(value: float | None) -> str:
    """An angle with all the decimals that are kept; a dash where there is none."""
    return "–" if value is None else words.degrees(value, 3)
