"""How a student stands to a certification: every clause of every skill, and what was decided."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from functools import cached_property

from django.utils import timezone

from assessments.certification.facts import AttemptFact, Clause, Decision, Outcome
from assessments.certification.gather import assessed_revisions, facts_of
from assessments.certification.rules import judge
from assessments.models import (
    Certification,
    CertifiedSkill,
    Packet,
    Renewal,
    RepeatOrder,
    Revision,
    SignOff,
)
from coursework.models import Attendance, Person, School, SchoolSettings
from solar.clock import zone_of


def today_of(school: School, now: datetime | None = None) -> date:
    """The day by the school's clock."""
    now = now or timezone.now()
    return now.astimezone(zone_of(SchoolSettings.of(school).zone)).date()


@dataclass(kw_only=True)
class SkillStanding:
    """One skill: its rule held against the student's attempts, and its sign-offs, newest first."""

    skill: CertifiedSkill
    revisions: list[Revision]
    facts: list[AttemptFact]
    decision: Decision
    sign_offs: list[SignOff]
    repeats: set[str] = field(default_factory=set)
    since: datetime | None = None

    @property
    def sign_off(self) -> SignOff | None:
        """The one that stands and serves for the next certificate."""
        for one in self.sign_offs:
            if one.stands and (self.since is None or one.signed_at > self.since):
                return one
        return None

    @property
    def reopened(self) -> SignOff | None:
        """The newest, where it was reopened by a correction and nobody has signed again."""
        newest = self.sign_offs[0] if self.sign_offs else None
        return newest if newest is not None and newest.reopened_at is not None else None

    @property
    def past(self) -> list[SignOff]:
        return [one for one in self.sign_offs if one is not self.sign_off]

    @cached_property
    def by_key(self) -> dict[str, Revision]:
        return {str(one.attempt.key): one for one in self.revisions}

    @property
    def clauses(self) -> list[tuple[Clause, list[Revision]]]:
        """Each clause with the results it rests on."""
        return [
            (clause, [self.by_key[fact.key] for fact in clause.rests_on])
            for clause in self.decision.clauses
        ]

    @property
    def flagged(self) -> list[Revision]:
        return [self.by_key[fact.key] for fact in self.decision.flagged]

    @property
    def lines(self) -> list[tuple[Revision, AttemptFact, bool]]:
        """Every assessed attempt, newest first, and whether a repeat of it was ordered."""
        pairs = zip(self.revisions, self.facts, strict=True)
        return [(one, fact, fact.key in self.repeats) for one, fact in pairs][::-1]

    @property
    def newer(self) -> list[Revision]:
        """Assessed since it was signed off: looked at before a packet is issued."""
        signed = self.sign_off
        if signed is None:
            return []
        seen = {row.revision_id for row in signed.evidence.all()}
        return [one for one in self.revisions if one.pk not in seen]


@dataclass(kw_only=True)
class Standing:
    certification: Certification
    student: Person
    skills: list[SkillStanding]
    since: datetime | None
    is_renewal: bool = False

    @property
    def shown(self) -> int:
        return sum(one.decision.shown for one in self.skills)

    @property
    def signed(self) -> list[SignOff]:
        return [one.sign_off for one in self.skills if one.sign_off is not None]

    @property
    def is_complete(self) -> bool:
        return bool(self.skills) and len(self.signed) == len(self.skills)


def standing_of(
    certification: Certification,
    student: Person,
    *,
    now: datetime | None = None,
    skills: list[CertifiedSkill] | None = None,
) -> Standing:
    """How things stand at an instant. A bounded number of queries, however many the skills."""
    return standings_of(certification, [student], now=now, skills=skills)[student.pk]


def standings_of(
    certification: Certification,
    students: Sequence[Person],
    *,
    now: datetime | None = None,
    skills: list[CertifiedSkill] | None = None,
) -> dict[int, Standing]:
    """The same of many students, by primary key, in as many queries as of one."""
    skills = list(certification.skills.all()) if skills is None else skills
    on = today_of(certification.school, now)
    issued = last_issued(certification, students)
    # A renewal by the rule alone may rest on what was shown before.
    since = {} if certification.renewal == Renewal.RULE else issued
    revisions = assessed_revisions(students, {one.exercise_key for one in skills})
    for (student_pk, _key), theirs in revisions.items():
        if (issued_at := since.get(student_pk)) is not None:
            theirs[:] = [one for one in theirs if one.observed_at > issued_at]
    together = [one for theirs in revisions.values() for one in theirs]
    facts = dict(zip([one.pk for one in together], facts_of(together), strict=True))
    attended = _attended(students)
    signed = _signed(students, skills)
    orders = RepeatOrder.objects.filter(attempt__student__in=students)
    repeats: dict[int, set[str]] = {}
    for student_pk, key in orders.values_list("attempt__student", "attempt__key"):
        repeats.setdefault(student_pk, set()).add(str(key))
    found = {}
    for student in students:
        lessons = attended.get(student.pk, set())
        made = []
        for skill in skills:
            theirs = revisions[student.pk, skill.exercise_key]
            told = [facts[one.pk] for one in theirs]
            titles = [title for key, title in skill.lessons if key in lessons]
            made.append(
                SkillStanding(
                    skill=skill,
                    revisions=theirs,
                    facts=told,
                    decision=judge(skill.rule, told, on=on, attended=titles),
                    sign_offs=signed.get((student.pk, skill.pk), []),
                    repeats=repeats.get(student.pk, set()),
                    since=since.get(student.pk),
                )
            )
        found[student.pk] = Standing(
            certification=certification,
            student=student,
            skills=made,
            since=since.get(student.pk),
            is_renewal=student.pk in issued,
        )
    return found


def _attended(students: Sequence[Person]) -> dict[int, set[str]]:
    """Keys of the lessons attended, by student."""
    present = Attendance.objects.standing().filter(person__in=students, present=True)
    found: dict[int, set[str]] = {}
    for student_pk, key in present.values_list("person", "lesson_key"):
        found.setdefault(student_pk, set()).add(str(key))
    return found


def _signed(
    students: Sequence[Person], skills: Sequence[CertifiedSkill]
) -> dict[tuple[int, int], list[SignOff]]:
    """Sign-offs by student and skill, the newest first."""
    rows = SignOff.objects.filter(student__in=students, skill__in=skills)
    found: dict[tuple[int, int], list[SignOff]] = {}
    for row in (
        rows.prefetch_related("evidence")
        .select_related("reopened_by__recorded_by", "withdrawn_by")
        .order_by("-pk")
    ):
        found.setdefault((row.student_id, row.skill_id), []).append(row)
    return found


def last_issued(certification: Certification, students: Sequence[Person]) -> dict[int, datetime]:
    """When the last certificate was issued that was not withdrawn, by student; of any version."""
    issued = Packet.objects.filter(
        certification__lineage=certification.lineage, student__in=students, withdrawn_at=None
    ).order_by("issued_at")
    return dict(issued.values_list("student", "issued_at"))


def may_be_repeated(fact: AttemptFact, ordered: bool) -> bool:
    """Only what was too close to call, and once."""
    return fact.outcome is Outcome.CLOSE and not ordered
