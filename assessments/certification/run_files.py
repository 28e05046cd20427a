"""The files of runs: in a folder of the data folder, never in the database, deleted when old."""

import csv
import io
import shutil
import zipfile
from collections.abc import Iterator, Sequence
from contextlib import ExitStack
from datetime import datetime
from pathlib import Path

import pikepdf
from django.conf import settings
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.text import slugify
from django.utils.translation import gettext as _

from assessments.models import PacketRun, PacketRunRow

ZIP, PRINT = "packets.zip", "print.pdf"
KINDS = ("unsigned.pdf", "signed.pdf", "jwt")
_PARTS = "parts"


def folder(run: PacketRun | int) -> Path:
    number = run if isinstance(run, int) else run.pk
    return _root() / f"{number}"


def file_of(run: PacketRun, name: str) -> Path:
    """The finished file of that name (ZIP or PRINT)."""
    return folder(run) / name


def part_of(run: PacketRun, row: PacketRunRow, kind: str) -> Path:
    """A file of one student; `kind` is one of KINDS."""
    return folder(run) / _PARTS / f"{row.packet.number}.{kind}"


def has_parts(run: PacketRun, row: PacketRunRow) -> bool:
    return all(part_of(run, row, kind).exists() for kind in KINDS)


def write(path: Path, content: bytes) -> None:
    """Whole or not at all: a worker may be killed at any instant."""
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    unfinished = path.with_name(f"{path.name}.unfinished")
    unfinished.write_bytes(content)
    unfinished.replace(path)


def write_zip(run: PacketRun, rows: Sequence[PacketRunRow], zone) -> None:
    """Every signed packet with its credential, and a list of everybody; `rows` with packets."""
    path = file_of(run, ZIP)
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    unfinished = path.with_name(f"{path.name}.unfinished")
    stamp = run.asked_at.astimezone(zone).timetuple()[:6]
    with zipfile.ZipFile(unfinished, "w") as file:
        for row in rows:
            if not row.made:
                continue
            name = f"{slugify(row.packet.holder) or 'packet'}-{row.packet.number_in_groups}"
            for kind, ending in (("signed.pdf", "pdf"), ("jwt", "jwt")):
                entry = zipfile.ZipInfo(f"{name}.{ending}", stamp)
                # Pages are packed within the PDF already.
                entry.external_attr = 0o644 << 16
                file.writestr(entry, part_of(run, row, kind).read_bytes())
        entry = zipfile.ZipInfo("list.csv", stamp)
        entry.external_attr = 0o644 << 16
        file.writestr(entry, _list(rows).encode("utf-8-sig"), zipfile.ZIP_DEFLATED)
    unfinished.replace(path)


def _list(rows: Sequence[PacketRunRow]) -> str:
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow([_("student"), _("outcome"), _("number"), _("last day it holds"), _("why")])
    for row in rows:
        packet = row.packet
        writer.writerow(
            [
                _safe(row.student.name),
                row.get_state_display(),
                packet.number_in_groups if packet is not None else "",
                packet.expires_on.isoformat() if packet is not None else "",
                _safe(" ".join(row.reasons)),
            ]
        )
    return out.getvalue()


def _safe(text: str) -> str:
    """A name that begins like a formula is no formula in a spreadsheet."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@") else text


def write_print(run: PacketRun, rows: Sequence[PacketRunRow]) -> int:
    """One file to print on both sides: every packet starts on a right-hand page; its pages.

    It has no signature: it is for the press. Each holder is in its outline.
    """
    path = file_of(run, PRINT)
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    unfinished = path.with_name(f"{path.name}.unfinished")
    with ExitStack() as held, pikepdf.new() as merged:
        for row, source in _sources(run, rows, held):
            first = len(merged.pages)
            merged.pages.extend(source.pages)
            if len(merged.pages) % 2:
                box = source.pages[0].mediabox
                merged.add_blank_page(page_size=(float(box[2]), float(box[3])))
            with merged.open_outline() as outline:
                outline.root.append(pikepdf.OutlineItem(row.packet.holder, first))
        merged.docinfo["/Title"] = _("%(title)s: packets of %(cohort)s") % {
            "title": run.certification.title,
            "cohort": run.cohort.name,
        }
        merged.Root.Lang = "en-GB"
        merged.Root.ViewerPreferences = pikepdf.Dictionary(
            DisplayDocTitle=True, Duplex=pikepdf.Name.DuplexFlipLongEdge
        )
        merged.save(unfinished, deterministic_id=True)
        count = len(merged.pages)
    unfinished.replace(path)
    return count


def _sources(
    run: PacketRun, rows: Sequence[PacketRunRow], held: ExitStack
) -> Iterator[tuple[PacketRunRow, pikepdf.Pdf]]:
    for row in rows:
        if row.made:
            # Read when the whole is saved, so it stays open until then.
            yield row, held.enter_context(pikepdf.open(part_of(run, row, "unsigned.pdf")))


def remove_parts(run: PacketRun) -> None:
    """What the finished files were put together from."""
    shutil.rmtree(folder(run) / _PARTS, ignore_errors=True)


def remove(run: PacketRun, *, now: datetime | None = None) -> None:
    """Delete the files of a run; what it did stays on record."""
    shutil.rmtree(folder(run), ignore_errors=True)
    PacketRun.objects.filter(pk=run.pk).update(files_until=now or timezone.now())


def remove_old(*, now: datetime | None = None) -> None:
    """Delete files that were kept long enough, and those of runs that are no more."""
    now = now or timezone.now()
    kept = set(PacketRun.objects.keeping_files(now).values_list("pk", flat=True))
    for path in _root().iterdir() if _root().exists() else ():
        if path.name.isdecimal() and int(path.name) not in kept:
            shutil.rmtree(path, ignore_errors=True)


def remove_run_rows(rows: QuerySet[PacketRunRow]) -> None:
    """What an erasure removes: the rows of a person, and all files in which they stand."""
    for run in PacketRun.objects.filter(rows__in=rows).distinct():
        remove(run)
    rows.delete()


def _root() -> Path:
    return Path(settings.DATA_DIR) / "packet-runs"
