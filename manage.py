#!/usr/bin/env python3
"""Entry point for Plumbshadow's management commands."""

import os
import sys


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coursework.settings")
    try:
        from django.core.management import execute_from_command_line
    except ImportError as error:
        raise SystemExit(
            "Django is not installed for this Python. The first command in README.md sets "
            "everything up; after it, use .venv/bin/python manage.py."
        ) from error
    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
