"""The rule engine: every yes and no in a sentence, with the attempts it rests on."""

from collections.abc import Collection, Sequence
from datetime import date, timedelta

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from assessments.certification.facts import (
    COUNTING,
    AttemptFact,
    Clause,
    Decision,
    Outcome,
    SkillRule,
)


def judge(
    rule: SkillRule,
    attempts: Sequence[AttemptFact],
    *,
    on: date,
    attended: Collection[str] = (),
) -> Decision:
    """Hold the attempts at one skill against its rule as of a date.

    Only assessed attempts count. Those too close to call and those without a result for no
    fault of the student's (cloud, safety) take no place; giving up takes one. `attended`:
    titles of the lessons attended.
    """
    assessed = sorted((one for one in attempts if one.assessed), key=_by_time)
    window = [one for one in assessed if one.outcome in COUNTING]
    if rule.of_last is not None:
        window = window[-rule.of_last :]
    good = [one for one in window if one.outcome is Outcome.WITHIN]
    fresh = [one for one in good if _is_fresh(one, rule, on)]
    clauses = [
        _enough(rule, window, fresh),
        _days(rule, fresh),
        _halves(rule, fresh),
        _assessors(rule, fresh),
        _age(rule, good, fresh),
        _lessons(rule, attended),
    ]
    return Decision(
        clauses=tuple(clause for clause in clauses if clause is not None),
        counted=tuple(fresh),
        flagged=tuple(one for one in fresh if one.cancelled),
    )


def _by_time(one: AttemptFact):
    return one.observed_at, one.number


def _is_fresh(one: AttemptFact, rule: SkillRule, on: date) -> bool:
    if rule.not_older_days is None:
        return True
    return one.day >= on - timedelta(days=rule.not_older_days)


def _enough(rule: SkillRule, window: list, fresh: list) -> Clause:
    if rule.checklist:
        asked = ngettext(
            "Every step met in %(needed)s attempt",
            "Every step met in %(needed)s attempts",
            rule.within_needed,
        )
    else:
        asked = ngettext(
            "%(needed)s attempt within the standard",
            "%(needed)s attempts within the standard",
            rule.within_needed,
        )
    asked %= {"needed": rule.within_needed}
    if rule.of_last is not None:
        asked += " " + ngettext(
            "in the last %(last)s that counts", "in the last %(last)s that count", rule.of_last
        ) % {"last": rule.of_last}
    return Clause(
        name="enough",
        met=len(fresh) >= rule.within_needed,
        says=_("%(asked)s: so far %(have)s of %(window)s.")
        % {"asked": asked, "have": len(fresh), "window": len(window)},
        rests_on=tuple(window),
    )


def _days(rule: SkillRule, fresh: list) -> Clause | None:
    if rule.distinct_days <= 1:
        return None
    days = {one.day for one in fresh}
    return Clause(
        name="days",
        met=len(days) >= rule.distinct_days,
        says=_("On %(needed)s different days: so far %(have)s.")
        % {"needed": rule.distinct_days, "have": len(days)},
        rests_on=tuple(fresh),
    )


def _halves(rule: SkillRule, fresh: list) -> Clause | None:
    if not rule.both_halves:
        return None
    forenoon = sum(one.before_noon is True for one in fresh)
    afternoon = sum(one.before_noon is False for one in fresh)
    return Clause(
        name="halves",
        met=bool(forenoon and afternoon),
        says=_("In the forenoon and in the afternoon: so far %(forenoon)s and %(afternoon)s.")
        % {"forenoon": forenoon, "afternoon": afternoon},
        rests_on=tuple(fresh),
    )


def _assessors(rule: SkillRule, fresh: list) -> Clause | None:
    if rule.distinct_assessors <= 1:
        return None
    names = sorted({one.assessor for one in fresh})
    return Clause(
        name="assessors",
        met=len(names) >= rule.distinct_assessors,
        says=_("Checked by %(needed)s different assessors: so far %(have)s.")
        % {"needed": rule.distinct_assessors, "have": len(names)},
        rests_on=tuple(fresh),
    )


def _age(rule: SkillRule, good: list, fresh: list) -> Clause | None:
    if rule.not_older_days is None:
        return None
    old = [one for one in good if one not in fresh]
    if old:
        says = ngettext(
            "Not older than %(days)s days: %(old)s attempt is, and is left out.",
            "Not older than %(days)s days: %(old)s attempts are, and are left out.",
            len(old),
        )
    else:
        says = _("Not older than %(days)s days: none is.")
    # Attempts that are too old fail the count, not this clause: it says why they are missing.
    return Clause(
        name="age",
        met=len(fresh) >= rule.within_needed or not old,
        says=says % {"days": rule.not_older_days, "old": len(old)},
        rests_on=tuple(old or fresh),
    )


def _lessons(rule: SkillRule, attended: Collection[str]) -> Clause | None:
    if not rule.lessons:
        return None
    missed = [title for title in rule.lessons if title not in attended]
    if missed:
        says = _("Lessons attended: still missing %(missed)s.") % {"missed": ", ".join(missed)}
    else:
        says = ngettext(
            "Lessons attended: the one that is asked for.",
            "Lessons attended: all %(count)s that are asked for.",
            len(rule.lessons),
        ) % {"count": len(rule.lessons)}
    return Clause(name="lessons", met=not missed, says=says)
