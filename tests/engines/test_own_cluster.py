"""A PostgreSQL of its own that has no room, is stopped, or is killed under a running server."""

import random
import time
import uuid
from pathlib import Path

import pytest
import requests

from coursework.room import ASK_AGAIN_S
from tests.engines import servers
from tests.engines.private import PrivatePostgreSQL
from tests.engines.writing import Writer

pytestmark = pytest.mark.engines
SENTENCES = {
    "room": "Nothing that you sent with this was saved; what was saved before is safe.",
    "gone": "What was saved before is safe; what you sent with this may not have been saved.",
}
TYPED = "What you typed is still in the form"


@pytest.fixture(scope="module")
def cluster():
    made = PrivatePostgreSQL()
    yield made
    made.remove()


@pytest.fixture(scope="module")
def school(cluster, tmp_path_factory):
    """A site on it whose server has a home of its own, and a lead who signed in."""
    folder = tmp_path_factory.mktemp("own-cluster")
    home = {"HOME": str(folder / "home"), "XDG_RUNTIME_DIR": str(folder / "runtime")}
    for name in home.values():
        Path(name).mkdir()
    with servers.site(cluster.url, folder, PLUMBSHADOW_WORKERS="1") as site:
        world = site.ask("prepare", "1")
        server = site.serve(**home)
        writer = Writer(world, "writer0", [server])
        writer.sign_in()
        yield site, server, writer


def long_text() -> str:
    """Too long for any page that has room left, and of signs that cannot be packed."""
    return "".join(random.Random(8).choices("abcdefghijklmnopqrstuvwxyz0123456789 ", k=60_000))


def walk(writer: Writer) -> dict[str, int]:
    paths = ["/", "/drills/", f"/drills/{writer.world['drill']}/", "/attempts/", "/profile/"]
    return {path: writer.opened(path) for path in paths}


def part(server, name: str) -> tuple[int, str]:
    answer = requests.get(f"{server.address}/healthz", timeout=60)
    return answer.status_code, answer.json()["parts"][name]


def holds_exactly(site, keys: list[str]) -> bool:
    """Whether these results are stored, each once and whole, and nothing else."""
    found = site.ask("count")
    halves = (found["revisions"], found["arrivals"], found["without_revision"])
    assert halves == (len(keys), len(keys), 0)
    return sorted(found["keys"]) == sorted(keys) and found["sums_are_true"]


def until_refused(add) -> tuple[list[str], int]:
    """What `add` took, one after the other, and its first answer of another kind."""
    taken = []
    while len(taken) < 200:
        name, answer = add()
        if answer not in (200, 302):
            return [*taken, name], answer
        taken.append(name)
    raise AssertionError("There was room for everything.")


def test_a_server_leaves_nothing_in_the_home_of_whoever_runs_it(school):
    site, _server, writer = school
    assert writer.opened("/") == 200
    left = [path for name in ("home", "runtime") for path in (site.folder / name).rglob("*")]
    assert left == []


def test_without_room_nothing_is_half_stored_and_with_room_it_goes_on(school, cluster):
    site, server, writer = school
    student = writer.world["students"][0]
    answers = []

    def add_result() -> tuple[str, int]:
        key = str(uuid.uuid4())
        return key, writer.send_once(key, student)[0]

    def add_course() -> tuple[str, int]:
        title = f"Above the tree line {len(answers)}"
        answers.append(writer.add_course(title, long_text()))
        return title, answers[-1].status_code

    first, status = add_result()
    assert status == 200
    assert part(server, "room") == (200, "ok")
    cluster.grow("assessments_revision")
    cluster.may_grow(yes=False)
    try:
        keys, status = until_refused(add_result)
        titles, _status = until_refused(add_course)
        refused = answers[-1]
        assert (status, refused.status_code, refused.headers["Retry-After"]) == (503, 503, "30")
        assert SENTENCES["room"] in refused.text
        assert TYPED in refused.text
        status, said = part(server, "room")
        assert (status, said[:33]) == (503, "none: something was not stored at")
        # What was saved before can be read, and nothing of what was refused is there.
        assert set(walk(writer).values()) == {200}
        stored = site.query("SELECT key::text FROM assessments_attempt")
        assert sorted(key for (key,) in stored) == sorted([first, *keys[:-1]])
        assert site.query("SELECT 1 FROM coursework_course WHERE title = %s", titles[-1]) == []
        # Not until there is room again, however often it is asked.
        time.sleep(ASK_AGAIN_S)
        assert part(server, "room") == (503, said)
    finally:
        cluster.may_grow(yes=True)
    time.sleep(ASK_AGAIN_S)
    assert part(server, "room") == (200, "ok")
    assert writer.send_once(keys[-1], student) == (200, "stored")
    assert writer.add_course(titles[-1], long_text()).status_code == 302
    lengths = site.ask("courses")
    assert {lengths[title] for title in titles} == {len(long_text())}
    assert holds_exactly(site, [first, *keys])


@pytest.mark.parametrize("way", ["stop", "kill"])
def test_a_database_that_is_stopped_or_killed_comes_back_without_a_restart(school, cluster, way):
    site, server, writer = school
    before = site.ask("count")["keys"]
    keys = [str(uuid.uuid4()) for _ in range(3)]
    assert writer.send_once(keys[0], writer.world["students"][0]) == (200, "stored")
    getattr(cluster, way)()
    assert set(walk(writer).values()) == {503}
    assert requests.get(f"{server.address}/field/", timeout=60).status_code == 200
    # Nobody could sign in: the page says so before a password is typed.
    assert requests.get(f"{server.address}/sign-in/", timeout=60).status_code == 503
    assert part(server, "database") == (503, "cannot be reached")
    assert writer.send_once(keys[1], writer.world["students"][1]) == (503, "")
    refused = writer.add_course(f"Not yet: {way}", "Said once.")
    assert refused.status_code == 503
    assert SENTENCES["gone"] in refused.text
    assert TYPED in refused.text
    cluster.start()
    # The lead is still signed in, the refused result is taken, and the form is sent once more.
    assert set(walk(writer).values()) == {200}
    assert part(server, "database") == (200, "ok")
    for key in keys:
        writer.send(key, writer.world["students"][0 if key == keys[0] else 1])
    assert writer.add_course(f"Not yet: {way}", "Said once.").status_code == 302
    assert holds_exactly(site, before + keys)
