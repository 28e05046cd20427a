"""Packets of a cohort as its worker makes them, beside bare drawing of the same pages.

Each part runs in a process of its own over one data folder, so that time and memory are its own:
`python -m tests.benchmarks.packets build|work`.
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
        told = _part("work", folder)
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
            ("bare drawing of the same pages, the processor’s time", short(told["bare_cpu_s"])),
            ("  texts, paths, changes of pen in a packet", told["counts"]),
            ("drawing, the processor’s time", short(told["drawing_cpu_s"])),
            ("drawing, in bare drawings", f"{told['drawing_cpu_s'] / told['bare_cpu_s']:.2f}"),
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
    bare, drawn = Bare(), run_work.render_pdf

    def in_turns(*args, **more) -> bytes:
        content = drawn(*args, **more)
        bare.draw_like(content)
        return content

    run_work.render_pdf = in_turns
    timed(run_work, "signed_packet", "signing_s")
    timed(run_work, "signed_credential", "signing_s")
    start, busy = time.perf_counter(), time.process_time()
    run_work.work(run.pk, worker="benchmark")
    spent["all_s"] = time.perf_counter() - start - bare.all_s
    spent["all_cpu_s"] = time.process_time() - busy - bare.all_cpu_s
    spent["bare_cpu_s"], spent["counts"] = bare.cpu_s, bare.counts
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


class Bare:
    """The pages of the first packet by a canvas alone, drawn once after each packet.

    Every text stands there in the same words, lettering, size, colour and place, every path with
    the same pen and fill: read from the packet, before its clock starts. What is missing is what
    makes a packet: its figures, story, laying out, structure, outline and properties. Drawn in
    turns, both have the same machine, whatever else it does.
    """

    def __init__(self) -> None:
        self._pages: list[list[bare_pages.Call]] = []
        self._marks: list[bare_pages.Mark] = []
        self.cpu_s = self.all_s = self.all_cpu_s = 0.0

    def draw_like(self, content: bytes) -> None:
        from reportlab.lib.pagesizes import A4

        from assessments.sheets import fonts

        start, busy_all = time.perf_counter(), time.process_time()
        if not self._pages:
            pages = bare_pages.marks_of(content, (fonts.REGULAR, fonts.BOLD))
            self._pages = bare_pages.calls_for(pages)
            self._marks = [mark for page in pages for mark in page]
        busy = time.process_time()
        bare_pages.drawn(self._pages, A4, fonts.REGULAR)
        self.cpu_s += time.process_time() - busy
        self.all_cpu_s += time.process_time() - busy_all
        self.all_s += time.perf_counter() - start

    @property
    def counts(self) -> str:
        texts = sum(bool(mark.text) for mark in self._marks)
        pens = sum(len(page) for page in self._pages) - len(self._marks)
        return f"{texts}, {len(self._marks) - texts}, {pens}"


if __name__ == "__main__":
    import django

    django.setup()
    print(json.dumps({"build": build, "work": work}[sys.argv[1]]()))
