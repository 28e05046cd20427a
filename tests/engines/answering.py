"""Whether PostgreSQL and Redis answer at their standard ports, with what to do where not.

`python -m tests.engines.answering postgresql redis`
"""

import sys
import time

import psycopg
import redis

PATIENCE_S = 10.0
SENTENCES = {
    "postgresql": (
        "PostgreSQL does not answer at 127.0.0.1:5432 to the user postgres without a password. "
        "On Debian and Ubuntu: apt-get install postgresql; a line 'host all postgres "
        "127.0.0.1/32 trust' first in its pg_hba.conf; pg_ctlcluster VERSION main restart."
    ),
    "redis": (
        "Redis does not answer at 127.0.0.1:6379. On Debian and Ubuntu: apt-get install "
        "redis-server."
    ),
}


def ask_postgresql() -> None:
    psycopg.connect("postgresql://postgres@127.0.0.1:5432/postgres", connect_timeout=3).close()


def ask_redis() -> None:
    redis.Redis(host="127.0.0.1", socket_connect_timeout=3).ping()


def fault_of(name: str) -> str | None:
    """What is wrong with it, None where it answers; one that is starting is given time."""
    ask = {"postgresql": ask_postgresql, "redis": ask_redis}[name]
    until = time.monotonic() + PATIENCE_S
    while True:
        try:
            ask()
            return None
        except (psycopg.OperationalError, redis.ConnectionError) as error:
            is_starting = "starting up" in str(error) or isinstance(error, redis.BusyLoadingError)
            if not is_starting or time.monotonic() > until:
                return f"{SENTENCES[name]}\n({error})"
            time.sleep(0.2)


if __name__ == "__main__":
    faults = [fault for name in sys.argv[1:] if (fault := fault_of(name)) is not None]
    if faults:
        sys.exit("\n".join(faults))
