"""What devices send through a bad connection, counted: sent, stored, doubled, lost.

The real scripts of the field log in four pages of a real browser, against the real server. Not
part of `python -m tests.benchmarks`, since it needs a database of its own:

    .venv/bin/python -m pytest tests/benchmarks/field_sends.py -q -s
"""

from time import perf_counter

import pytest

from tests.assessments.field.bad_connection import season
from tests.assessments.field.conftest import contexts, drill, quiet_server  # noqa: F401 - fixtures
from tests.assessments.field.hand import sign_in

RESULTS = 600
SEED = 5


@pytest.mark.browser
@pytest.mark.django_db(transaction=True)
def test_a_season_of_bad_signal(contexts, drill, live_server):  # noqa: F811
    devices = []
    for username in ("tove", "tove", "runa", "runa"):
        devices.append(contexts())
        sign_in(devices[-1], drill, username, live_server)
    began = perf_counter()
    counted = season(devices, drill, results=RESULTS, seed=SEED)
    print(
        f"\n{len(devices)} devices, {counted.logged} results logged, {counted.sent} sent, "
        f"{counted.stored} stored, {counted.doubled} doubled, {counted.lost} lost, "
        f"{perf_counter() - began:.0f} s; {dict(counted.happened)}"
    )
    assert (counted.sent >= 1000, counted.doubled, counted.lost) == (True, 0, 0)
