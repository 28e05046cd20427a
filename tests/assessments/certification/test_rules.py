"""The rule table, at each limit and one past it."""

from datetime import UTC, date, datetime, timedelta

import pytest

from assessments.certification.facts import AttemptFact, Outcome, SkillRule
from assessments.certification.rules import judge

TODAY = date(2026, 9, 1)
W, O, C, G, N = (  # noqa: E741 - one letter an outcome keeps the tables readable
    Outcome.WITHIN,
    Outcome.OUTSIDE,
    Outcome.CLOSE,
    Outcome.GAVE_UP,
    Outcome.NO_RESULT,
)


def fact(number, outcome=W, **facts):
    given = {
        "key": f"a{number}",
        "number": number,
        "observed_at": datetime(2026, 8, 1, 10, tzinfo=UTC) + timedelta(days=number),
        "outcome": outcome,
        "assessor": "Ines",
    }
    return AttemptFact(**(given | facts))


def facts(outcomes, **more):
    return [fact(number, outcome, **more) for number, outcome in enumerate(outcomes)]


def clause(decision, name):
    return next(one for one in decision.clauses if one.name == name)


@pytest.mark.parametrize(
    ("outcomes", "shown"),
    [
        ([], False),
        ([W, W], False),
        ([W, W, W], True),
        ([W, W, W, O, O], True),
        ([W, W, W, O, O, O], False),  # the first has left the last five
        ([O, O, O, O, O, O, W, W, W], True),
        ([W, O, W, O, W], True),
        ([W, O, W, O, O, W], False),
        ([W, W, C, C, C, C, C, C, W], True),  # too close to call takes no place
        ([W, W, W, N, N, N, N], True),  # neither does cloud
        ([W, W, W, G, G, G], False),  # giving up does
        ([C, C, C], False),
        ([G, G, G], False),
    ],
)
def test_three_of_the_last_five(outcomes, shown):
    assert judge(SkillRule(), facts(outcomes), on=TODAY).shown is shown


def test_unlimited_tries_certify_no_one():
    every_fourth = [W if number % 4 == 0 else O for number in range(100)]
    assert not judge(SkillRule(), facts(every_fourth), on=TODAY).shown


def test_without_a_window_all_attempts_count():
    rule = SkillRule(of_last=None)
    assert judge(rule, facts([W, O, O, O, W, O, O, O, W]), on=TODAY).shown


def test_practice_never_counts():
    assert not judge(SkillRule(), facts([W, W, W], assessed=False), on=TODAY).shown


def test_attempts_are_taken_in_time_whatever_order_they_come_in():
    attempts = facts([W, W, W, O, O, O])
    assert not judge(SkillRule(), attempts[::-1], on=TODAY).shown


@pytest.mark.parametrize(("days", "met"), [(2, False), (3, True)])
def test_distinct_days_at_the_limit_and_one_short(days, met):
    attempts = [
        fact(
            number,
            observed_at=datetime(2026, 8, 1 + min(number, days - 1), 10 + number, tzinfo=UTC),
        )
        for number in range(3)
    ]
    decision = judge(SkillRule(distinct_days=3), attempts, on=TODAY)
    assert clause(decision, "days").met is met
    assert f"so far {days}" in clause(decision, "days").says


def test_days_are_those_of_the_attempts_within_the_standard_only():
    decision = judge(SkillRule(within_needed=1, distinct_days=2), facts([W, O]), on=TODAY)
    assert not clause(decision, "days").met


@pytest.mark.parametrize(
    ("halves", "met"),
    [
        ([True, True, True], False),
        ([False, False, False], False),
        ([True, True, False], True),
        ([None, None, None], False),
    ],
)
def test_forenoon_and_afternoon_both(halves, met):
    attempts = [fact(number, before_noon=half) for number, half in enumerate(halves)]
    assert clause(judge(SkillRule(both_halves=True), attempts, on=TODAY), "halves").met is met


@pytest.mark.parametrize(
    ("names", "met"), [(["Ines", "Ines", "Ines"], False), (["Ines", "Ines", "Tomo"], True)]
)
def test_distinct_assessors_at_the_limit_and_one_short(names, met):
    attempts = [fact(number, assessor=name) for number, name in enumerate(names)]
    decision = judge(SkillRule(distinct_assessors=2), attempts, on=TODAY)
    assert clause(decision, "assessors").met is met


@pytest.mark.parametrize(("age", "shown"), [(30, True), (31, False)])
def test_age_at_the_limit_and_one_day_past_it(age, shown):
    day = datetime.combine(TODAY - timedelta(days=age), datetime.min.time(), tzinfo=UTC)
    attempts = [fact(number, observed_at=day + timedelta(hours=number)) for number in range(3)]
    decision = judge(SkillRule(not_older_days=30), attempts, on=TODAY)
    assert decision.shown is shown


def test_attempts_too_old_are_named_as_the_reason():
    attempts = [fact(0, observed_at=datetime(2025, 1, 1, tzinfo=UTC)), fact(1), fact(2)]
    decision = judge(SkillRule(not_older_days=90), attempts, on=TODAY)
    assert clause(decision, "age").rests_on == (attempts[0],)
    assert "1 attempt is" in clause(decision, "age").says


def test_an_old_attempt_beside_enough_fresh_ones_does_no_harm():
    attempts = [fact(0, observed_at=datetime(2025, 1, 1, tzinfo=UTC)), fact(1), fact(2), fact(3)]
    assert judge(SkillRule(not_older_days=90), attempts, on=TODAY).shown


@pytest.mark.parametrize(
    ("attended", "met"), [((), False), (("Shadows",), False), (("Shadows", "Watches"), True)]
)
def test_every_lesson_that_is_asked_for(attended, met):
    rule = SkillRule(lessons=("Shadows", "Watches"))
    decision = judge(rule, facts([W, W, W]), on=TODAY, attended=attended)
    assert clause(decision, "lessons").met is met


def test_a_missing_lesson_is_named():
    rule = SkillRule(lessons=("Shadows", "Watches"))
    decision = judge(rule, facts([W, W, W]), on=TODAY, attended=("Shadows",))
    assert "Watches" in clause(decision, "lessons").says
    assert "Shadows" not in clause(decision, "lessons").says


def test_lines_that_were_good_by_cancelling_are_flagged_and_still_count():
    attempts = [fact(0), fact(1, cancelled=True), fact(2)]
    decision = judge(SkillRule(), attempts, on=TODAY)
    assert decision.shown
    assert decision.flagged == (attempts[1],)


def test_a_no_names_what_is_missing_and_the_attempts_looked_at():
    decision = judge(SkillRule(distinct_assessors=2), facts([W, W, O]), on=TODAY)
    assert [one.name for one in decision.missing] == ["enough", "assessors"]
    assert len(clause(decision, "enough").rests_on) == 3
    assert "so far 2 of 3" in clause(decision, "enough").says


def test_every_clause_is_a_sentence():
    rule = SkillRule(
        distinct_days=2,
        both_halves=True,
        distinct_assessors=2,
        not_older_days=365,
        lessons=("Shadows",),
    )
    clauses = judge(rule, facts([W, O, C]), on=TODAY).clauses
    assert len(clauses) == 6
    assert all(one.says[0].isupper() or one.says[0].isdigit() for one in clauses)
    assert all(one.says.endswith(".") for one in clauses)
