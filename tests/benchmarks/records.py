"""Pages of records over a cohort of 10,000 results, beside the same pages over 100."""

import os
import sys
from functools import partial

from tests.benchmarks.timing import best_of, short, show_table

FEW, MANY = 100, 10_000
STUDENTS = 20
ROUNDS = 6


def pages_of_records() -> None:
    """The same pages over few and over many results, in a database that is thrown away."""
    os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"
    import django
    from django.db import connection
    from django.test.utils import setup_test_environment, teardown_test_environment

    django.setup()
    setup_test_environment()
    old = connection.creation.create_test_db(verbosity=0)
    try:
        _measure()
    finally:
        connection.creation.destroy_test_db(old, verbosity=0)
        teardown_test_environment()


def _measure() -> None:
    from django.db import connection
    from django.test import Client
    from django.test.utils import CaptureQueriesContext
    from django.urls import reverse

    from tests.assessments.records.cohorts import cohort_of

    asked = {}
    for number in (FEW, MANY):
        drill, lead, members = cohort_of(number, students=STUDENTS)
        client = Client()
        client.force_login(lead)
        asked[number] = (
            client,
            {
                "cohort's skills": reverse("cohort-record", args=[drill.cohort_id]),
                "cohort": reverse("cohort-detail", args=[drill.cohort_id]),
                "student's record": reverse("record", args=[members[0].pk]),
                "printed record": reverse("record-sheet", args=[members[0].pk]),
                "results, first page": reverse("attempt-list"),
            },
        )

    def load(number: int, name: str) -> None:
        client, addresses = asked[number]
        status = client.get(addresses[name]).status_code
        if status != 200:
            sys.exit(f"{addresses[name]} answered {status}.")

    spent: dict[str, list[float]] = {}
    queries: dict[str, list[int]] = {}
    for name in asked[FEW][1]:
        best = {FEW: float("inf"), MANY: float("inf")}
        counts = {}
        # Turn about, so that what else the machine does falls on both alike.
        for _round in range(ROUNDS):
            for number in best:
                with CaptureQueriesContext(connection) as caught:
                    load(number, name)
                counts[number] = len(caught)
                best[number] = min(best[number], best_of(partial(load, number, name), times=1))
        spent[name], queries[name] = list(best.values()), list(counts.values())
    rows = [
        (
            name,
            short(few),
            short(many),
            f"{many / few:.2f}",
            f"{queries[name][0]}, {queries[name][1]}",
        )
        for name, (few, many) in spent.items()
    ]
    show_table(
        f"Pages over {MANY} results of a cohort of {STUDENTS} beside {FEW}",
        ("", f"{FEW}", f"{MANY}", "ratio", "queries"),
        rows,
    )
