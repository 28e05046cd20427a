"""Packets of a cohort in one go: who gets one, who does not and why, and taking up what stopped."""

import errno
from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError, OperationalError, connection, transaction
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from assessments.certification import run_work, runs, tasks
from assessments.certification.issuing import withdraw_packet
from assessments.certification.packet_source import packet_sheets
from assessments.certification.signing import sign_off
from assessments.models import Packet, PacketRun, PacketRunRow
from assessments.models.runs import SILENT_AFTER
from coursework import room
from coursework.models import Enrolment, Person
from tests import builders
from tests.assessments import results
from tests.assessments.certification import made

pytestmark = pytest.mark.django_db
STATE, ROW = PacketRun.State, PacketRunRow.State


@pytest.fixture(autouse=True)
def own_folder(settings, tmp_path):
    settings.DATA_DIR = tmp_path


@pytest.fixture(autouse=True)
def plain_pages(monkeypatch):
    """One line for a packet: what pages look like is tested where they are drawn."""
    from reportlab.pdfgen.canvas import Canvas

    def draw(sheet, *, paper):
        canvas = Canvas(str(paper), invariant=True)
        canvas.drawString(72, 720, sheet.number)
        return canvas.getpdfdata()

    monkeypatch.setattr(run_work, "render_pdf", draw)


def ready(world, *names: str) -> list[Person]:
    """Students of the world's cohort whose one skill is signed off by the assistant."""
    people = []
    for name in names:
        student = builders.student(world.cohort, name=name)
        results.attempt(of=world.drill, by=world.assistant, student=student)
        sign_off(world.assistant, world.skill, student, now=made.NOW)
        people.append(student)
    return people


def started(world, people, **fields):
    names = {one.pk: one.name.split()[-1] for one in people}
    defaults = {"family_names": names, "check_address": made.CHECK}
    return runs.start_run(world.lead, world.certification, world.cohort, **defaults | fields)


def done(run: PacketRun) -> dict[str, str]:
    """The run worked off; what became of each, by name."""
    tasks.make_packets.call(run.pk)
    run.refresh_from_db()
    return {row.student.name: row.state for row in run.rows.select_related("student")}


def test_those_who_are_ready_are_issued_and_the_others_listed_with_what_is_missing():
    world = made.world()
    people = ready(world, "Ada Alm", "Ben Bach")
    run = started(world, people)
    states = done(run)
    assert (states["Ada Alm"], states["Ben Bach"]) == (ROW.ISSUED, ROW.ISSUED)
    assert states["Zofia Świerczyńska"] == ROW.NOT_READY
    row = run.rows.get(student=world.student)
    assert row.packet is None
    assert row.reasons == ["Not signed off: “" + world.skill.title + "”."]
    assert run.state == STATE.DONE
    assert set(Packet.objects.values_list("student", flat=True)) == {one.pk for one in people}


def test_whoever_is_not_named_is_left_out():
    world = made.world()
    first, _second = ready(world, "Ada Alm", "Ben Bach")
    states = done(started(world, [first]))
    assert states["Ben Bach"] == ROW.LEFT_OUT
    assert Packet.objects.get().student == first


def test_a_certificate_in_force_is_printed_and_none_issued_beside_it():
    world = made.world()
    (person,) = ready(world, "Ada Alm")
    done(started(world, [person]))
    second = started(world, [person])
    assert done(second)["Ada Alm"] == ROW.HELD
    assert Packet.objects.count() == 1
    assert second.rows.get(student=person).made


def test_a_withdrawn_certificate_is_not_one_that_is_held():
    world = made.world()
    (person,) = ready(world, "Ada Alm")
    done(started(world, [person]))
    withdraw_packet(world.lead, Packet.objects.get(), "By mistake.")
    (prospect,) = [
        one
        for one in runs.prospects(world.lead, world.certification, world.cohort)
        if one.student == person
    ]
    assert prospect.held is None
    assert prospect.withdrawn


def test_a_lead_who_signed_everything_alone_issues_to_nobody():
    world = made.world()
    student = builders.student(world.cohort, name="Ada Alm")
    results.attempt(of=world.drill, by=world.assistant, student=student)
    sign_off(world.lead, world.skill, student, now=made.NOW)
    with pytest.raises(ValidationError, match="nothing to make"):
        started(world, [student])


def test_a_family_name_that_is_none_of_the_name_is_refused_before_anything_is_made():
    world = made.world()
    (person,) = ready(world, "Ada Alm")
    with pytest.raises(ValidationError, match="family name"):
        started(world, [person], family_names={person.pk: "Berg"})
    assert not PacketRun.objects.exists()


@pytest.mark.parametrize("who", ["assistant", "student", "fellow", "other_lead", "stranger"])
def test_only_leads_of_the_cohort_have_packets_made(who):
    world = made.world()
    people = ready(world, "Ada Alm")
    with pytest.raises(PermissionDenied):
        runs.start_run(
            getattr(world, who),
            world.certification,
            world.cohort,
            family_names={people[0].pk: "Alm"},
            check_address=made.CHECK,
        )


def test_a_cohort_has_one_unfinished_run_of_a_certification():
    world = made.world()
    people = ready(world, "Ada Alm")
    run = started(world, people)
    with pytest.raises(ValidationError, match="being made already"):
        started(world, people)
    with pytest.raises(IntegrityError), transaction.atomic():
        PacketRun.objects.create(
            certification=run.certification,
            cohort=run.cohort,
            asked_by=run.asked_by,
            check_address=made.CHECK,
        )


class KilledError(BaseException):
    """As when the process ends: nothing catches it on the way."""


def killed_after(monkeypatch, number: int, *, at: str):
    """Let the worker die at the so-manieth call of something that it does once a packet."""
    whole, calls = getattr(run_work, at), []

    def dying(*args, **more):
        calls.append(1)
        if len(calls) > number:
            raise KilledError
        return whole(*args, **more)

    monkeypatch.setattr(run_work, at, dying)
    return lambda: monkeypatch.setattr(run_work, at, whole)


@pytest.mark.parametrize(("at", "issued", "printed"), [("issue_on", 2, 0), ("signed_packet", 5, 3)])
def test_a_killed_worker_s_run_goes_on_where_it_stopped_and_nobody_is_issued_twice(
    monkeypatch, at, issued, printed
):
    monkeypatch.setattr(run_work, "TOGETHER", 2)
    world = made.world()
    people = ready(world, "Ada Alm", "Ben Bach", "Cleo Curti", "Dan Dorn", "Eva Ebner")
    run = started(world, people)
    alive = killed_after(monkeypatch, 3, at=at)
    with pytest.raises(KilledError):
        run_work.work(run.pk, worker="first")
    alive()
    assert Packet.objects.count() == issued
    assert run.rows.filter(made=True).count() == printed
    before = set(Packet.objects.values_list("number", flat=True))
    PacketRun.objects.update(heard_at=timezone.now() - 2 * SILENT_AFTER)
    tasks.look_after.call(run.pk)
    run.refresh_from_db()
    assert run.state == STATE.DONE
    assert before <= set(Packet.objects.values_list("number", flat=True))
    assert Packet.objects.count() == 5
    assert Packet.objects.values("student").distinct().count() == 5
    assert run.rows.filter(made=True).count() == 5


def test_a_run_whose_worker_was_heard_of_is_left_to_it():
    world = made.world()
    run = started(world, ready(world, "Ada Alm"))
    PacketRun.objects.update(state=STATE.WORKING, worker="first", heard_at=timezone.now())
    tasks.look_after.call(run.pk)
    assert not Packet.objects.exists()
    assert PacketRun.objects.get().worker == "first"


def test_a_worker_that_was_thought_dead_issues_nothing_more():
    world = made.world()
    run = started(world, ready(world, "Ada Alm"))
    taken = run_work._taken(run.pk, "first")
    PacketRun.objects.update(heard_at=timezone.now() - 2 * SILENT_AFTER)
    assert run_work._taken(run.pk, "second") is not None
    with pytest.raises(run_work._StoppedError):
        run_work._issue(taken)
    assert not Packet.objects.exists()


def test_cancelling_stops_before_the_next_step_and_keeps_what_was_issued(monkeypatch):
    monkeypatch.setattr(run_work, "TOGETHER", 1)
    world = made.world()
    run = started(world, ready(world, "Ada Alm", "Ben Bach"))
    whole = run_work.issue_on

    def issue_and_cancel(*args, **more):
        packet = whole(*args, **more)
        runs.cancel_run(world.lead, run)
        return packet

    monkeypatch.setattr(run_work, "issue_on", issue_and_cancel)
    states = done(run)
    assert run.state == STATE.CANCELLED
    assert Packet.objects.count() == 1
    assert sorted(states.values()) == [ROW.ISSUED, ROW.NOT_READY, ROW.NOT_READY, ROW.WAITING]
    monkeypatch.setattr(run_work, "issue_on", whole)
    runs.resume_run(world.lead, run)
    assert list(done(run).values()).count(ROW.ISSUED) == 2
    assert run.state == STATE.DONE


def test_a_run_that_waits_is_cancelled_at_once():
    world = made.world()
    run = started(world, ready(world, "Ada Alm"))
    assert runs.cancel_run(world.lead, run).state == STATE.CANCELLED
    done(run)
    assert not Packet.objects.exists()
    with pytest.raises(ValidationError, match="over already"):
        runs.cancel_run(world.lead, run)


def test_a_finished_run_does_not_go_on():
    world = made.world()
    run = started(world, ready(world, "Ada Alm"))
    done(run)
    with pytest.raises(ValidationError, match="finished"):
        runs.resume_run(world.lead, run)


def test_a_packet_that_cannot_be_made_is_told_of_and_the_others_are_made(monkeypatch):
    world = made.world()
    people = ready(world, "Ada Alm", "Ben Bach")
    run = started(world, people)
    draw = run_work.render_pdf

    def failing(sheet, *, paper):
        if sheet.holder == "Ada Alm":
            raise RuntimeError("no room")
        return draw(sheet, paper=paper)

    monkeypatch.setattr(run_work, "render_pdf", failing)
    done(run)
    assert run.state == STATE.FAILED
    assert "1 packet could not be made" in run.fault
    assert "could not be made" in run.rows.get(student=people[0]).reasons[0]
    assert run.has_files(timezone.now())
    monkeypatch.setattr(run_work, "render_pdf", draw)
    runs.resume_run(world.lead, run)
    done(run)
    assert run.state == STATE.DONE
    assert Packet.objects.count() == 2


def failing_with(monkeypatch, fault):
    def fail(*_given, **_more):
        raise fault

    monkeypatch.setattr(run_work, "signed_packet", fail)


@pytest.mark.parametrize(
    "fault",
    [
        OSError(errno.ENOSPC, "No space left on device"),
        OperationalError("database or disk is full"),
    ],
)
def test_a_run_without_room_stops_says_what_to_do_and_goes_on_once_there_is_some(
    monkeypatch, fault
):
    world = made.world()
    run = started(world, ready(world, "Ada Alm"))
    with monkeypatch.context() as meanwhile:
        failing_with(meanwhile, fault)
        done(run)
    assert run.state == STATE.FAILED
    assert run.fault.startswith("The server has no room left. What was done stays:")
    assert room.mark().exists()
    runs.resume_run(world.lead, run)
    done(run)
    assert (run.state, Packet.objects.count()) == (STATE.DONE, 1)


@pytest.mark.parametrize("words", ["server closed the connection", "database is locked"])
def test_a_run_whose_database_went_away_is_not_over_and_is_taken_up(monkeypatch, words):
    world = made.world()
    run = started(world, ready(world, "Ada Alm"))
    with monkeypatch.context() as meanwhile:
        failing_with(meanwhile, OperationalError(words))
        with pytest.raises(OperationalError):
            tasks.make_packets.call(run.pk)
    run.refresh_from_db()
    assert (run.state, run.fault) == (STATE.WORKING, "")
    assert run.rows.get(student__name="Ada Alm").reasons == []
    PacketRun.objects.update(heard_at=timezone.now() - 2 * SILENT_AFTER)
    tasks.look_after.call(run.pk)
    run.refresh_from_db()
    assert (run.state, Packet.objects.count()) == (STATE.DONE, 1)


def test_a_lead_who_leads_the_cohort_no_more_issues_nothing():
    world = made.world()
    run = started(world, ready(world, "Ada Alm"))
    Enrolment.objects.filter(person=world.lead).delete()
    done(run)
    assert not Packet.objects.exists()
    assert "no more" in run.rows.get(student__name="Ada Alm").reasons[0]


def test_a_student_who_left_the_cohort_meanwhile_is_issued_nothing():
    world = made.world()
    people = ready(world, "Ada Alm", "Ben Bach")
    run = started(world, people)
    Enrolment.objects.filter(person=people[0]).delete()
    assert done(run)["Ada Alm"] == ROW.NOT_READY
    assert Packet.objects.get().student == people[1]


def test_standings_and_packets_take_as_many_queries_for_many_students():
    world = made.world()

    def queries() -> tuple[int, int]:
        with CaptureQueriesContext(connection) as standing:
            runs.prospects(world.lead, world.certification, world.cohort)
        packets = list(Packet.objects.select_related("certification__school", "student"))
        with CaptureQueriesContext(connection) as printing:
            packet_sheets(packets)
        return len(standing), len(printing)

    done(started(world, ready(world, "Ada Alm")))
    few = queries()
    done(started(world, ready(world, "Ben Bach", "Cleo Curti", "Dan Dorn")))
    assert queries() == few


def test_silence_is_a_minute_and_no_less():
    run, now = PacketRun(state=STATE.WORKING), timezone.now()
    run.heard_at = now - timedelta(seconds=60)
    assert not run.is_silent(now)
    assert run.is_silent(now + timedelta(seconds=1))
