"""Packets of a cohort as its worker makes them, beside bare drawing of pages with as many lines.

Each part runs in a process of its own over one data folder, so that time and memory are its own:
`python -m tests.benchmarks.packets build|work|bare`.
"""

import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections import Counter
from io import BytesIO

from tests.benchmarks.timing import ROOT, short, show_table

STUDENTS, PAGES = 200, 8


def packets_of_a_cohort() -> None:
    """A whole run, from asking to the merged file; signing reported apart."""
    with tempfile.TemporaryDirectory() as folder:
        _part("build", folder)
        bare, told = _part("bare", folder), _part("work", folder)
    unsigned = told["all_s"] - told["signing_s"]
    show_table(
        f"Packets of {told['packets']} students, {told['pages']} pages each, on {os.cpu_count()} "
        "cores (the worker uses one)",
        ("", ""),
        [
            ("the whole run", short(told["all_s"])),
            ("of it signing, file and credential", short(told["signing_s"])),
            ("without signing", short(unsigned)),
            ("  of it the processor’s time", short(told["all_cpu_s"] - told["signing_cpu_s"])),
            ("  issuing", short(told["issuing_s"])),
            ("  gathering what is printed", short(told["gathering_s"])),
            ("  drawing", short(told["drawing_s"])),
            ("  ZIP, merged file, the rest", short(unsigned - _named(told))),
            ("peak memory of the worker", f"{told['memory_mb']:.0f} MB"),
            ("pages of the merged file", f"{told['merged']}"),
            (
                f"bare drawing: {bare['texts']} texts and {bare['strokes']} strokes a packet",
                short(bare["all_s"]),
            ),
            (f"the same with {bare['pens']} changes of pen, font and state", short(bare["pens_s"])),
            ("drawing, in bare drawings", f"{told['drawing_cpu_s'] / bare['all_s']:.2f}"),
            (
                "drawing, in bare drawings with changes",
                f"{told['drawing_cpu_s'] / bare['pens_s']:.2f}",
            ),
        ],
    )


def _named(told: dict) -> float:
    return told["issuing_s"] + told["gathering_s"] + told["drawing_s"]


def _part(name: str, folder: str) -> dict:
    environment = os.environ | {
        "PLUMBSHADOW_DATA": folder,
        "PLUMBSHADOW_HTTPS": "no",
        "DJANGO_SETTINGS_MODULE": "coursework.settings",
    }
    done = subprocess.run(
        [sys.executable, "-m", "tests.benchmarks.packets", name],
        cwd=ROOT, env=environment, check=True, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    return json.loads(done.stdout.splitlines()[-1])


def build() -> dict:
    """Three attempts of each student at one skill, signed off, and a run that waits."""
    from django.core.management import call_command

    call_command("migrate", verbosity=0)
    from django.db import transaction

    from assessments.certification.runs import start_run
    from assessments.certification.signing import sign_off
    from tests import builders
    from tests.assessments.certification import made
    from tests.assessments.records.cohorts import cohort_of

    with transaction.atomic():
        drill, lead, students = cohort_of(3 * STUDENTS, students=STUDENTS)
        # Attempts may be flagged: a lead signs, another one issues.
        signer = builders.lead(drill.cohort, name="Sinja Signer")
        certification = made.certification(drill.cohort.course.school)
        skill = made.skill(certification, drill.exercise, within_needed=1, of_last=3)
        # What is within by the stored verdict, whatever its sums: pages are what is measured.
        for student in students:
            sign_off(signer, skill, student, flags_accepted="For the measurement.")
        start_run(
            lead,
            certification,
            drill.cohort,
            family_names={one.pk: one.name.split()[-1] for one in students},
            check_address=made.CHECK,
        )
    return {}


def work() -> dict:
    """The run, as the worker does it, with a clock on each part."""
    import pikepdf

    from assessments.certification import run_files, run_work
    from assessments.certification.keys import school_key
    from assessments.models import PacketRun

    spent = {}

    def timed(module, name: str, part: str) -> None:
        whole = getattr(module, name)

        def clocked(*args, **more):
            start, busy = time.perf_counter(), time.process_time()
            try:
                return whole(*args, **more)
            finally:
                spent[part] = spent.get(part, 0.0) + time.perf_counter() - start
                # Ratios are of the processor's time: what else the machine does falls on neither.
                name = part.replace("_s", "_cpu_s")
                spent[name] = spent.get(name, 0.0) + time.process_time() - busy

        setattr(module, name, clocked)

    run = PacketRun.objects.get()
    school_key(run.certification.school)  # made once in five years
    timed(run_work, "_issue", "issuing_s")
    timed(run_work, "packet_sheets", "gathering_s")
    timed(run_work, "render_pdf", "drawing_s")
    timed(run_work, "signed_packet", "signing_s")
    timed(run_work, "signed_credential", "signing_s")
    start, busy = time.perf_counter(), time.process_time()
    run_work.work(run.pk, worker="benchmark")
    spent["all_s"] = time.perf_counter() - start
    spent["all_cpu_s"] = time.process_time() - busy
    run.refresh_from_db()
    if run.state != PacketRun.State.DONE:
        sys.exit(f"The run ended as {run.state}: {run.fault}")
    packets = run.rows.filter(made=True).count()
    memory_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
    with pikepdf.open(run_files.file_of(run, run_files.PRINT)) as merged:
        count = len(merged.pages)
    return spent | {
        "packets": packets,
        "pages": count / packets,
        "merged": count,
        "memory_mb": memory_mb,
    }


def bare() -> dict:
    """As many pages with as many lines, by the canvas alone, in the same lettering.

    Once with texts and strokes only, and once with every change of pen, colour, dash, font and
    saved state that the pages of a packet have as well.
    """
    from assessments.sheets import fonts

    pages = _operations()
    fonts.register()
    return {
        "all_s": _drawn(pages, pens=False),
        "pens_s": _drawn(pages, pens=True),
        "texts": sum(page["Tj"] for page in pages),
        "strokes": sum(page["S"] + page["f"] for page in pages),
        "pens": sum(page[name] for page in pages for name in ("w", "RG", "rg", "d", "Tf", "q")),
    }


def _drawn(pages: list[dict[str, int]], *, pens: bool) -> float:
    """Seconds of the processor for the packets of all students."""
    from reportlab.lib.pagesizes import A4
    from reportlab.pdfgen.canvas import Canvas

    from assessments.sheets import fonts

    words = "Assessed attempts, within 10°"
    start = time.process_time()
    for _student in range(STUDENTS):
        canvas = Canvas(BytesIO(), pagesize=A4, initialFontName=fonts.REGULAR)
        for page in pages:
            for number in range(page["Tj"]):
                canvas.setFont(fonts.BOLD if number % 5 == 0 else fonts.REGULAR, 9)
                canvas.drawString(50, 800 - 12 * (number % 60), words)
            for number in range(page["S"] + page["f"]):
                canvas.setLineWidth(0.4 + number % 3)
                canvas.line(50, 800 - 2 * (number % 350), 500, 790 - 2 * (number % 350))
            if pens:
                _change_pens(canvas, page)
            canvas.showPage()
        canvas.save()
    return time.process_time() - start


def _change_pens(canvas, page: dict[str, int]) -> None:
    # Fonts and widths that were set above are not set again.
    strokes = page["S"] + page["f"]
    for number in range(max(0, page["w"] - strokes)):
        canvas.setLineWidth(0.4 + number % 3)
    for number in range(page["RG"]):
        canvas.setStrokeColorRGB(number % 2, 0, 0)
    for number in range(page["rg"]):
        canvas.setFillColorRGB(number % 2, 0, 0)
    for number in range(page["d"]):
        canvas.setDash([1 + number % 3, 2])
    for number in range(max(0, page["Tf"] - page["Tj"])):
        canvas.setFont(fonts_of(number), 9)
    for _number in range(page["q"]):
        canvas.saveState()
        canvas.restoreState()


def fonts_of(number: int) -> str:
    from assessments.sheets import fonts

    return fonts.BOLD if number % 2 else fonts.REGULAR


KINDS = {"TJ": "Tj", "s": "S", "f*": "f", "B": "f", "b": "f", "B*": "f", "b*": "f"}


def _operations() -> list[dict[str, int]]:
    """How often each page of a packet of this cohort shows a text, paints a path, changes a pen."""
    import pikepdf
    from django.db import transaction
    from django.utils import timezone

    from assessments.certification.issuing import histories, issue_on
    from assessments.certification.packet_source import packet_sheet
    from assessments.certification.standing import standings_of
    from assessments.models import PacketRun
    from assessments.sheets.packet import render_pdf

    run = PacketRun.objects.select_related("certification__school", "asked_by").get()
    student = run.rows.first().student
    with transaction.atomic():
        packet = issue_on(
            run.asked_by,
            standings_of(run.certification, [student])[student.pk],
            family_name=student.name.split()[-1],
            check_address=run.check_address,
            history=histories([student])[student.pk],
            now=timezone.now(),
        )
        content = render_pdf(packet_sheet(packet))
        transaction.set_rollback(True)
    with pikepdf.open(BytesIO(content)) as file:
        counted = []
        for page in file.pages:
            names = [str(one.operator) for one in pikepdf.parse_content_stream(page)]
            counted.append(Counter(KINDS.get(name, name) for name in names))
        return counted


if __name__ == "__main__":
    import django

    django.setup()
    print(json.dumps({"build": build, "work": work, "bare": bare}[sys.argv[1]]()))
