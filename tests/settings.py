"""The site's settings for the tests: a data folder of their own, plain HTTP, quick passwords."""

import os
import tempfile

# The settings make the data folder when they are imported, and every process that a test
# starts inherits the environment: setting it here keeps all of them away from var/.
os.environ.setdefault("PLUMBSHADOW_DATA", tempfile.mkdtemp(prefix="plumbshadow-tests-"))
os.environ.setdefault("PLUMBSHADOW_HTTPS", "no")

from coursework.settings import *  # noqa: F403

# Argon2 is slow on purpose; no test here is about how slow.
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]

# In the tests a task is done where it is asked for.
TASKS = {"default": {"BACKEND": "django_tasks.backends.immediate.ImmediateBackend"}}

if DATABASES["default"]["ENGINE"].endswith("sqlite3"):  # noqa: F405
    # A file, as at a school, and none in memory: there all threads of a browser test's server
    # would share one connection, and their transactions would run into one another.
    DATABASES["default"]["TEST"] = {"NAME": DATA_DIR / "tests.sqlite3"}  # noqa: F405
    DATABASES["default"]["OPTIONS"] |= {  # noqa: F405
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=OFF;"
    }
