"""The table of settings in README.md is the one that the settings module gives."""

import os
import re
import subprocess
import sys

from django.conf import settings

from coursework.environment import REFERENCE
from coursework.management.commands.settings_reference import reference


def table() -> str:
    """As a fresh process with a plain environment prints it."""
    ours = ("PLUMBSHADOW", "DATABASE_URL", "REDIS_URL", "DJANGO")
    plain = {name: value for name, value in os.environ.items() if not name.startswith(ours)}
    plain["PLUMBSHADOW_DATA"] = os.environ["PLUMBSHADOW_DATA"]
    command = [sys.executable, "manage.py", "settings_reference"]
    done = subprocess.run(
        command, cwd=settings.BASE_DIR, env=plain, capture_output=True, text=True, check=True
    )
    return done.stdout.strip()


def test_the_readme_has_the_table_of_the_settings_module():
    assert table() in (settings.BASE_DIR / "README.md").read_text(encoding="utf-8")


def test_every_setting_says_what_it_is_for():
    assert [name for name, one in REFERENCE.items() if not one.about] == []


def test_no_variable_is_read_past_the_table():
    known = {"DJANGO_SETTINGS_MODULE"}
    read = set()
    for package in ("coursework", "assessments", "solar"):
        for path in (settings.BASE_DIR / package).rglob("*.py"):
            text = path.read_text(encoding="utf-8")
            read |= set(re.findall(r'environ(?:\.get\(|\[)"(\w+)"', text))
    assert read - set(REFERENCE) - known == set()


def test_the_table_names_each_variable_once():
    assert [reference().count(f"| `{name}` |") for name in REFERENCE] == [1] * len(REFERENCE)
