"""What one attempt contributes to a student's findings, and what a finding is."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import IntEnum

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from solar.circular import is_swapped


@dataclass(frozen=True, kw_only=True)
class Evidence:
    """One attempt by compass-like direction. Angles degrees, errors positive to the right.

    key: what a link to the attempt needs. None wherever a quantity does not belong to it.
    """

    key: str
    observed_at: datetime
    method: str
    northern: bool
    error_deg: float
    method_error_deg: float
    own_error_deg: float
    tolerance_deg: float
    verdict: str
    judged_on: str = "result"
    declared_deg: float | None = None
    counting_error_deg: float | None = None
    marking_scatter_deg: float | None = None
    expanded_uncertainty_deg: float = 0.0
    minutes_between_marks: float | None = None
    hands: float | None = None
    rule_deg_per_hand: float | None = None
    measured_deg_per_hand: float | None = None
    sun_height_deg: float | None = None
    """Lower limb above the skyline when the hands were counted."""
    site_declination_deg: float | None = None
    """The magnetic declination of the place and date, whether the check used it or not."""

    @property
    def is_swapped(self) -> bool:
        """Laid end for end: told apart from scatter, counted apart in statistics."""
        return bool(is_swapped(self.own_error_deg))


class Certainty(IntEnum):
    """How sure a finding is."""

    HINT = 1
    LIKELY = 2
    CLEAR = 3

    @property
    def words(self) -> str:
        return {
            Certainty.HINT: _("a hint: more attempts will show"),
            Certainty.LIKELY: _("likely"),
            Certainty.CLEAR: _("clear"),
        }[self]


@dataclass(frozen=True, kw_only=True)
class Finding:
    """Something the numbers carry: what it is, what to change, on which attempts it rests."""

    name: str
    says: str
    change: str
    rests_on: tuple[Evidence, ...]
    certainty: Certainty
    size_deg: float
    """What it costs an affected line, degrees; larger ones are told first."""


@dataclass(frozen=True, kw_only=True)
class NotYet:
    """What cannot be looked for yet, and how many attempts more it takes."""

    name: str
    wanted: int
    looks_for: str

    @property
    def says(self) -> str:
        return ngettext(
            "%(what)s: one more attempt is needed to tell.",
            "%(what)s: %(number)s more attempts are needed to tell.",
            self.wanted,
        ) % {"what": self.looks_for, "number": self.wanted}


def sound(evidence: Iterable[Evidence]) -> list[Evidence]:
    """Attempts whose line was not laid end for end."""
    return [one for one in evidence if not one.is_swapped]


def of_method(evidence: Iterable[Evidence], *methods: str) -> list[Evidence]:
    return [one for one in evidence if one.method in methods]


def missing(name: str, looks_for: str, have: Sequence, need: int) -> NotYet | None:
    """A note of how many attempts are lacking; None where there are enough, or none at all."""
    lacking = need - len(have)
    if lacking <= 0 or not have:
        return None
    return NotYet(name=name, wanted=lacking, looks_for=looks_for)
