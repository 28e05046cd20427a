"""The code that whoever sets up an empty installation shows: it is in the data folder only.

Without it the first page would be whoever's who finds it first on the internet.
"""

import os
import secrets
from pathlib import Path

from django.conf import settings

# Without I, L, O, U, 0 and 1, which are taken for one another (or make words).
_SIGNS = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
_GROUPS, _GROUP_LENGTH = 3, 4
"""Twelve signs of thirty: 58 bits, which nobody guesses over a network."""


def _path() -> Path:
    return Path(settings.DATA_DIR) / "setup-code"


def setup_code() -> str:
    """The code of this installation, three groups of four signs; made on first use.

    Kept in the data folder, readable by its owner alone.
    """
    path = _path()
    groups = ("".join(secrets.choice(_SIGNS) for _ in range(_GROUP_LENGTH)) for _ in range(_GROUPS))
    # Written whole under another name first: two processes may start at once, and the one that
    # comes second reads what the first has written.
    draft = path.with_name(f"{path.name}.{os.getpid()}")
    if not path.exists():
        descriptor = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        with os.fdopen(descriptor, "w", encoding="ascii") as file:
            file.write("-".join(groups) + "\n")
        try:
            os.link(draft, path)
        except FileExistsError:
            pass
        finally:
            draft.unlink()
    return path.read_text(encoding="ascii").strip()


def is_setup_code(text: str) -> bool:
    """Whether somebody typed the code; case, spaces and hyphens do not matter."""
    return secrets.compare_digest(_signs(text).encode(), _signs(setup_code()).encode())


def forget_setup_code() -> None:
    """Delete the code once it has served."""
    _path().unlink(missing_ok=True)


def _signs(text: str) -> str:
    return "".join(text.split()).replace("-", "").upper()
