"""What stands in for the shared cache while it does not answer."""

import logging

import pytest
from redis.exceptions import ConnectionError as GoneError

from coursework import shared_cache
from coursework.shared_cache import ASK_AGAIN_S, SAY_AGAIN_S, SharedCache


class Clock:
    now = 1000.0

    def monotonic(self) -> float:
        return self.now


class Far:
    """Stands for the cache on Redis: an ordinary dictionary that can be cut off."""

    def __init__(self):
        self.kept = {}
        self.is_gone = False
        self.asked = 0

    def _ask(self):
        self.asked += 1
        if self.is_gone:
            raise GoneError("Error 111 connecting to cache.school.example:6379.")

    def get(self, key, default=None, version=None):
        self._ask()
        return self.kept.get(key, default)

    def set(self, key, value, timeout=None, version=None):
        self._ask()
        self.kept[key] = value

    def incr(self, key, delta=1, version=None):
        self._ask()
        if key not in self.kept:
            raise ValueError(f"Key '{key}' not found.")
        self.kept[key] += delta
        return self.kept[key]


@pytest.fixture
def clock(monkeypatch):
    made = Clock()
    monkeypatch.setattr(shared_cache, "time", made)
    return made


@pytest.fixture
def cache(clock, monkeypatch):
    monkeypatch.setattr(shared_cache, "_lines", {})
    made = SharedCache("redis://cache.school.example:6379/0", {})
    made.own.clear()
    made.shared = Far()
    return made


def test_an_answer_of_the_shared_one_is_taken(cache):
    cache.set("year", 2026)
    assert (cache.get("year"), cache.shared.kept) == (2026, {"year": 2026})
    assert cache.own.get("year") is None


def test_while_it_is_gone_the_process_keeps_for_itself(cache):
    cache.shared.is_gone = True
    assert cache.get("year") is None
    cache.set("year", 2026)
    assert cache.get("year") == 2026


def test_every_operation_goes_on_while_it_is_gone(clock, monkeypatch):
    monkeypatch.setattr(shared_cache, "_lines", {})
    # Nobody listens at port 1.
    cache = SharedCache("redis://127.0.0.1:1/0", {})
    cache.own.clear()

    def asks_again():
        clock.now += ASK_AGAIN_S

    asks_again()
    assert cache.add("tries", 0, 60)
    asks_again()
    assert cache.incr("tries") == 1
    asks_again()
    assert "tries" in cache
    asks_again()
    assert cache.touch("tries", 30)
    asks_again()
    assert cache.set_many({"a": 1, "b": 2}) == []
    asks_again()
    assert cache.get_many(iter(["a", "b", "c"])) == {"a": 1, "b": 2}
    asks_again()
    cache.delete_many(iter(["a"]))
    asks_again()
    assert (cache.delete("b"), cache.delete("b")) == (True, False)
    asks_again()
    assert cache.get_or_set("c", 3) == 3
    asks_again()
    cache.clear()
    assert cache.get("c") is None


def test_a_cache_that_is_gone_is_not_asked_by_every_page(cache, clock):
    cache.shared.is_gone = True
    for _ in range(5):
        cache.get("year")
    assert cache.shared.asked == 1
    clock.now += ASK_AGAIN_S
    for _ in range(5):
        cache.get("year")
    assert cache.shared.asked == 2


def test_what_one_thread_found_out_holds_for_all(cache):
    cache.shared.is_gone = True
    cache.get("year")
    another = SharedCache("redis://cache.school.example:6379/0", {})
    another.shared = cache.shared
    another.get("year")
    assert cache.shared.asked == 1


def test_when_it_answers_again_it_is_used_and_nothing_of_the_absence_stays(cache, clock):
    cache.set("year", 2025)
    cache.shared.is_gone = True
    cache.set("year", 2026)
    cache.shared.is_gone = False
    clock.now += ASK_AGAIN_S
    assert cache.get("year") == 2025
    cache.shared.is_gone = True
    assert cache.get("year") is None


def test_a_count_that_is_not_there_is_no_absence(cache):
    with pytest.raises(ValueError, match="not found"):
        cache.incr("tries")
    cache.get("year")
    assert cache.shared.asked == 2


def test_the_log_tells_of_an_absence_once_a_minute_and_of_its_end(cache, clock, caplog):
    cache.shared.is_gone = True
    with caplog.at_level(logging.WARNING, logger=shared_cache.__name__):
        for _ in range(int(1.5 * SAY_AGAIN_S / ASK_AGAIN_S)):
            cache.get("year")
            clock.now += ASK_AGAIN_S
        cache.shared.is_gone = False
        cache.get("year")
        cache.get("year")
    said = [record.getMessage() for record in caplog.records]
    gone = "The shared cache does not answer: each process keeps and counts for itself."
    assert said == [gone, gone, "The shared cache answers again."]
    assert caplog.records[0].exc_info[0] is GoneError
