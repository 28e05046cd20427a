"""Changes of several rows. Each takes the acting user and runs in one transaction."""

from coursework.services.cohorts import add_person, enrol, start_cohort, withdraw
from coursework.services.removal import HeldError, is_held, reason_to_stay, remove
from coursework.services.schools import found_school, set_password

__all__ = [
    "HeldError",
    "add_person",
    "enrol",
    "found_school",
    "is_held",
    "reason_to_stay",
    "remove",
    "set_password",
    "start_cohort",
    "withdraw",
]
