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
from coursework.services.incidents import (
    add_follow_up,
    add_note,
    close_follow_up,
    report_incident,
)
from coursework.services.instruments import record_check, retire, take_back
from coursework.services.removal import HeldError, is_held, reason_to_stay, remove
from coursework.services.safety import decide, save_settings
from coursework.services.schools import found_school, set_password

__all__ = [
    "HeldError",
    "add_follow_up",
    "add_note",
    "add_person",
    "close_follow_up",
    "copy_course",
    "decide",
    "discard_draft",
    "enrol",
    "found_school",
    "frozen_sentence",
    "is_held",
    "missing_to_publish",
    "next_version",
    "publish",
    "reason_to_stay",
    "record_check",
    "remove",
    "report_incident",
    "require_draft",
    "retire",
    "save_settings",
    "set_password",
    "start_cohort",
    "take_back",
    "withdraw",
]
