"""Packets of a cohort as its worker makes them, beside bare drawing of the same pages.

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

from tests.benchmarks import bare_pages
from tests.benchmarks.timing import ROOT, short, show_table

STUDENTS = 200


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
            ("bare drawing of the same pages, the processor’s time", short(bare["all_s"])),
            ("  texts, paths, changes of pen in a packet", _counts(bare)),
            ("drawing, the processor’s time", short(told["drawing_cpu_s"])),
            ("drawing, in bare drawings", f"{told['drawing_cpu_s'] / bare['all_s']:.2f}"),
        ],
    )


def _counts(bare: dict) -> str:
    return f"{bare['texts']}, {bare['paths']}, {bare['pens']}"


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
    """The same pages by a canvas alone, once for each student.

    Every text stands there in the same words, lettering, size, colour and place, every path with
    the same pen and fill: told from a packet of this cohort, before the clock starts. What is
    missing is what makes a packet: its story, laying out, structure, outline and properties.
    """
    from reportlab.lib.pagesizes import A4

    from assessments.sheets import fonts

    fonts.register()
    pages = bare_pages.marks_of(_a_packet(), (fonts.REGULAR, fonts.BOLD))
    calls = bare_pages.calls_for(pages)
    start = time.process_time()
    for _student in range(STUDENTS):
        bare_pages.drawn(calls, A4, fonts.REGULAR)
    seconds = time.process_time() - start
    marks = [mark for page in pages for mark in page]
    texts = sum(bool(mark.text) for mark in marks)
    return {
        "all_s": seconds,
        "pages": len(pages),
        "texts": texts,
        "paths": len(marks) - texts,
        "pens": sum(len(page) for page in calls) - len(marks),
    }


def _a_packet() -> bytes:
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
    return content


if __name__ == "__main__":
    import django

    django.setup()
    print(json.dumps({"build": build, "work": work, "bare": bare}[sys.argv[1]]()))
