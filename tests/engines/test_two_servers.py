"""Two web servers and two workers on one PostgreSQL and one Redis are one site."""

import threading
import time
import uuid

import pytest
import requests

from tests.engines import servers
from tests.engines.inside import PASSWORD
from tests.engines.servers import PATIENCE_S
from tests.engines.writing import Writer

pytestmark = pytest.mark.engines
LOCKED_AFTER = 8
TRIES = 20
STUDENTS = 12


@pytest.fixture(scope="module")
def school(tmp_path_factory):
    """A site with two web servers, and what is in it."""
    folder = tmp_path_factory.mktemp("two-servers")
    # One process each: what they share, they share through database and cache alone.
    more = {"REDIS_URL": servers.empty_redis(), "PLUMBSHADOW_WORKERS": "1"}
    with servers.site("postgresql", folder, **more) as site:
        world = site.ask("prepare", "4")
        yield site, world, [site.serve(), site.serve()]
        assert all("message" in line for line in site.logged())


def wait_until(what, patience_s: float = PATIENCE_S):
    until = time.monotonic() + patience_s
    while not (found := what()):
        assert time.monotonic() < until, "It did not come about."
        time.sleep(0.05)
    return found


def status(session, server, path="/profile/", **more):
    return session.get(server.address + path, allow_redirects=False, timeout=30, **more).status_code


def test_whoever_signs_in_at_one_is_signed_in_at_the_other_and_signed_out_at_both(school):
    _site, world, (one, other) = school
    writer = Writer(world, "writer0", [one, other])
    writer.sign_in()
    assert [status(writer.session, each) for each in (one, other)] == [200, 200]
    form = {"csrfmiddlewaretoken": writer.session.cookies["csrftoken"]}
    writer.session.post(f"{other.address}/sign-out/", form, timeout=30)
    assert [status(writer.session, each) for each in (one, other)] == [302, 302]


def test_tries_at_certificate_numbers_are_counted_over_both(school):
    _site, _world, both = school
    session = requests.Session()
    found = [status(session, both[n % 2], f"/check/ABCDEFGH{n:04d}") for n in range(TRIES + 2)]
    assert found == [200] * TRIES + [429] * 2


def test_wrong_passwords_at_both_close_a_name_at_both(school):
    _site, world, both = school
    session = requests.Session()

    def sign_in(server, username, password):
        session.get(f"{server.address}/sign-in/", timeout=30)
        fields = {"username": username, "password": password}
        fields["csrfmiddlewaretoken"] = session.cookies["csrftoken"]
        page = f"{server.address}/sign-in/"
        return session.post(page, fields, allow_redirects=False, timeout=30).status_code

    for n in range(LOCKED_AFTER):
        sign_in(both[n % 2], "writer1", "wrong")
    assert [sign_in(each, "writer1", PASSWORD) for each in both] == [429, 429]
    assert sign_in(both[0], "writer2", PASSWORD) == 302
    assert world["writers"]["writer1"]


def test_the_same_result_sent_to_both_at_once_is_stored_once(school):
    site, world, both = school
    writers = [Writer(world, "writer0", [each]) for each in both]
    for writer in writers:
        writer.sign_in()
    keys = [str(uuid.uuid4()) for _ in range(10)]
    for key in keys:
        threads = [
            threading.Thread(target=each.send, args=[key, world["students"][0]]) for each in writers
        ]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    said = writers[0].states + writers[1].states
    assert said == {"stored": len(keys), "already": len(keys)}
    stored = site.ask("count")
    assert all(stored["keys"].count(key) == 1 for key in keys)
    assert stored["sums_are_true"]


def takers(site, path_end: str) -> dict[str, int]:
    """Who took a task of a name, and the run that it was about."""
    rows = site.query(
        "SELECT worker_ids, args_kwargs FROM django_tasks_database_dbtaskresult"
        " WHERE task_path LIKE %s",
        f"%{path_end}",
    )
    return {name: about["args"][0] for names, about in rows for name in names}


def made(site, run: int) -> int:
    ((number,),) = site.query(
        "SELECT count(*) FROM assessments_packetrunrow WHERE run_id = %s AND made", run
    )
    return number


def test_two_workers_share_the_packets_of_two_cohorts_and_one_finishes_for_the_other(school):
    site, _world, _both = school
    runs = [site.ask("certified", str(STUDENTS), start)["run"] for start in ("1000", "2000")]
    workers = {name: site.start_worker(name) for name in ("first", "second")}
    wait_until(lambda: len(takers(site, "make_packets")) == 2)
    deserted = takers(site, "make_packets")["first"]
    wait_until(lambda: made(site, deserted) > 0)
    workers["first"].kill()
    workers["first"].wait()
    assert 0 < made(site, deserted) < STUDENTS
    assert sorted(takers(site, "make_packets").values()) == runs
    # A minute of silence would have to pass before a run counts as deserted.
    assert site.ask("look_after_now", str(deserted))["brought_forward"] == 1
    for run in runs:
        wait_until(lambda run=run: made(site, run) == STUDENTS)
        after = wait_until(lambda run=run: _if_done(site.ask("run_state", str(run))))
        assert (after["issued"], after["most_of_one_student"]) == (STUDENTS, 1)
    assert takers(site, "look_after") == {"second": deserted}


def _if_done(state: dict) -> dict | None:
    return state if state["state"] == "done" else None


def test_a_server_that_is_killed_takes_nothing_with_it(school):
    site, world, (one, other) = school
    writer = Writer(world, "writer3", [one, other])
    writer.sign_in()
    keys = [str(uuid.uuid4()) for _ in range(20)]
    for turn, key in enumerate(keys):
        if turn == 10:
            one.kill()
        writer.send(key, world["students"][turn % 12], turn=turn)
    assert writer.statuses["no answer"] > 0
    assert set(writer.statuses) == {200, "no answer"}
    stored = site.ask("count")["keys"]
    assert [stored.count(key) for key in keys] == [1] * len(keys)
