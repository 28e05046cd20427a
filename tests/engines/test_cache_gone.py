"""The shared cache is killed under a running server: no page misses it, and it is found again."""

import time
import uuid

import pytest
import requests

from coursework.shared_cache import ASK_AGAIN_S
from tests.engines import servers
from tests.engines.private import PrivateRedis
from tests.engines.writing import Writer

pytestmark = pytest.mark.engines
TRIES, WORKERS = 20, 2
GONE = (503, "cannot be reached; pages go on, each process keeps and counts for itself")


@pytest.fixture(scope="module")
def only_redis():
    made = PrivateRedis()
    yield made
    made.kill()


@pytest.fixture
def redis_server(only_redis):
    """Answers when a test begins, whatever the one before did to it."""
    if only_redis.process.poll() is not None:
        only_redis.start()
    yield only_redis
    only_redis.thaw()


@pytest.fixture(scope="module")
def school(tmp_path_factory, only_redis):
    """A site with two processes, and a lead who signed in."""
    more = {"REDIS_URL": only_redis.url, "PLUMBSHADOW_WORKERS": str(WORKERS)}
    with servers.site("sqlite", tmp_path_factory.mktemp("cache-gone"), **more) as site:
        world = site.ask("prepare", "2")
        server = site.serve()
        writer = Writer(world, "writer0", [server])
        writer.sign_in()
        yield site, world, server, writer


def statuses(writer: Writer) -> set[int]:
    """Of a walk over pages, those that keep something in the cache among them."""
    drill, site = writer.world["drill"], writer.world["site"]
    own = ["/", "/drills/", f"/drills/{drill}/", "/attempts/", "/profile/", "/field/"]
    kept = [f"/sites/{site}/planner/", f"/sites/{site}/planner/map.png"]
    return {writer.opened(path) for path in own + kept}


def health(server) -> tuple[int, str]:
    answer = requests.get(f"{server.address}/healthz", timeout=60)
    return answer.status_code, answer.json()["parts"]["cache"]


def test_while_it_is_gone_everything_goes_on_and_nothing_is_lost(school, redis_server):
    site, world, server, writer = school
    assert statuses(writer) == {200}
    assert redis_server.client().dbsize() > 0
    assert health(server) == (200, "ok")
    redis_server.kill()
    # Who was signed in still is, and others sign in.
    assert statuses(writer) == {200}
    another = Writer(world, "writer1", [server])
    another.sign_in()
    assert another.opened("/profile/") == 200
    assert writer.add_course("Under an overcast sky").status_code == 302
    keys = [str(uuid.uuid4()) for _ in range(4)]
    for key in keys:
        writer.send(key, world["students"][0])
    assert writer.statuses == {200: len(keys)}
    assert health(server) == GONE
    redis_server.start()
    assert health(server) == (200, "ok")
    time.sleep(ASK_AGAIN_S)
    assert statuses(writer) == {200}
    assert redis_server.client().dbsize() > 0
    assert sorted(site.ask("count")["keys"]) == sorted(keys)
    assert "Under an overcast sky" in site.ask("courses")
    said = [
        (line["process"], line["message"])
        for line in site.logged()
        if line["logger"] == "coursework.shared_cache"
    ]
    # Each process says it once, not with every page.
    assert len(said) == len(set(said)) > 0


def test_limits_are_then_counted_by_each_process_for_itself(school, redis_server):
    _site, _world, server, _writer = school

    def tried(number: int) -> list[int]:
        addresses = (f"{server.address}/check/ABCDEFGH{n:04d}" for n in range(number))
        return [requests.get(each, timeout=60).status_code for each in addresses]

    assert tried(TRIES + 2).count(429) == 2
    redis_server.kill()
    found = tried(WORKERS * TRIES + 2)
    assert set(found) == {200, 429}
    assert found.count(200) <= WORKERS * TRIES


def test_one_that_is_silent_holds_up_a_page_now_and_then_and_not_every_page(school, redis_server):
    _site, _world, server, writer = school
    redis_server.freeze()
    assert statuses(writer) == {200}
    assert health(server) == GONE
    redis_server.thaw()
    assert health(server) == (200, "ok")
    time.sleep(ASK_AGAIN_S)
    assert statuses(writer) == {200}
    assert redis_server.client().dbsize() > 0
