"""What a person does at their school: the roles by which every rule of access goes."""

from dataclasses import dataclass, field

from coursework.models import Cohort, Enrolment, Person, Role


@dataclass(frozen=True)
class Duties:
    """What a person does at their school: the numbers (primary keys) of cohorts by role."""

    arranges_all: bool = False
    leads: frozenset[int] = field(default_factory=frozenset)
    assists: frozenset[int] = field(default_factory=frozenset)
    studies: frozenset[int] = field(default_factory=frozenset)

    @property
    def arranges_school(self) -> bool:
        """Courses, sites and instruments of the school."""
        return self.arranges_all or bool(self.leads)

    @property
    def instructs(self) -> bool:
        """Reads all courses, sites and instruments of the school."""
        return self.arranges_school or bool(self.assists)

    @property
    def cohorts(self) -> frozenset[int]:
        """In any role."""
        return self.leads | self.assists | self.studies

    @property
    def has_any(self) -> bool:
        return self.instructs or bool(self.studies)

    def holds(self, *roles: str, cohort: Cohort | None = None) -> bool:
        """Whether one of the roles is held, in a cohort or in any."""
        named = {Role.LEAD: self.leads, Role.ASSISTANT: self.assists, Role.STUDENT: self.studies}
        held = frozenset().union(*(named[role] for role in roles))
        return bool(held) if cohort is None else cohort.pk in held


def duties_of(person: Person) -> Duties:
    """The duties of a person, in one query; none without a school.

    Whoever only reads a page keeps them for as long as it takes: see `keep_duties`.
    """
    known = getattr(person, "known_duties", None)
    if known is None:
        known = _read(person)
        if getattr(person, "keeps_duties", False):
            person.known_duties = known
    return known


def kept_duties(person: Person) -> Duties | None:
    """The duties where they are looked up once for a page that changes nothing; None otherwise.

    With them rows are picked by numbers, which takes a database (and Django) less than to ask for
    the roles again within each question.
    """
    return duties_of(person) if getattr(person, "keeps_duties", False) else None


def keep_duties(person: Person) -> None:
    """Look the duties up once at most. Only for one request that changes nothing."""
    person.keeps_duties = True


def _read(person: Person) -> Duties:
    if person.school_id is None:
        return Duties()
    held: dict[str, set[int]] = {role: set() for role in Role.values}
    rows = Enrolment.objects.filter(person=person, cohort__course__school=person.school_id)
    for role, cohort in rows.values_list("role", "cohort").order_by():
        held[role].add(cohort)
    return Duties(
        arranges_all=person.is_school_admin,
        leads=frozenset(held[Role.LEAD]),
        assists=frozenset(held[Role.ASSISTANT]),
        studies=frozenset(held[Role.STUDENT]),
    )
