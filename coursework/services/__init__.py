"""Changes of several rows. Each takes the acting user and runs in one transaction."""

from coursework.services.cohorts import add_person, enrol, start_cohort, withdraw
from coursework.services.courses import (
    copy_course,
    discard_draft,
    frozen_sentence,
    missing_to_publish,
    next_version,
    publish,
    require_draft,
)
from coursework.services.removal import HeldError, is_held, reason_to_stay, remove
from coursework.services.schools import found_school, set_password

__all__ = [
    "HeldError",
    "add_person",
    "copy_course",
    "discard_draft",
    "enrol",
    "found_school",
    "frozen_sentence",
    "is_held",
    "missing_to_publish",
    "next_version",
    "publish",
    "reason_to_stay",
    "remove",
    "require_draft",
    "set_password",
    "start_cohort",
    "withdraw",
]
