"""The worker of background tasks while its database is away, and on tables that are not its own."""

import os
import signal
import time

import pytest

from tests.engines import servers
from tests.engines.private import PrivatePostgreSQL
from tests.engines.servers import PATIENCE_S

pytestmark = pytest.mark.engines
STUDENTS = 12
GONE = "The database cannot be reached: the worker waits and tries again."
BACK = "The database answers again: the worker goes on."


@pytest.fixture
def cluster():
    made = PrivatePostgreSQL()
    yield made
    made.remove()


def wait_until(what):
    until = time.monotonic() + PATIENCE_S
    while not (found := what()):
        assert time.monotonic() < until, "It did not come about."
        time.sleep(0.05)
    return found


def said(site) -> list[str]:
    """What the worker says of its database; whatever it writes must be JSON, so no traceback."""
    return [line["message"] for line in site.logged() if line["message"] in (GONE, BACK)]


def test_it_waits_for_a_database_that_is_not_there_yet_and_finishes_the_run_that_broke_off(
    cluster, tmp_path
):
    with servers.site(cluster.url, tmp_path) as site:
        assert site.manage("migrate").returncode == 0
        run = site.ask("certified", str(STUDENTS), "1000")["run"]
        cluster.stop()
        worker = site.start_worker("only")
        wait_until(lambda: said(site) == [GONE])
        cluster.start()
        made = "SELECT count(*) FROM assessments_packetrunrow WHERE made"
        wait_until(lambda: site.query(made)[0][0])
        assert said(site) == [GONE, BACK]
        cluster.kill()
        wait_until(lambda: said(site) == [GONE, BACK, GONE])
        cluster.start()
        before = site.ask("run_state", str(run))
        assert (before["state"], before["issued"]) == ("working", STUDENTS)
        assert 0 < before["made"] < STUDENTS
        # A minute of silence would have to pass before it is taken up.
        assert site.ask("look_after_now", str(run))["brought_forward"] == 1
        wait_until(lambda: site.query("SELECT state FROM assessments_packetrun") == [("done",)])
        after = site.ask("run_state", str(run))
        assert (after["made"], after["issued"], after["most_of_one_student"]) == (
            STUDENTS, STUDENTS, 1,
        )  # fmt: skip
        assert said(site) == [GONE, BACK] * 2
        # It is one and the same process, and it ends when it is told to.
        os.kill(worker.pid, signal.SIGTERM)
        assert worker.wait(PATIENCE_S) == 0


def test_on_tables_of_another_version_it_ends_with_a_sentence(tmp_path):
    with servers.site("sqlite", tmp_path) as site:
        ended = site.manage("db_worker")
        assert ended.returncode == 1
        assert "The tables do not fit this version:" in ended.stderr
        assert "manage.py migrate" in ended.stderr
        assert "Traceback" not in ended.stderr
