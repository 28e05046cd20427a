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
