"""What the rules of a certification are held against: plain facts, no queries."""

from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum


class Outcome(StrEnum):
    """How an assessed attempt counts."""

    WITHIN = "within"
    OUTSIDE = "outside"
    CLOSE = "too close to call"
    GAVE_UP = "gave up"
    NO_RESULT = "no result"


COUNTING = (Outcome.WITHIN, Outcome.OUTSIDE, Outcome.GAVE_UP)
"""Outcomes that take a place among the last attempts; the others count as neither."""


@dataclass(frozen=True, kw_only=True)
class AttemptFact:
    """One attempt at a skill. observed_at is aware, on the clock of the site.

    before_noon: by the sun, None where the exercise has neither half. cancelled: within only
    because the method's error cancelled a larger own error, no correction declared.
    """

    key: str
    number: int
    observed_at: datetime
    outcome: Outcome
    assessor: str
    before_noon: bool | None = None
    cancelled: bool = False
    assessed: bool = True

    @property
    def day(self) -> date:
        return self.observed_at.date()


@dataclass(frozen=True, kw_only=True)
class SkillRule:
    """What one skill of a certification asks for.

    within_needed of the last `of_last` counting attempts (None: of all there are).
    not_older_days: age limit of the attempts that count, None for none.
    """

    within_needed: int = 3
    of_last: int | None = 5
    distinct_days: int = 1
    both_halves: bool = False
    distinct_assessors: int = 1
    not_older_days: int | None = None
    lessons: tuple[str, ...] = ()
    checklist: bool = False


@dataclass(frozen=True, kw_only=True)
class Clause:
    """One condition: met or not, in a sentence, with the attempts it rests on."""

    name: str
    met: bool
    says: str
    rests_on: tuple[AttemptFact, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Decision:
    """Whether a skill is shown, clause by clause, and what the lead should look at."""

    clauses: tuple[Clause, ...]
    counted: tuple[AttemptFact, ...] = ()
    """The attempts within the standard on which a yes rests."""
    flagged: tuple[AttemptFact, ...] = ()
    """Counted ones that were within only because the method's error cancelled the student's."""
    shown: bool = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "shown", all(clause.met for clause in self.clauses))

    @property
    def missing(self) -> tuple[Clause, ...]:
        return tuple(clause for clause in self.clauses if not clause.met)
