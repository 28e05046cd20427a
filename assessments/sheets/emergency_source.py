"""The emergency card of a drill, made from what is stored."""

from datetime import datetime

from django.utils.translation import gettext as _

from assessments.sheets import words
from assessments.sheets.emergency_card import EmergencyCard, Sharer
from assessments.sheets.observed import local_moment
from coursework import policies
from coursework.coordinates import position_texts
from coursework.models import Drill, Person, Role, SchoolSettings, Site


def emergency_card(drill: Drill, reader: Person, *, now: datetime) -> EmergencyCard:
    """For one reader: what students shared is what `reader` may know."""
    site, cohort = drill.site, drill.cohort
    settings = SchoolSettings.of(cohort.course.school)
    last = drill.decisions.last_first().first()
    rows = list(cohort.enrolments.select_related("person").order_by("person__name", "id"))
    contacts = {contact.person_id: contact for contact in policies.shared_contacts(reader, cohort)}
    return EmergencyCard(
        school=cohort.course.school.name,
        exercise=drill.exercise.title,
        cohort=cohort.name,
        site=site.name,
        when=_("%(start)s, for %(minutes)s minutes")
        % {"start": local_moment(drill.starts_at, site.zone), "minutes": drill.minutes},
        positions=printed_positions(site.position),
        elevation_m=site.elevation_m,
        emergency_number=settings.emergency_number,
        nearest_help=settings.nearest_help,
        rally=rally_words(site),
        rally_positions=_rally_positions(site),
        safe_heading=safe_heading_words(site),
        hazards=site.hazards,
        emergency_notes=site.emergency,
        decision=decision_words(last, drill),
        staff=_staff(rows),
        students=tuple(
            _sharer(row.person, contacts.get(row.person_id))
            for row in rows
            if row.role == Role.STUDENT
        ),
        printed=_("printed %(when)s") % {"when": local_moment(now, site.zone)},
    )


def printed_positions(position) -> tuple[tuple[str, str], ...]:
    # The lettering on paper has no primes; on a card nothing may stand in brackets instead.
    return tuple(
        (name, text.replace("′", "'").replace("″", '"')) for name, text in position_texts(position)
    )


def rally_words(site: Site) -> str:
    if site.rally_way is None:
        return site.rally_words
    bearing_deg, metres = site.rally_way
    way = _("%(metres)s m from the site, towards %(bearing)s true") % {
        "metres": f"{metres:.0f}",
        "bearing": words.bearing(bearing_deg, 0),
    }
    return "\n".join(filter(None, [site.rally_words, way]))


def _rally_positions(site: Site) -> tuple[tuple[str, str], ...]:
    return () if site.rally_position is None else printed_positions(site.rally_position)


def safe_heading_words(site: Site) -> str:
    if site.safe_heading_deg is None:
        return ""
    heading = str(site.get_safe_heading_deg_display())
    if not site.safe_heading_to:
        return heading
    return _("%(heading)s, to %(goal)s") % {"heading": heading, "goal": site.safe_heading_to}


def decision_words(last, drill: Drill) -> str:
    if last is None:
        return _("not decided when this was printed")
    when = local_moment(last.decided_at, last.site.zone)
    said = _("%(headline)s %(name)s, %(when)s") % {
        "headline": last.headline,
        "name": last.decided_by.name,
        "when": when,
    }
    if last.still_fits(drill):
        return said
    return f"{said}. {_('The drill has been moved since.')}"


def _staff(rows) -> tuple[tuple[str, str], ...]:
    roles: dict[str, list[str]] = {}
    for row in rows:
        if row.role != Role.STUDENT:
            roles.setdefault(row.person.name, []).append(str(row.get_role_display()))
    return tuple((name, ", ".join(held)) for name, held in roles.items())


def _sharer(person: Person, contact) -> Sharer:
    if contact is None:
        return Sharer(name=person.name)
    return Sharer(
        name=person.name,
        contact=" ".join(contact.shared_emergency or ()),
        medical=contact.shared_medical,
    )
