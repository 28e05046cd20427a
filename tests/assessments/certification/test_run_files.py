"""What a run leaves: a ZIP, a file to print on both sides, and nothing after their time."""

import csv
import io
import zipfile
from datetime import timedelta

import pikepdf
import pytest
from django.utils import timezone

from assessments.certification import run_files, runs, tasks
from assessments.models import Packet, PacketRun, PacketRunRow
from assessments.models.runs import FILES_KEPT
from coursework.models import Person
from tests.assessments.certification import made
from tests.assessments.certification.second_reader import certificate_if_sound

pytestmark = pytest.mark.django_db


@pytest.fixture
def world(settings, tmp_path):
    settings.DATA_DIR = tmp_path
    world = made.world()
    made.signed(world)
    world.run = runs.start_run(
        world.lead,
        world.certification,
        world.cohort,
        family_names={world.student.pk: "Świerczyńska"},
        check_address=made.CHECK,
    )
    return world


def done(world) -> PacketRun:
    tasks.make_packets.call(world.run.pk)
    world.run.refresh_from_db()
    return world.run


def test_the_zip_holds_signed_packets_their_credentials_and_a_list(world):
    run = done(world)
    number = run.rows.get(student=world.student).packet.number_in_groups
    with zipfile.ZipFile(run_files.file_of(run, run_files.ZIP)) as file:
        # Of Ś only the letter is left, of ń as well: names of files are plain.
        stem = f"zofia-swierczynska-{number}"
        assert file.namelist() == [f"{stem}.pdf", f"{stem}.jwt", "list.csv"]
        assert certificate_if_sound(file.read(f"{stem}.pdf")) is not None
        listed = list(csv.reader(io.StringIO(file.read("list.csv").decode("utf-8-sig"))))
    assert {row[0]: row[1] for row in listed[1:]} == {
        "Zofia Świerczyńska": "issued in this run",
        world.fellow.name: "not ready",
    }
    assert "Not signed off: “" in next(row[4] for row in listed if row[1] == "not ready")


def test_a_name_like_a_formula_is_none_in_the_list(world):
    Person.objects.filter(pk=world.fellow.pk).update(name="=1+1")
    with zipfile.ZipFile(run_files.file_of(done(world), run_files.ZIP)) as file:
        assert "'=1+1" in file.read("list.csv").decode()


def pdf_of(pages: int) -> bytes:
    out = io.BytesIO()
    with pikepdf.new() as file:
        for _page in range(pages):
            file.add_blank_page(page_size=(595, 842))
        file.save(out)
    return out.getvalue()


@pytest.mark.parametrize(
    ("pages", "starts", "count"), [([1], [0], 2), ([2], [0], 2), ([3, 2, 1], [0, 4, 6], 8)]
)
def test_every_packet_starts_on_a_right_hand_page(world, pages, starts, count):
    rows = []
    for number, many in enumerate(pages):
        packet = Packet(number=f"N{number}", holder=f"Holder {number}")
        row = PacketRunRow(run=world.run, packet=packet, made=True)
        run_files.write(run_files.part_of(world.run, row, "unsigned.pdf"), pdf_of(many))
        rows.append(row)
    assert run_files.write_print(world.run, rows) == count
    with pikepdf.open(run_files.file_of(world.run, run_files.PRINT)) as file:
        assert len(file.pages) == count
        with file.open_outline() as outline:
            titles = [entry.title for entry in outline.root]
            found = [file.pages.index(pikepdf.Page(one.destination[0])) for one in outline.root]
    assert titles == [f"Holder {number}" for number in range(len(pages))]
    assert found == starts


def test_the_printed_packets_have_an_even_number_of_pages(world):
    run = done(world)
    with pikepdf.open(run_files.file_of(run, run_files.PRINT)) as file:
        assert len(file.pages) % 2 == 0


def test_parts_are_gone_once_the_files_are_there(world):
    run = done(world)
    assert {path.name for path in run_files.folder(run).iterdir()} == {"packets.zip", "print.pdf"}


@pytest.mark.parametrize(
    ("after", "kept"), [(timedelta(seconds=-1), True), (timedelta(seconds=1), False)]
)
def test_files_are_deleted_after_fourteen_days(world, after, kept):
    run = done(world)
    assert abs(run.files_until - timezone.now() - FILES_KEPT) < timedelta(minutes=1)
    now = run.files_until + after
    run_files.remove_old(now=now)
    assert run_files.folder(run).exists() is kept
    assert run.has_files(now) is kept


def test_what_is_left_of_a_cancelled_run_is_deleted_as_late(world):
    runs.cancel_run(world.lead, world.run)
    run_files.write(run_files.folder(world.run) / "parts" / "one.pdf", b"")
    run_files.remove_old()
    assert run_files.folder(world.run).exists()
    run_files.remove_old(now=timezone.now() + FILES_KEPT + timedelta(minutes=1))
    assert not run_files.folder(world.run).exists()


def test_files_of_a_run_that_is_no_more_are_deleted(world):
    run = done(world)
    path = run_files.folder(run)
    run.delete()
    run_files.remove_old()
    assert not path.exists()


def test_files_are_deleted_when_the_lead_says_so_and_the_run_stays(world):
    run = done(world)
    runs.remove_files(world.lead, run)
    assert not run_files.folder(run).exists()
    run.refresh_from_db()
    assert not run.has_files(timezone.now())


def test_what_an_erasure_removes_takes_the_files_along(world):
    run = done(world)
    run_files.remove_run_rows(PacketRunRow.objects.filter(student=world.student))
    assert not run_files.folder(run).exists()
    assert not run.rows.filter(student=world.student).exists()
    assert run.rows.filter(student=world.fellow).exists()


def test_a_file_is_whole_or_not_there(world, monkeypatch):
    path = run_files.folder(world.run) / "one.pdf"
    run_files.write(path, b"old")

    def broken(_self, _content):
        raise OSError("disk full")

    monkeypatch.setattr("pathlib.Path.write_bytes", broken)
    with pytest.raises(OSError, match="disk full"):
        run_files.write(path, b"new")
    assert path.read_bytes() == b"old"
