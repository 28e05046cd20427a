"""What stands in the columns of each list that is saved as a file."""

from coursework.listing import Column


def _roles(person) -> str:
    return "; ".join(
        f"{role.get_role_display()}, {role.cohort.name}" for role in person.enrolments.all()
    )


PEOPLE: list[Column] = [
    ("name", lambda person: person.name),
    ("username", lambda person: person.username),
    ("email", lambda person: person.email),
    ("school administrator", lambda person: person.is_school_admin),
    ("roles", _roles),
    ("account open", lambda person: person.is_active),
    ("last signed in", lambda person: person.last_login),
]
DRILLS: list[Column] = [
    ("starts", lambda drill: drill.local_start),
    ("minutes", lambda drill: drill.minutes),
    ("exercise", lambda drill: drill.exercise.title),
    ("method", lambda drill: drill.exercise.method),
    ("site", lambda drill: drill.site.name),
    ("zone", lambda drill: drill.site.zone),
    ("cohort", lambda drill: drill.cohort.name),
    ("course", lambda drill: drill.cohort.course.title),
    ("assessed", lambda drill: drill.assessed),
    ("cancelled", lambda drill: drill.cancelled_at),
    ("decision", lambda drill: drill.last_outcome),
]
INSTRUMENTS: list[Column] = [
    ("kind", lambda tool: tool.get_kind_display()),
    ("label", lambda tool: tool.label),
    ("correction_deg", lambda tool: tool.correction_deg),
    ("reading_u_deg", lambda tool: tool.reading_u_deg),
    ("check due", lambda tool: tool.due_on),
    ("retired", lambda tool: tool.retired_at),
]
INCIDENTS: list[Column] = [
    ("happened", lambda incident: incident.local_time),
    ("zone", lambda incident: incident.zone),
    ("kind", lambda incident: incident.get_kind_display()),
    ("site", lambda incident: incident.site.name if incident.site else ""),
    ("where", lambda incident: incident.place),
    ("what happened", lambda incident: incident.what),
    ("people", lambda incident: incident.people),
    ("harm", lambda incident: incident.get_harm_display()),
    ("harm in words", lambda incident: incident.harm_note),
    ("immediate action", lambda incident: incident.action),
    ("follow-ups open", lambda incident: incident.open_number),
    ("reported by", lambda incident: incident.reported_by.name),
    ("reported", lambda incident: incident.reported_at),
]
STAFF: list[Column] = [
    ("name", lambda person: person.name),
    ("username", lambda person: person.username),
    ("first aid until", lambda person: person.first_aid_until),
    ("assessor until", lambda person: person.assessor_until),
]
# Never the link itself: whoever holds it gets in, and only its digest is kept.
INVITATIONS: list[Column] = [
    ("made", lambda link: link.made_at),
    ("made by", lambda link: link.made_by.name),
    ("cohort", lambda link: link.cohort.name if link.cohort else ""),
    ("role", lambda link: link.get_role_display()),
    ("school administrator", lambda link: link.makes_admin),
    ("sign-in link of", lambda link: link.person.name if link.person else ""),
    ("note", lambda link: link.note),
    ("valid until", lambda link: link.expires_at),
    ("taken back", lambda link: link.revoked_at),
    ("followed", lambda link: link.accepted_at),
    ("followed by", lambda link: link.accepted_by.name if link.accepted_by else ""),
]
COHORTS: list[Column] = [
    ("cohort", lambda cohort: cohort.name),
    ("course", lambda cohort: cohort.course.title),
    ("first day", lambda cohort: cohort.starts_on),
    ("last day", lambda cohort: cohort.ends_on),
    ("students", lambda cohort: cohort.students),
]
SITES: list[Column] = [
    ("site", lambda site: site.name),
    ("lat", lambda site: site.latitude_deg),
    ("lon", lambda site: site.longitude_deg),
    ("elevation_m", lambda site: site.elevation_m),
    ("zone", lambda site: site.zone),
    ("slope_deg", lambda site: site.slope_deg),
    ("downhill_deg", lambda site: site.downhill_deg),
    ("horizon", lambda site: site.horizon),
]
COURSES: list[Column] = [
    ("course", lambda course: course.title),
    ("version", lambda course: course.number),
    ("published", lambda course: course.published_at),
    ("summary", lambda course: course.summary),
]
