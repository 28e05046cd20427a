"""Pages of records over a cohort of 10,000 results, beside the same pages over 100."""

import os
import sys

from tests.benchmarks.timing import best_of, short, show_table

FEW, MANY = 100, 10_000
STUDENTS = 20


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

    spent: dict[str, list[float]] = {}
    queries: dict[str, list[int]] = {}
    for number in (FEW, MANY):
        drill, lead, members = cohort_of(number, students=STUDENTS)
        client = Client()
        client.force_login(lead)
        addresses = {
            "cohort's skills": reverse("cohort-record", args=[drill.cohort_id]),
            "cohort": reverse("cohort-detail", args=[drill.cohort_id]),
            "student's record": reverse("record", args=[members[0].pk]),
            "printed record": reverse("record-sheet", args=[members[0].pk]),
            "results, first page": reverse("attempt-list"),
        }
        for name, address in addresses.items():

            def load(address=address):
                response = client.get(address)
                if response.status_code != 200:
                    sys.exit(f"{address} answered {response.status_code}.")

            with CaptureQueriesContext(connection) as caught:
                load()
            queries.setdefault(name, []).append(len(caught))
            spent.setdefault(name, []).append(best_of(load))
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
