"""Changes of several rows. Each takes the acting user and runs in one transaction."""

from coursework.services.approvals import record_approval, remove_approval
from coursework.services.attendance import mark_attendance
from coursework.services.bookings import open_conflicts
from coursework.services.changes import changes_between
from coursework.services.cohorts import add_person, enrol, start_cohort, withdraw
from coursework.services.courses import (
    copy_course,
    discard_draft,
    frozen_sentence,
    next_version,
    publish,
    require_draft,
    save_course,
)
from coursework.services.drills import (
    cancel_drill,
    save_drill,
    save_group,
    take_up_drill,
)
from coursework.services.erasure import erase_person, erasure_shares, personal_data
from coursework.services.exchange import import_course
from coursework.services.feeds import make_feed, revoke_feed
from coursework.services.incidents import (
    add_follow_up,
    add_note,
    close_follow_up,
    report_incident,
)
from coursework.services.instruments import record_check, retire, take_back
from coursework.services.invitations import (
    LinkClosedError,
    invite,
    invite_to_sign_in,
    join_as,
    join_new,
    look_up,
    open_account,
    revoke,
)
from coursework.services.lessons import (
    prerequisite_ring,
    save_exercise,
    save_lesson,
    shift,
)
from coursework.services.people import (
    close_account,
    edit_person,
    measure_hand,
    measure_paces,
    reopen_account,
    share_contact,
)
from coursework.services.planned_lessons import (
    cancel_planned_lesson,
    save_planned_lesson,
    take_up_planned_lesson,
)
from coursework.services.readiness import missing_to_publish, remarks_to_publish
from coursework.services.removal import HeldError, is_held, reason_to_stay, remove
from coursework.services.roster import import_roster, plan_roster
from coursework.services.safety import decide, save_settings
from coursework.services.schools import found_first_school, found_school, set_password
from coursework.services.sites import save_site
from coursework.services.versions import drills_at_move, move_cohort, newer_versions

__all__ = [
    "HeldError",
    "LinkClosedError",
    "add_follow_up",
    "add_note",
    "add_person",
    "cancel_drill",
    "cancel_planned_lesson",
    "changes_between",
    "close_account",
    "close_follow_up",
    "copy_course",
    "decide",
    "discard_draft",
    "drills_at_move",
    "edit_person",
    "enrol",
    "erase_person",
    "erasure_shares",
    "found_first_school",
    "found_school",
    "frozen_sentence",
    "import_course",
    "import_roster",
    "invite",
    "invite_to_sign_in",
    "is_held",
    "join_as",
    "join_new",
    "look_up",
    "make_feed",
    "mark_attendance",
    "measure_hand",
    "measure_paces",
    "missing_to_publish",
    "move_cohort",
    "newer_versions",
    "next_version",
    "open_account",
    "open_conflicts",
    "personal_data",
    "plan_roster",
    "prerequisite_ring",
    "publish",
    "reason_to_stay",
    "record_approval",
    "record_check",
    "remarks_to_publish",
    "remove",
    "remove_approval",
    "reopen_account",
    "report_incident",
    "require_draft",
    "retire",
    "revoke",
    "revoke_feed",
    "save_course",
    "save_drill",
    "save_exercise",
    "save_group",
    "save_lesson",
    "save_planned_lesson",
    "save_settings",
    "save_site",
    "set_password",
    "share_contact",
    "shift",
    "start_cohort",
    "take_back",
    "take_up_drill",
    "take_up_planned_lesson",
    "withdraw",
]
