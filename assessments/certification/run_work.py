"""What a worker does of a run, in steps that can be broken off anywhere and taken up again.

A worker has a run in hand by a token and says before each step that it is still there. One that
was silent for a minute has lost the run: another takes it, and the first can issue nothing more.
"""

import gc
import logging
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import DatabaseError, InterfaceError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from assessments.certification import policies, run_files
from assessments.certification.credential import signed_credential
from assessments.certification.issuing import histories, issue_on
from assessments.certification.keys import SchoolKey, school_key
from assessments.certification.packet_file import signed_packet
from assessments.certification.packet_source import packet_sheets
from assessments.certification.runs import held_packets
from assessments.certification.standing import standings_of
from assessments.models import PacketRun, PacketRunRow
from assessments.models.runs import FILES_KEPT
from assessments.sheets.packet import render_pdf
from coursework import room
from coursework.models import Person, SchoolSettings
from coursework.wants import Want, want_of
from solar.clock import zone_of

logger = logging.getLogger(__name__)
TOGETHER = 20
"""So many students are issued in one transaction, and gathered at once to be printed."""
_State = PacketRunRow.State


class _StoppedError(Exception):
    """The run was cancelled, or another worker has it."""


def work(run_pk: int, *, worker: str) -> None:
    """Do what is left of a run; nothing where another worker has it, or where it is over."""
    run = _taken(run_pk, worker)
    if run is None:
        return
    try:
        _issue(run)
        _make(run)
        _put_together(run)
    except _StoppedError:
        # Where another worker has it, nothing here is ours any more.
        _own(run).exclude(cancel_asked_at=None).update(
            state=PacketRun.State.CANCELLED,
            worker="",
            finished_at=timezone.now(),
            cancel_asked_at=None,
        )
    except Exception as fault:
        want = want_of(fault)
        if want in (Want.DATABASE, Want.TIME):
            # Nothing can be said in the records now; once it is silent it is taken up by itself.
            raise
        logger.exception("The run %s of packets was stopped by a fault.", run_pk)
        if want is Want.ROOM:
            room.refused()
        _end(run, PacketRun.State.FAILED, fault=_words_of(want))


def _taken(run_pk: int, worker: str) -> PacketRun | None:
    now = timezone.now()
    with transaction.atomic():
        run = PacketRun.objects.select_for_update().filter(pk=run_pk).first()
        if run is None or not run.is_unfinished:
            return None
        if run.state == PacketRun.State.WORKING and not run.is_silent(now):
            return None
        run.state, run.worker, run.heard_at = PacketRun.State.WORKING, worker, now
        run.save(update_fields=["state", "worker", "heard_at"])
    return PacketRun.objects.select_related(
        "certification__school", "cohort", "asked_by__school"
    ).get(pk=run_pk)


def _own(run: PacketRun):
    return PacketRun.objects.filter(pk=run.pk, worker=run.worker, state=PacketRun.State.WORKING)


def _words_of(want: Want | None) -> str:
    if want is Want.ROOM:
        return _(
            "The server has no room left. What was done stays: once whoever runs the server has "
            "made room, let it go on."
        )
    return _("A fault stopped it; it is in the log of the worker. What was done stays.")


def _is_there(run: PacketRun) -> None:
    """Say so; stop where the run was cancelled or is another's. In a transaction it stays ours."""
    if not _own(run).filter(cancel_asked_at=None).update(heard_at=timezone.now()):
        raise _StoppedError


def _end(run: PacketRun, state: str, *, fault: str = "", files_until: datetime | None = None):
    _own(run).update(
        state=state,
        fault=fault,
        files_until=files_until,
        worker="",
        finished_at=timezone.now(),
        cancel_asked_at=None,
    )


def _issue(run: PacketRun) -> None:
    waiting = list(run.rows.filter(state=_State.WAITING).values_list("pk", flat=True))
    for pks in _batches(waiting):
        with transaction.atomic():
            # Rows and certificates are stored together: a killed worker leaves both or neither.
            _is_there(run)
            rows = list(run.rows.filter(pk__in=pks, state=_State.WAITING).select_related("student"))
            _issue_to(run, rows)


def _issue_to(run: PacketRun, rows: list[PacketRunRow]) -> None:
    now, by, certification = timezone.now(), run.asked_by, run.certification
    by.refresh_from_db()
    allowed = policies.may_run_packets(by, certification, run.cohort)
    theirs = policies.run_students(by, run.cohort)
    pks = [row.student_id for row in rows]
    # Whoever issues singly at this moment waits for these rows, or is seen below.
    students = list(Person.objects.select_for_update().filter(pk__in=pks))
    enrolled = set(theirs.filter(pk__in=pks).values_list("pk", flat=True)) if allowed else set()
    held = held_packets(certification, students, now)
    standings = standings_of(certification, students, now=now)
    lines = histories(students)
    for row in rows:
        standing = standings[row.student_id]
        if not allowed:
            row.state = _State.NOT_READY
            row.reasons = [_("Whoever asked for this run leads the cohort no more.")]
        elif row.student_id not in enrolled:
            row.state = _State.NOT_READY
            row.reasons = [_("No student of this cohort any more.")]
        elif (packet := held.get(row.student_id)) is not None:
            row.state, row.packet = _State.HELD, packet
        else:
            try:
                row.packet = issue_on(
                    by,
                    standing,
                    family_name=row.family_name,
                    check_address=run.check_address,
                    history=lines[row.student_id],
                    now=now,
                )
                row.state = _State.ISSUED
            except ValidationError as error:
                row.state, row.reasons = _State.NOT_READY, error.messages
    PacketRunRow.objects.bulk_update(rows, ["state", "packet", "reasons"])


def _make(run: PacketRun) -> None:
    school = run.certification.school
    key, zone = school_key(school), SchoolSettings.of(school).zone
    rows = run.rows.exclude(packet=None).select_related(
        "packet__certification__school", "packet__student"
    )
    left = [row for row in rows if not (row.made and run_files.has_parts(run, row))]
    with _seldom_collected():
        _make_each(run, left, key, zone)


@contextmanager
def _seldom_collected() -> Iterator[None]:
    """Hundreds of thousands of small objects come and go with each packet, none of them old.

    Python’s collector of cycles would look through all that the worker ever loaded again and
    again, for a sixth of the whole time.
    """
    before = gc.get_threshold()
    gc.freeze()
    gc.set_threshold(50_000, 20, 100)
    try:
        yield
    finally:
        gc.set_threshold(*before)
        gc.unfreeze()


def _make_each(run: PacketRun, left: list[PacketRunRow], key: SchoolKey, zone: str) -> None:
    for together in _batches(left):
        _is_there(run)
        sheets = packet_sheets([row.packet for row in together])
        for row, sheet in zip(together, sheets, strict=True):
            try:
                _write(run, row, render_pdf(sheet, paper=run.paper), key, zone)
            except (OSError, DatabaseError, InterfaceError):
                # A full disk or a lost database is not the fault of one student's packet.
                raise
            except Exception:
                logger.exception("The packet %s could not be made.", row.packet.number)
                row.reasons = [_("The file could not be made; the fault is in the worker’s log.")]
            else:
                row.made, row.reasons = True, []
            row.save(update_fields=["made", "reasons"])
            _is_there(run)


def _write(run: PacketRun, row: PacketRunRow, content: bytes, key: SchoolKey, zone: str) -> None:
    credential = signed_credential(row.packet, key, zone)
    for kind, part in (
        ("unsigned.pdf", content),
        ("signed.pdf", signed_packet(row.packet, content, key)),
        ("jwt", credential.encode("ascii")),
    ):
        run_files.write(run_files.part_of(run, row, kind), part)


def _put_together(run: PacketRun) -> None:
    rows = list(run.rows.select_related("packet", "student"))
    lost = sum(row.packet is not None and not row.made for row in rows)
    if any(row.made for row in rows):
        zone = zone_of(SchoolSettings.of(run.certification.school).zone)
        run_files.write_zip(run, rows, zone)
        _is_there(run)
        run_files.write_print(run, rows)
        _is_there(run)
    files_until = timezone.now() + FILES_KEPT if any(row.made for row in rows) else None
    if lost:
        fault = ngettext(
            "%(count)s packet could not be made; the files hold the others.",
            "%(count)s packets could not be made; the files hold the others.",
            lost,
        ) % {"count": lost}
        _end(run, PacketRun.State.FAILED, fault=fault, files_until=files_until)
        return
    _end(run, PacketRun.State.DONE, files_until=files_until)
    run_files.remove_parts(run)


def _batches(things: list) -> Iterator[list]:
    for n in range(0, len(things), TOGETHER):
        yield things[n : n + TOGETHER]
