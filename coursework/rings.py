"""Rings among things that come before each other."""

from collections.abc import Hashable, Iterable, Mapping
from graphlib import CycleError, TopologicalSorter
from typing import TypeVar

from django.utils.translation import gettext as _

Name = TypeVar("Name", bound=Hashable)


def ring_among(before: Mapping[Name, Iterable[Name]]) -> list[Name]:
    """What stands along a ring, the first again at its end; nothing where there is no ring.

    `before` has for each thing those that come before it.
    """
    try:
        TopologicalSorter(before).prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


def ring_sentence(names: Iterable[str]) -> str:
    """What is wrong with a ring, in words that name all of it."""
    return _("Lessons cannot come before themselves in a ring: %(ring)s.") % {
        "ring": " → ".join(_("“%s”") % name for name in names)
    }
