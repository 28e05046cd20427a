"""The settings a school's server runs with."""

import os
import subprocess
import sys

from django.conf import settings


def test_the_deployment_check_finds_nothing_under_the_settings_of_a_school(tmp_path):
    # A browser that the tests keep open sets the second one for this process, no school does.
    ours = ("PLUMBSHADOW", "DJANGO_ALLOW_ASYNC_UNSAFE")
    plain = {name: value for name, value in os.environ.items() if not name.startswith(ours)}
    plain |= {"PLUMBSHADOW_DATA": str(tmp_path), "DJANGO_SETTINGS_MODULE": "coursework.settings"}
    command = [sys.executable, "manage.py", "check", "--deploy", "--fail-level", "WARNING"]
    done = subprocess.run(
        command, cwd=settings.BASE_DIR, env=plain, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert "no issues" in done.stdout


def test_faults_are_written_to_standard_error():
    assert settings.LOGGING["loggers"]["django"]["handlers"] == ["stderr"]
