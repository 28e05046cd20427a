"""Having the packets of a cohort made: how everyone stands, starting, cancelling, going on."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from assessments.certification import policies, run_files
from assessments.certification.issuing import family_name_fault, reasons_against
from assessments.certification.standing import Standing, standings_of, today_of
from assessments.models import Certification, Packet, PacketRun, PacketRunRow
from coursework.models import Cohort, Person
from coursework.policies import require


@dataclass(frozen=True, kw_only=True)
class Prospect:
    """One student before a run: the certificate they hold, or what stands against a new one."""

    student: Person
    standing: Standing
    held: Packet | None
    withdrawn: bool
    against: tuple[str, ...]

    @property
    def is_ready(self) -> bool:
        return self.held is None and not self.against

    @property
    def newer(self) -> int:
        """Assessed attempts that came in since a skill was signed off: to be looked at first."""
        return sum(len(one.newer) for one in self.standing.skills)


def prospects(
    by: Person, certification: Certification, cohort: Cohort, *, now: datetime | None = None
) -> list[Prospect]:
    """Every student of the cohort by name, in as many queries for many as for one."""
    students = list(policies.run_students(by, cohort).order_by("name", "pk"))
    standings = standings_of(certification, students, now=now)
    held, withdrawn = _packets_of(certification, students, now)
    return [
        Prospect(
            student=one,
            standing=standings[one.pk],
            held=held.get(one.pk),
            withdrawn=one.pk in withdrawn,
            against=tuple(reasons_against(by, standings[one.pk])),
        )
        for one in students
    ]


def held_packets(
    certification: Certification, students: list[Person], now: datetime | None = None
) -> dict[int, Packet]:
    """The newest certificate in force of each, of any version, by student."""
    return _packets_of(certification, students, now)[0]


def _packets_of(certification, students, now) -> tuple[dict[int, Packet], set[int]]:
    today = today_of(certification.school, now)
    rows = Packet.objects.filter(certification__lineage=certification.lineage, student__in=students)
    held, withdrawn = {}, set()
    for packet in rows.order_by("issued_at", "pk"):
        if packet.withdrawn_at is not None:
            withdrawn.add(packet.student_id)
        elif packet.expires_on >= today:
            held[packet.student_id] = packet
    return held, withdrawn


@transaction.atomic
def start_run(
    by: Person,
    certification: Certification,
    cohort: Cohort,
    *,
    family_names: Mapping[int, str],
    check_address: str,
    paper: str = "a4",
    now: datetime | None = None,
) -> PacketRun:
    """Ask for the packets of a cohort; they are made in the background.

    `family_names` are those to be issued to, by student (primary key). Who holds a certificate
    in force is printed as well; everyone else is listed with what is missing.
    """
    require(policies.may_run_packets(by, certification, cohort))
    now = now or timezone.now()
    Cohort.objects.select_for_update().get(pk=cohort.pk)
    made = PacketRun(
        certification=certification,
        cohort=cohort,
        asked_by=by,
        asked_at=now,
        heard_at=now,
        paper=paper,
        check_address=check_address,
    )
    # A host of a school's own network may have a name that is none of the internet.
    made.full_clean(exclude=["check_address"])
    found = prospects(by, certification, cohort, now=now)
    for one in found:
        name = family_names.get(one.student.pk)
        fault = family_name_fault(name, one.student) if name is not None else None
        if one.is_ready and fault is not None:
            raise ValidationError(fault)
    rows = [_row(made, one, family_names.get(one.student.pk)) for one in found]
    if not any(row.state in (_State.WAITING, _State.HELD) for row in rows):
        raise ValidationError(_("There is nothing to make: choose somebody who is ready."))
    made.save()
    PacketRunRow.objects.bulk_create(rows)
    return made


_State = PacketRunRow.State


def _row(run: PacketRun, one: Prospect, family_name: str | None) -> PacketRunRow:
    row = PacketRunRow(run=run, student=one.student)
    if one.held is not None:
        row.state, row.packet = _State.HELD, one.held
    elif one.against:
        row.state, row.reasons = _State.NOT_READY, list(one.against)
    elif family_name is None:
        row.state = _State.LEFT_OUT
    else:
        row.family_name = " ".join(family_name.split())
    return row


@transaction.atomic
def cancel_run(by: Person, run: PacketRun, *, now: datetime | None = None) -> PacketRun:
    """Stop a run. What it issued stays issued; a run at work stops before its next step."""
    run = _locked(by, run)
    now = now or timezone.now()
    if not run.is_unfinished:
        raise ValidationError(_("It is over already."))
    if run.state == PacketRun.State.WORKING and not run.is_silent(now):
        run.cancel_asked_at = now
    else:
        run.state, run.worker, run.finished_at = PacketRun.State.CANCELLED, "", now
    run.save(update_fields=["state", "worker", "cancel_asked_at", "finished_at"])
    return run


@transaction.atomic
def resume_run(by: Person, run: PacketRun, *, now: datetime | None = None) -> PacketRun:
    """Let a run go on where it stopped: cancelled, stopped by a fault, or without its worker."""
    run = _locked(by, run)
    now = now or timezone.now()
    if not run.may_resume(now):
        raise ValidationError(_("It goes on already, or is finished."))
    run.state, run.worker, run.heard_at = PacketRun.State.WAITING, "", now
    run.cancel_asked_at = run.finished_at = run.files_until = None
    run.fault = ""
    run.validate_constraints()
    run.save()
    return run


@transaction.atomic
def remove_files(by: Person, run: PacketRun, *, now: datetime | None = None) -> None:
    """Delete the files of a finished run before their time."""
    run = _locked(by, run)
    if run.is_unfinished:
        raise ValidationError(_("It is not over yet: cancel it first."))
    run_files.remove(run, now=now)


def _locked(by: Person, run: PacketRun) -> PacketRun:
    found = policies.visible_runs(by).filter(pk=run.pk)
    require(found.exists())
    return PacketRun.objects.select_for_update().get(pk=run.pk)
