"""The pages of the demonstration enlarged to 50,000 results, under load, beside a plain list.

Needs wrk (Debian and Ubuntu: apt-get install wrk). Rounds go over all pages, a second for each and
a second for the plain list between any two: other work on the machine disturbs one round of a
page, and the median over the rounds leaves that out. A page is compared with the plain list before
it and the one after it. Each request has a connection of its own, as from a proxy that keeps none:
four that stay open may all be with one of the two workers, or two with each, and that alone makes
the same page twice as slow. Workers end after so many requests and new ones start, as on a
school's server.
"""

import io
import os
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Collection
from pathlib import Path
from statistics import median

from tests.benchmarks.timing import ROOT, short, show_table

RESULTS = 50_000
ROUNDS, SECONDS, CONNECTIONS = 5, 1, 4
# wrk's own percentiles, of its request latencies in microseconds.
_REPORT = """done = function(summary, latency, requests)
  local e = summary.errors
  io.write(string.format("REPORT %f %f %d %d\\n", latency:percentile(50), latency:percentile(95),
    summary.requests, e.connect + e.read + e.write + e.status + e.timeout))
end
"""
LISTS = {
    "results": "attempt-list",
    "corrections": "correction-list",
    "drills": "drill-list",
    "people": "person-list",
    "first aid and approvals": "staff-list",
    "invitations": "invitation-list",
    "cohorts": "cohort-list",
    "sites": "site-list",
    "courses": "course-list",
    "instruments": "instrument-list",
    "incidents": "incident-list",
    "certifications": "certification-list",
    "what lapses": "expiry-list",
    "notes from the field": "lead-notes",
}
# The longest list as people narrow it, and with the form for that.
NARROWED, OPENED = "one student's results", "results with the form open"


Run = tuple[float, float, int, int]
"""Median and 95th percentile in seconds, requests answered, and those that failed."""


def pages_under_load(only: Collection[str] = ()) -> None:
    """All pages, or those named alone."""
    if shutil.which("wrk") is None:
        sys.exit("The load is made by wrk (Debian and Ubuntu: apt-get install wrk).")
    print(f"Load average of the machine before: {os.getloadavg()[0]:.1f}", flush=True)
    with tempfile.TemporaryDirectory(prefix="plumbshadow-load-") as folder:
        os.environ |= {
            "DJANGO_SETTINGS_MODULE": "tests.benchmarks.load_settings",
            "PLUMBSHADOW_DATA": folder,
            "PLUMBSHADOW_HTTPS": "no",
            "PLUMBSHADOW_WORKERS": "2",
            "PLUMBSHADOW_LOG_LEVEL": "warning",
        }
        cookie, pages = _enlarged()
        plain = pages.pop("plain rows")
        unknown = [name for name in only if name not in pages]
        if unknown:
            sys.exit(f"{unknown[0]} is not one of: {', '.join(pages)}.")
        wanted = {name: page for name, page in pages.items() if not only or name in only}
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            address = f"127.0.0.1:{free.getsockname()[1]}"
        server = subprocess.Popen(
            [sys.executable, "-m", "gunicorn", "-c", "python:coursework.server"],
            cwd=ROOT,
            env=os.environ | {"PLUMBSHADOW_BIND": address},
        )
        try:
            _wait(f"http://{address}/healthz")
            report = Path(folder, "report.lua")
            report.write_text(_REPORT, encoding="utf-8")

            def load(page: str) -> Run:
                return _load(f"http://{address}{page}", cookie, report)

            for page in (plain, *wanted.values()):
                # Once unmeasured: what a process keeps is kept then.
                load(page)
            turns = {name: [] for name in wanted}
            for _round in range(ROUNDS):
                before = load(plain)
                for name, page in wanted.items():
                    measured, after = load(page), load(plain)
                    turns[name].append((before, measured, after))
                    before = after
            _show(turns)
        finally:
            server.terminate()
            server.wait()


def _enlarged() -> tuple[str, dict[str, str]]:
    """The demonstration with as many results as wanted: a session's cookie, and pages by name."""
    import django

    django.setup()
    from importlib import import_module

    from django.conf import settings
    from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
    from django.core.management import call_command
    from django.urls import reverse

    from assessments.models import Attempt
    from coursework.models import Cohort, Drill, Person
    from tests.assessments.records.cohorts import copies_of

    call_command("demo", "--no-serve", verbosity=0, stdout=io.StringIO())
    lead = Person.objects.get(username="jadwiga")
    cohorts = list(Cohort.objects.filter(enrolments__person=lead, enrolments__role="lead"))
    cohorts = [each for each in cohorts if Attempt.objects.filter(drill__cohort=each).exists()]
    drills = Drill.objects.filter(
        cohort__in=cohorts, assessed=True, exercise__method="shadow-tip", attempts__assessed=True
    ).distinct()
    wanted, places = RESULTS - Attempt.objects.count(), drills.count()
    for place, drill in enumerate(drills):
        model = drill.attempts.filter(current__error_deg__isnull=False).first()
        members = Person.objects.filter(enrolments__cohort=drill.cohort, enrolments__role="student")
        copies_of(model, list(members), wanted // places + (place < wanted % places))
    print(f"{Attempt.objects.count()} results of {Person.objects.count()} people", flush=True)
    session = import_module(settings.SESSION_ENGINE).SessionStore()
    session[SESSION_KEY] = str(lead.pk)
    session[BACKEND_SESSION_KEY] = "coursework.backends.SchoolBackend"
    session[HASH_SESSION_KEY] = lead.get_session_auth_hash()
    session.save()
    attempt = Attempt.objects.filter(drill__cohort=cohorts[0]).first()
    drill, student = attempt.drill, attempt.student_id
    pages = {
        "plain rows": "/plain-rows/",
        **{name: reverse(view) for name, view in LISTS.items()},
        NARROWED: f"{reverse('attempt-list')}?student={student}",
        OPENED: f"{reverse('attempt-list')}?narrow=open",
        "first page": reverse("home"),
        "a result": reverse("attempt-detail", args=[attempt.key]),
        "a drill": reverse("drill-detail", args=[drill.pk]),
        "a cohort": reverse("cohort-detail", args=[drill.cohort_id]),
        "a cohort's skills": reverse("cohort-record", args=[drill.cohort_id]),
        "a student's record": reverse("record", args=[student]),
        "calendar": reverse("calendar"),
        "planner": reverse("planner", args=[drill.site_id]),
    }
    from django.db import connections

    connections.close_all()
    return f"{settings.SESSION_COOKIE_NAME}={session.session_key}", pages


def _wait(address: str) -> None:
    for _second in range(60):
        try:
            urllib.request.urlopen(address, timeout=2)
        except OSError:
            time.sleep(1.0)
        else:
            return
    sys.exit("The server did not start.")


def _load(address: str, cookie: str, report: Path) -> Run:
    command = ["wrk", "-t1", f"-c{CONNECTIONS}", f"-d{SECONDS}s", "-s", str(report)]
    command += ["-H", f"Cookie: {cookie}", "-H", "Connection: close"]
    done = subprocess.run([*command, address], check=True, capture_output=True, text=True)
    line = next(line for line in done.stdout.splitlines() if line.startswith("REPORT"))
    median, high, requests, failed = (float(word) for word in line.split()[1:])
    return median * 1e-6, high * 1e-6, int(requests), int(failed)


def _show(turns: dict[str, list[tuple[Run, Run, Run]]]) -> None:
    """Medians over the rounds; each ratio is to the plain lists on both sides."""
    plain = [before for each in turns.values() for before, _page, _after in each]
    rows = [("plain rows", short(median(one[0] for one in plain)), "1",
             short(median(one[1] for one in plain)), "1", *_counted(plain))]  # fmt: skip
    for name, each in turns.items():
        pages = [page for _before, page, _after in each]
        middle, high = (
            f"{median(2 * page[i] / (before[i] + after[i]) for before, page, after in each):.2f}"
            for i in (0, 1)
        )
        rows.append((
            f"{name} (list)" if name in LISTS or name == NARROWED else name,
            short(median(page[0] for page in pages)), middle,
            short(median(page[1] for page in pages)), high, *_counted(pages),
        ))  # fmt: skip
    header = ("", "median", "ratio", "95 %", "ratio", "answered", "failed")
    show_table(f"{RESULTS} results, {CONNECTIONS} connections, two workers", header, rows)


def _counted(runs: list) -> tuple[str, str]:
    return str(sum(run[2] for run in runs)), str(sum(run[3] for run in runs))
