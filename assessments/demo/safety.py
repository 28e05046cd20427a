"""What keeps the invented school safe: limits, checked instruments, decisions, one near miss."""

from datetime import datetime, timedelta

import numpy as np

from coursework.models import (
    Aspect,
    Drill,
    Harm,
    Incident,
    Instrument,
    Person,
    SchoolSettings,
    Site,
)
from coursework.services import (
    add_follow_up,
    add_note,
    close_follow_up,
    decide,
    record_check,
    report_incident,
    save_settings,
)
from solar.declination import declination

# What each instrument is really off, and the days on which the school checked it.
CHECKED = {
    "A": (0.2, ["2025-05-26", "2026-05-02"]),
    "B": (-1.6, ["2025-05-26"]),
    "C": (1.9, ["2025-05-27", "2026-04-20"]),
    "P1": (0.3, ["2025-05-26", "2026-05-02"]),
}
_SCATTER_DEG = (0.4, -0.9, 1.1, -0.3, 0.8, -1.2, 0.1, 0.6)
_FINE = dict.fromkeys(Aspect.values, ("", False))
_NOTES = [
    {Aspect.LIGHTNING: ("Storms forecast from 15:00; back at the road head by 14:00.", True)},
    {Aspect.HEAT: ("Hats, three litres each, shade break every 20 minutes.", False)},
    {Aspect.GROUP: ("One with a blister: stays near the packs.", True)},
    {},
]


def settle(admin: Person) -> None:
    """The school's own limits and numbers."""
    settings = SchoolSettings(
        school=admin.school,
        emergency_number="112 (Europe), 111 (New Zealand)",
        nearest_help="Mountain post at the chapel bridge. Nearest road: the road head.",
        heat_care=25.0,
        heat_stop=30.0,
        students_per_instructor=12,
        zone="Europe/Paris",
    )
    save_settings(admin, settings)


def check_instruments(admin: Person, site: Site) -> None:
    """Each held against surveyed marks of one site, in the order of the days."""
    marks = list(site.marks.order_by("bearing_deg"))
    first, second = marks[0], marks[1]
    days = sorted((day, label) for label, (_off, found) in CHECKED.items() for day in found)
    instruments = {item.label: item for item in Instrument.objects.filter(school=admin.school)}
    for day, label in days:
        instrument, (correction_deg, _days) = instruments[label], CHECKED[label]
        checked_at = datetime.fromisoformat(f"{day}T10:30").replace(tzinfo=site.zone_info)
        is_compass = instrument.kind == Instrument.Kind.COMPASS
        true_deg = second.bearing_deg - (
            _declination_deg(site, checked_at) if is_compass else first.bearing_deg
        )
        readings = np.round((true_deg - correction_deg + np.array(_SCATTER_DEG)) % 360.0)
        record_check(
            admin,
            instrument,
            mark=second,
            from_mark=None if is_compass else first,
            checked_at=checked_at,
            readings_deg=readings.tolist(),
            resolution_deg=1.0,
            now=checked_at + timedelta(hours=1),
        )


def _declination_deg(site: Site, instant: datetime) -> float:
    field = declination(
        [instant],
        latitude_deg=site.latitude_deg,
        longitude_deg=site.longitude_deg,
        elevation_m=site.elevation_m,
    )
    return float(field.declination_deg[0])


def decide_to_go(lead: Person, drill: Drill, index: int) -> None:
    """An hour before the start; once in a while the answer was first to stay."""
    noted = _FINE | _NOTES[index % len(_NOTES)]
    aspects = {name: {"note": note, "concern": worry} for name, (note, worry) in noted.items()}
    before = drill.starts_at - timedelta(hours=1)
    if index == 4:
        thunder = {Aspect.LIGHTNING: {"note": "Thunder heard 20 s after a flash.", "concern": True}}
        decide(
            lead,
            drill,
            outcome="stay",
            aspects=aspects | thunder,
            reason="Thunder over the ridge; we wait in the hut.",
            now=before - timedelta(minutes=45),
        )
    decide(
        lead,
        drill,
        outcome="go",
        aspects=aspects,
        reason="Settled weather, the group is fit and complete.",
        heat_value=26.0 if Aspect.HEAT in _NOTES[index % len(_NOTES)] else None,
        now=before,
    )


def report_near_miss(lead: Person, assistant: Person, drill: Drill) -> None:
    """At the drill beside the beck: told, followed up, one thing still to do."""
    at = drill.starts_at + timedelta(minutes=50)
    incident = report_incident(
        assistant,
        Incident(
            school=lead.school,
            kind=Incident.Kind.NEAR_MISS,
            occurred_at=at,
            zone=drill.site.zone,
            drill=drill,
            site=drill.site,
            place="at the beck, where the path meets it",
            what=(
                "Two students went to the beck to fill bottles without telling anyone. One slipped "
                "on the wet bank and caught hold of a branch. They were missed at the next count."
            ),
            people="Two students, the assistant instructor.",
            harm=Harm.NONE,
            action="Called everyone in, counted, talked it over. Water is fetched in threes since.",
        ),
        now=at + timedelta(hours=6),
    )
    day = at.date()
    paired = add_follow_up(
        lead, incident, task="Say the rule of pairs before every drill; put it on the lesson plan",
        person=assistant, due_on=day + timedelta(days=7),
    )  # fmt: skip
    close_follow_up(
        assistant,
        paired,
        note="Said at the start since, and on the plan.",
        now=at + timedelta(days=3),
    )
    add_follow_up(
        lead, incident, task="Fix a hand line along the bank of the beck",
        person=lead, due_on=day + timedelta(days=60),
    )  # fmt: skip
    add_note(
        lead,
        incident,
        "Correction: it was the upper of the two paths.",
        now=at + timedelta(days=1),
    )
