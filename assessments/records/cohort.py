"""What a cohort's results say, from the stored sums alone."""

from collections import Counter
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import cached_property
from math import floor
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from assessments.certification.facts import AttemptFact, Outcome, SkillRule
from assessments.certification.rules import judge
from assessments.models import RecordSummary
from assessments.records.instructors import Cell, Comparison, Effect, compare
from assessments.records.moments import Moments
from assessments.records.summaries import GAVE_UP, NO_RESULT, STEP
from coursework.models import Cohort, Exercise, Instrument, Method, Person, Role, Unit
from solar.circular import Summary


@dataclass(frozen=True, kw_only=True)
class Lacking:
    """A student who does not yet meet a standard: what is missing first, then what there is."""

    student: Person
    missing: tuple[str, ...]
    have: int
    outside: int
    close: int
    gave_up: int
    without: int
    flagged: int

    @property
    def marks(self) -> str:
        """What there is, in words: every assessed attempt, also those without a result."""
        if not (self.have or self.outside or self.close or self.gave_up or self.without):
            return _("no assessed result yet")
        parts = [_("%(n)s within") % {"n": self.have}, _("%(n)s outside") % {"n": self.outside}]
        if self.close:
            parts.append(
                ngettext("%(n)s too close to call", "%(n)s too close to call", self.close)
                % {"n": self.close}
            )
        if self.gave_up:
            parts.append(_("%(n)s given up") % {"n": self.gave_up})
        if self.without:
            parts.append(_("%(n)s without a result") % {"n": self.without})
        if self.flagged:
            parts.append(
                ngettext(
                    "%(n)s of them within only because the method’s error cancelled the student’s",
                    "%(n)s of them within only because the method’s error cancelled the student’s",
                    self.flagged,
                )
                % {"n": self.flagged}
            )
        return ", ".join(parts)


@dataclass(frozen=True, kw_only=True)
class Skill:
    """One exercise of the cohort: who meets its standard, who misses what."""

    exercise: Exercise
    lacking: tuple[Lacking, ...]
    met: tuple[Person, ...]

    @property
    def by_missing(self) -> list[tuple[tuple[str, ...], list[Lacking]]]:
        """Those who miss the same together, who misses most first."""
        parted: dict[tuple[str, ...], list[Lacking]] = {}
        for one in self.lacking:
            parted.setdefault(one.missing, []).append(one)
        return list(parted.items())


@dataclass(frozen=True, kw_only=True)
class MethodScatter:
    method: str
    own: Summary
    swapped: int

    @property
    def name(self) -> str:
        return str(Method(self.method).label)


@dataclass(frozen=True, kw_only=True)
class PassRate:
    """Assessed results of an exercise held against a tolerance, in its unit."""

    tolerance: float
    within: int
    outside: int
    total: int

    @property
    def close(self) -> int:
        return self.total - self.within - self.outside

    @property
    def percent(self) -> float:
        return 100.0 * self.within / self.total


class CohortRecord:
    """Three queries for people, exercises and sums, whatever the number of results."""

    def __init__(self, cohort: Cohort) -> None:
        self.cohort = cohort

    @cached_property
    def students(self) -> list[Person]:
        rows = self.cohort.enrolments.filter(role=Role.STUDENT).select_related("person")
        return [row.person for row in rows.order_by("person__name", "pk")]

    @cached_property
    def exercises(self) -> list[Exercise]:
        return list(self.cohort.course.exercises.order_by("position", "pk"))

    @cached_property
    def summaries(self) -> list[RecordSummary]:
        return list(RecordSummary.objects.filter(cohort=self.cohort).order_by("pk"))

    @cached_property
    def _by_place(self) -> dict:
        return {(one.student_id, one.exercise_key): one for one in self.summaries}

    def skills(self, on: date) -> list[Skill]:
        """Each exercise as of a date, in the order of the course."""
        return [self._skill(exercise, on) for exercise in self.exercises]

    def _skill(self, exercise: Exercise, on: date) -> Skill:
        rule = rule_of(exercise)
        lacking, met = [], []
        for student in self.students:
            found = self._lacking(exercise, rule, student, on)
            if found.missing:
                lacking.append(found)
            else:
                met.append(student)
        # Who misses most comes first.
        lacking.sort(key=lambda one: (-len(one.missing), one.have, one.student.name))
        return Skill(exercise=exercise, lacking=tuple(lacking), met=tuple(met))

    def _lacking(self, exercise, rule: SkillRule, student: Person, on: date) -> Lacking:
        summary = self._by_place.get((student.pk, exercise.key))
        outcomes = summary.outcomes if summary else {}
        decision = judge(rule, facts_of(summary) if summary else [], on=on)
        have = outcomes.get("within", 0)
        missing = []
        for clause in decision.missing:
            if clause.name == "enough":
                lacks = rule.within_needed - have
                missing.append(
                    ngettext(
                        "%(n)s more attempt within the standard",
                        "%(n)s more attempts within the standard",
                        lacks,
                    )
                    % {"n": lacks}
                )
            else:
                missing.append(clause.says)
        return Lacking(
            student=student,
            missing=tuple(missing),
            have=have,
            outside=outcomes.get("outside", 0),
            close=outcomes.get("too close to call", 0),
            gave_up=outcomes.get(GAVE_UP, 0),
            without=outcomes.get(NO_RESULT, 0),
            flagged=len(decision.flagged),
        )

    @cached_property
    def scatter(self) -> list[MethodScatter]:
        """Own errors over the cohort by method; lines laid end for end apart."""
        sums: dict[str, Moments] = {}
        swapped: Counter[str] = Counter()
        for one in self.summaries:
            sums[one.method] = sums.get(one.method, Moments()) + Moments.from_list(one.own_sums)
            swapped[one.method] += one.swapped
        order = list(Method.values)
        return [
            MethodScatter(method=method, own=moments.summary(), swapped=swapped[method])
            for method, moments in sorted(sums.items(), key=lambda item: order.index(item[0]))
            if moments.count
        ]

    @cached_property
    def comparison(self) -> Comparison | None:
        """Instructors compared, with names for keys; two queries more."""
        cells = [
            Cell(
                block=(one.student_id, one.exercise_key),
                instructor=assessor,
                tool=tool,
                count=count,
                total=total,
                squares=squares,
            )
            for one in self.summaries
            for assessor, tool, count, total, squares in one.checks
        ]
        found = compare(cells)
        return found and _named(found)

    def pass_rate(self, exercise: Exercise, tolerance: float) -> PassRate | None:
        """How many of the assessed results would be within; None where there are none.

        Tolerances are taken in tenths of the unit, down to the next one.
        """
        step = floor(round(tolerance / STEP, 6))
        within = outside = total = 0
        for one in self.summaries:
            if one.exercise_key != exercise.key:
                continue
            total += sum(one.margins.values())
            within += sum(n for margin, n in one.margins.items() if int(margin) <= step)
            outside += sum(n for margin, n in one.clear_margins.items() if int(margin) > step)
        if not total:
            return None
        return PassRate(tolerance=step * STEP, within=within, outside=outside, total=total)

    @property
    def measured(self) -> list[Exercise]:
        """The exercises with a tolerance and an assessed result."""
        keys = {one.exercise_key for one in self.summaries if one.margins}
        return [one for one in self.exercises if one.key in keys and one.unit != Unit.STEPS]


def rule_of(exercise: Exercise) -> SkillRule:
    """The standard of an exercise as a rule: of all there are, at any age."""
    return SkillRule(
        within_needed=exercise.attempts_needed,
        of_last=None,
        distinct_days=exercise.distinct_days,
        both_halves=exercise.forenoon_and_afternoon,
        distinct_assessors=exercise.distinct_assessors,
        checklist=exercise.method == Method.CHECKLIST,
    )


def facts_of(summary: RecordSummary) -> list[AttemptFact]:
    """The results within the standard that the sums keep."""
    return [
        AttemptFact(
            key=fact["key"],
            number=fact["number"],
            observed_at=datetime.fromisoformat(fact["observed_at"]).astimezone(
                ZoneInfo(fact["zone"])
            ),
            outcome=Outcome.WITHIN,
            assessor=str(fact["assessor"]),
            before_noon=fact["before_noon"],
            cancelled=fact["cancelled"],
        )
        for fact in summary.kept
    ]


def _named(found: Comparison) -> Comparison:
    people = Person.objects.in_bulk([one.name for one in found.instructors])
    numbers = [int(one.name[1:]) for one in found.tools if one.name.startswith("#")]
    instruments = Instrument.objects.in_bulk(numbers)
    words = {
        "compass": _("compass, none named"),
        "shadow": _("shadow, no instrument named"),
        "landmark": _("surveyed mark, no instrument named"),
        "direct": _("true bearing"),
    }

    def tool(one: Effect) -> Effect:
        if one.name.startswith("#"):
            return replace(one, name=str(instruments.get(int(one.name[1:]), one.name)))
        return replace(one, name=words.get(one.name, one.name))

    return replace(
        found,
        instructors=tuple(replace(one, name=people[one.name].name) for one in found.instructors),
        tools=tuple(tool(one) for one in found.tools),
    )
