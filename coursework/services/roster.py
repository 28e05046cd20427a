"""Bringing a roster into a cohort: planned first, then done all or not at all."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Q
from django.db.models.functions import Lower
from django.utils.translation import gettext as _

from coursework import policies
from coursework.models import Approval, Cohort, Enrolment, Person, Role
from coursework.roster import Roster, RosterRow

STAFF_ROLES = (Role.LEAD, Role.ASSISTANT)


@dataclass(frozen=True, kw_only=True)
class PlannedRow:
    """What bringing in one row would do: nothing, give a role, or make an account as well."""

    row: RosterRow
    faults: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    person: Person | None = None
    makes_account: bool = False
    gives_role: bool = False

    @property
    def does_nothing(self) -> bool:
        return not self.faults and not self.makes_account and not self.gives_role

    @property
    def role_label(self) -> str:
        return str(Role(self.row.role).label) if self.row.role else ""


@dataclass(frozen=True, kw_only=True)
class Plan:
    rows: Sequence[PlannedRow]

    @property
    def fault_number(self) -> int:
        return sum(bool(row.faults) for row in self.rows)

    @property
    def new_number(self) -> int:
        return sum(row.makes_account for row in self.rows)

    @property
    def role_number(self) -> int:
        return sum(row.gives_role for row in self.rows)

    @property
    def changes_nothing(self) -> bool:
        return all(row.does_nothing for row in self.rows)

    @property
    def can_be_done(self) -> bool:
        return not self.fault_number and not self.changes_nothing


@dataclass(frozen=True, kw_only=True)
class Imported:
    new_people: Sequence[Person]
    role_number: int


def plan_roster(by: Person, cohort: Cohort, roster: Roster, *, today: date) -> Plan:
    """What a roster would change in a cohort, row by row, in a few queries; stores nothing."""
    policies.require(policies.may_arrange_cohort(by, cohort))
    return Plan(rows=_Planner(cohort, roster, today).planned())


@transaction.atomic
def import_roster(by: Person, cohort: Cohort, roster: Roster, *, today: date) -> Imported:
    """Make the accounts and roles that are missing; ValidationError where any row has a fault.

    The same roster again changes nothing. New accounts have no password: a link lets each
    person choose one (`invite_to_sign_in`).
    """
    plan = plan_roster(by, cohort, roster, today=today)
    if plan.fault_number:
        raise ValidationError(_("Nothing was brought in: some rows have to be put right first."))
    people: dict[str, Person] = {}
    enrolments = []
    for planned in plan.rows:
        row = planned.row
        person = planned.person or people.get(row.username.casefold())
        if planned.makes_account:
            person = Person(
                name=row.name,
                username=row.username,
                email=row.email,
                school_id=cohort.course.school_id,
            )
            person.set_unusable_password()
            person.full_clean(exclude=["password"])
            person.save()
            people[row.username.casefold()] = person
        if planned.gives_role:
            enrolments.append(Enrolment(cohort=cohort, person=person, role=row.role))
    Enrolment.objects.bulk_create(enrolments)
    return Imported(new_people=list(people.values()), role_number=len(enrolments))


class _Planner:
    def __init__(self, cohort: Cohort, roster: Roster, today: date) -> None:
        self.cohort, self.roster = cohort, roster
        wanted = {row.username.casefold() for row in roster.rows if row.username}
        emails = {row.email.casefold() for row in roster.rows if row.email}
        found = (
            Person.objects.annotate(low_username=Lower("username"), low_email=Lower("email"))
            .filter(
                Q(low_username__in=wanted)
                | Q(low_email__in=emails)
                # Not every database lowers letters beyond ASCII.
                | Q(username__in=[row.username for row in roster.rows])
                | Q(email__in=[row.email for row in roster.rows if row.email])
            )
            .order_by("id")
        )
        self.by_username: dict[str, Person] = {}
        self.by_email: dict[str, list[Person]] = {}
        for person in found:
            self.by_username[person.username.casefold()] = person
            if person.email and person.school_id == cohort.course.school_id:
                self.by_email.setdefault(person.email.casefold(), []).append(person)
        self.held = set(cohort.enrolments.order_by().values_list("person", "role"))
        staff = [person.pk for person in found if person.school_id == cohort.course.school_id]
        self.staff_notes = Approval.objects.staff_notes(staff, today=today)
        self.first_lines: dict[tuple[str, str], int] = {}
        self.new_names: dict[str, RosterRow] = {}

    def planned(self) -> list[PlannedRow]:
        return [self._plan(row) for row in self.roster.rows]

    def _plan(self, row: RosterRow) -> PlannedRow:
        if row.faults:
            return PlannedRow(row=row, faults=row.faults)
        username = row.username.casefold()
        person = self.by_username.get(username)
        if person is None and row.email:
            same = self.by_email.get(row.email.casefold(), [])
            if len(same) > 1:
                return _faulty(row, _("Several people of the school have this e-mail address."))
            person = same[0] if same else None
        if person is None:
            return self._plan_new(row)
        if person.school_id != self.cohort.course.school_id:
            return _faulty(row, _("Someone already has the sign-in name “%s”.") % row.username)
        if not person.is_active:
            return _faulty(row, _("The account of %s is closed. Reopen it first.") % person.name)
        key = (str(person.pk), row.role)
        notes = []
        if person.name != row.name:
            notes.append(_("Is in the school as “%s”; the name stays.") % person.name)
        if row.role in STAFF_ROLES:
            notes += self.staff_notes.get(person.pk, [])
        gives = (person.pk, row.role) not in self.held and key not in self.first_lines
        if key in self.first_lines:
            notes.append(_("The same as line %d.") % self.first_lines[key])
        self.first_lines.setdefault(key, row.line)
        return PlannedRow(row=row, notes=tuple(notes), person=person, gives_role=gives)

    def _plan_new(self, row: RosterRow) -> PlannedRow:
        username = row.username.casefold()
        first = self.new_names.get(username)
        if first is not None and first.name != row.name:
            return _faulty(
                row, _("Line %d has the same sign-in name and another name.") % first.line
            )
        key = (f"new {username}", row.role)
        if key in self.first_lines:
            note = _("The same as line %d.") % self.first_lines[key]
            return PlannedRow(row=row, notes=(note,))
        self.first_lines[key] = row.line
        self.new_names.setdefault(username, row)
        return PlannedRow(row=row, makes_account=first is None, gives_role=True)


def _faulty(row: RosterRow, *faults: str) -> PlannedRow:
    return PlannedRow(row=row, faults=faults)
