"""The cache that all processes share, and what stands in for it while it does not answer.

What is in it is a convenience (years of hours, which can be computed again) or a count of tries.
Neither is worth a page that fails: each process then goes on with a memory of its own, exactly as
a site without a shared cache does, and comes back by itself.

Limits on guessing are then neither dropped nor closed: each process counts for itself, from nought,
so that an address gets at most its limit times the number of processes. Wrong passwords and codes
are counted in the database and do not depend on any of this.
"""

import logging
import threading
import time

from django.core.cache.backends.base import DEFAULT_TIMEOUT, BaseCache
from django.core.cache.backends.locmem import LocMemCache
from django.core.cache.backends.redis import RedisCache
from redis.exceptions import RedisError

logger = logging.getLogger(__name__)
ASK_AGAIN_S = 5.0
"""So long nobody asks a cache that did not answer: pages must not wait for it one by one."""
SAY_AGAIN_S = 60.0
"""Between two lines in the log about the same absence, of one process."""


class Line:
    """What all threads of a process know of the way to one cache."""

    def __init__(self):
        self._lock = threading.Lock()
        self._ask_at: float | None = None
        self._said_at: float | None = None

    def may_ask(self) -> bool:
        """Whether to ask now; of those who would ask again, the first does so for all."""
        with self._lock:
            if self._ask_at is None:
                return True
            now = time.monotonic()
            if now < self._ask_at:
                return False
            self._ask_at = now + ASK_AGAIN_S
            return True

    def lost(self) -> None:
        """No answer came; called while the fault is handled."""
        with self._lock:
            now = time.monotonic()
            self._ask_at = now + ASK_AGAIN_S
            if self._said_at is not None and now < self._said_at + SAY_AGAIN_S:
                return
            self._said_at = now
        logger.warning(
            "The shared cache does not answer: each process keeps and counts for itself.",
            exc_info=True,
        )

    def found(self) -> bool:
        """An answer came; whether it is the first after an absence."""
        if self._ask_at is None:
            return False
        with self._lock:
            is_first = self._ask_at is not None
            self._ask_at = self._said_at = None
        if is_first:
            logger.warning("The shared cache answers again.")
        return is_first


_lines: dict[str, Line] = {}


class SharedCache(BaseCache):
    """Django's cache on Redis, with a memory of the process in its place while it is gone."""

    def __init__(self, location: str, params: dict):
        super().__init__(params)
        self.shared = RedisCache(location, params)
        self.own = LocMemCache(f"in place of {location}", params)
        # Django makes an object like this for each thread.
        self._line = _lines.setdefault(location, Line())

    def _do(self, name: str, *arguments, **more):
        if self._line.may_ask():
            try:
                answer = getattr(self.shared, name)(*arguments, **more)
            except RedisError:
                # Of any kind: one that loads, is full, or may only be read is no use either.
                self._line.lost()
            else:
                if self._line.found():
                    # Nothing of this absence may turn up again in the next one.
                    self.own.clear()
                return answer
        return getattr(self.own, name)(*arguments, **more)

    def add(self, key, value, timeout=DEFAULT_TIMEOUT, version=None):
        return self._do("add", key, value, timeout, version)

    def get(self, key, default=None, version=None):
        return self._do("get", key, default, version)

    def set(self, key, value, timeout=DEFAULT_TIMEOUT, version=None):
        return self._do("set", key, value, timeout, version)

    def touch(self, key, timeout=DEFAULT_TIMEOUT, version=None):
        return self._do("touch", key, timeout, version)

    def delete(self, key, version=None):
        return self._do("delete", key, version)

    def get_many(self, keys, version=None):
        return self._do("get_many", list(keys), version)

    def has_key(self, key, version=None):
        return self._do("has_key", key, version)

    def incr(self, key, delta=1, version=None):
        return self._do("incr", key, delta, version)

    def set_many(self, data, timeout=DEFAULT_TIMEOUT, version=None):
        return self._do("set_many", data, timeout, version)

    def delete_many(self, keys, version=None):
        return self._do("delete_many", list(keys), version)

    def clear(self):
        return self._do("clear")
