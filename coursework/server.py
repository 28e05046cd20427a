"""How gunicorn serves the site: `gunicorn -c python:coursework.server`.

Every name here that gunicorn knows is one of its settings.
"""

import gc
import multiprocessing
import os

# The site's own settings decide how many workers there are and how they log.
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coursework.settings")

from coursework import settings as site

wsgi_app = "coursework.wsgi:application"
bind = site.BIND
workers = site.WORKERS
# Loaded once and then forked: a worker that died is replaced within a tenth of a second.
preload_app = True
worker_class = "gthread"
# What a page takes is computing; a few threads answer others while one waits for the database.
threads = 4
timeout = 60
# A worker that is told to end finishes what it has begun.
graceful_timeout = 30
# Fresh processes now and then, not all at the same time.
max_requests = 5000
max_requests_jitter = 500
# Heartbeats of workers in memory: a full or slow disk must not look like a worker that hangs.
worker_tmp_dir = "/dev/shm" if os.path.isdir("/dev/shm") else None  # noqa: PTH112
# Signals are enough to run it. Its socket for commands would lie in the home of whoever runs the
# server, one for all servers of that account, and a service has no home to write to.
control_socket_disable = True
logconfig_dict = site.LOGGING | {
    "loggers": site.LOGGING["loggers"]
    | {
        "gunicorn.error": {"level": "INFO", "handlers": ["stderr"], "propagate": False},
        # Its lines name whoever asked and the whole address; the site writes its own.
        "gunicorn.access": {"level": "CRITICAL", "handlers": [], "propagate": False},
    }
}


def when_ready(_server) -> None:
    """What is loaded before the workers are forked stays, and no search for garbage looks at it.

    Such a search takes tens of milliseconds otherwise, in the middle of somebody's page, and
    copies the memory that the workers share.
    """
    gc.collect()
    gc.freeze()


if workers > 4 * multiprocessing.cpu_count():
    raise SystemExit(
        f"PLUMBSHADOW_WORKERS is {workers}; this machine has {multiprocessing.cpu_count()} "
        "processors, and more than four workers for each only take memory."
    )


def on_starting(arbiter) -> None:
    """Refuse to serve tables of another version; gunicorn calls it before the first worker.

    A database that does not answer yet is no reason: pages say so until it does.
    """
    import django
    from django.db import DatabaseError, connections

    django.setup()
    from coursework.tables_version import fault_of_tables

    try:
        fault = fault_of_tables()
    except DatabaseError:
        arbiter.log.warning("The database does not answer; pages say so until it does.")
        return
    finally:
        # Each worker opens its own.
        connections.close_all()
    if fault:
        raise SystemExit(f"The tables do not fit this version of Plumbshadow: {fault}.")
