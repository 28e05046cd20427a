"""Results on other pages: each tag shows only what the page's reader may see."""

from django import template
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from assessments import policies, rows
from assessments.models import Attempt, Revision
from assessments.models.revisions import Verdict
from assessments.sheets import travel_words, words
from coursework import policies as coursework_policies
from coursework.models import Cohort, Drill, Person, Site

register = template.Library()

RECENT = 10
AT_A_DRILL = 120


@register.filter
def signed_angle(value: float) -> str:
    """For tables: '+2.1° right', '−17.7° left'."""
    return words.signed(value)


@register.filter
def outcome_words(outcome: str) -> str:
    """`Revision.outcome` in words: a verdict, or that there is none."""
    if outcome in Verdict.values:
        return str(Verdict(outcome).label)
    return {"gave up": _("gave up"), "no result": _("no result")}.get(outcome, outcome)


@register.filter
def score_words(score: Revision) -> str:
    """The score of a result without a line, with its unit and side."""
    return rows.score_words(score)


@register.filter
def score_name(score: Revision) -> str:
    """What that score is of, in a word or two."""
    return rows.score_name(score)


@register.simple_tag
def score_numbers(score: Revision) -> SafeString:
    """The numbers of a result as a line of a list shows them."""
    return rows.numbers(score)


@register.simple_tag(takes_context=True)
def attempt_lines(context, attempts) -> SafeString:
    """The lines of a list of results."""
    names = ("hide_student", "hide_exercise")
    return rows.attempts(attempts, **{name: context[name] for name in names if name in context})


@register.inclusion_tag("assessments/attempt_rows.html", takes_context=True)
def drill_attempts(context, drill: Drill):
    """The last results of a drill: of a whole day's as a rule all of them."""
    more = {"hide_exercise": True, "more_of": f"?exercise={drill.exercise_id}"}
    return _rows(context, {"drill": drill}, limit=AT_A_DRILL, **more)


@register.inclusion_tag("assessments/attempt_rows.html", takes_context=True)
def recent_attempts(context, person: Person):
    """The last results of a student."""
    return _rows(context, {"student": person}, limit=RECENT, hide_student=True)


@register.inclusion_tag("assessments/attempt_rows.html", takes_context=True)
def cohort_attempts(context, cohort: Cohort):
    """The last results of a cohort; a student's own ones do not repeat the name."""
    own = not coursework_policies.may_assess(context["request"].user, cohort)
    return _rows(context, {"drill__cohort": cohort}, limit=RECENT, hide_student=own)


@register.inclusion_tag("assessments/quiet.html", takes_context=True)
def quiet_notice(context, site: Site | None = None):
    """Says why the reader does not see some results, of one site or anywhere, and until when."""
    user = context["request"].user
    if not user.is_authenticated or not coursework_policies.duties_of(user).studies:
        return {}
    found = coursework_policies.quiet_drills(user)
    if site is not None:
        found = found.filter(site=site)
    found = found.select_related("exercise", "site")
    return {"quiet": max(found, key=lambda drill: drill.ends_at, default=None)}


@register.inclusion_tag("assessments/desk_links.html", takes_context=True)
def desk_links(context, thing: Drill | Cohort):
    """Ways to enter paper logs and files of a drill or a cohort, for those who log."""
    cohort = thing.cohort if isinstance(thing, Drill) else thing
    if not coursework_policies.may_assess(context["request"].user, cohort):
        return {}
    return {"drill": thing} if isinstance(thing, Drill) else {"cohort": thing}


def _rows(context, lookup: dict, *, limit: int | None = None, **more) -> dict:
    attempts = policies.visible_attempts(context["request"].user).filter(**lookup)
    if limit is not None:
        # Picked by their numbers first: sorting whole records of a large cohort takes long.
        newest = attempts.order_by("-observed_at", "-id").values("pk")[: limit + 1]
        attempts = Attempt.objects.filter(pk__in=newest)
    lines = rows.read(attempts)
    has_more = limit is not None and len(lines) > limit
    return {"attempts": lines[:limit], "has_more": has_more, "limit": limit, **more}


@register.simple_tag
def three_places(value: float | None, unit: str) -> str:
    """A number with its unit and three decimals; a dash where there is none."""
    return "–" if value is None else travel_words.quantity(value, unit, 3)
