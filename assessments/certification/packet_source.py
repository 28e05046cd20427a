"""A packet as it is printed, from the records it rests on: revisions as they stood, never newer."""

from collections.abc import Sequence
from copy import copy
from dataclasses import replace

from django.db.models import Prefetch, prefetch_related_objects

from assessments.certification.gather import with_assessors
from assessments.models import Packet, Revision, SignOff
from assessments.records.points import Point, lines_by_revision
from assessments.records.student import StudentRecord
from assessments.sheets.packet_contents import PacketSheet, SkillPart
from assessments.sheets.sources import exercise_sheet
from coursework.models import Exercise, SchoolSettings
from coursework.records_language import in_records_language
from solar.clock import zone_of


def packet_sheet(packet: Packet) -> PacketSheet:
    """Everything is read from what was frozen: sign-offs, their evidence, names of that day."""
    return packet_sheets([packet])[0]


@in_records_language()
def packet_sheets(packets: Sequence[Packet]) -> list[PacketSheet]:
    """The same of many packets, in as many queries as of one.

    They should come with `certification__school` and `student` selected.
    """
    if not packets:
        return []
    prefetch_related_objects(
        packets,
        Prefetch("sign_offs", SignOff.objects.select_related("skill")),
        "sign_offs__evidence",
    )
    schools = {packet.certification.school_id for packet in packets}
    zones = dict(SchoolSettings.objects.filter(school__in=schools).values_list("school", "zone"))
    shown = {
        row.revision_id
        for packet in packets
        for signed in packet.sign_offs.all()
        for row in signed.evidence.all()
    }
    revisions = with_assessors(Revision.objects.filter(pk__in=shown)).select_related(
        "attempt__exercise__course__school", "attempt__student", "recorded_by"
    )
    stored = revisions.in_bulk()
    lines = lines_by_revision({pk for packet in packets for pk in packet.history})
    return [
        _sheet(
            packet,
            zones.get(packet.certification.school_id) or SchoolSettings().zone,
            stored,
            [lines[pk] for pk in sorted(packet.history) if pk in lines],
        )
        for packet in packets
    ]


def _sheet(
    packet: Packet, zone: str, stored: dict[int, Revision], lines: list[Point]
) -> PacketSheet:
    certification = packet.certification
    published = certification.published_at
    signed = sorted(packet.sign_offs.all(), key=lambda one: (one.skill.position, one.skill.pk))
    return PacketSheet(
        number=packet.number_in_groups,
        holder=packet.holder,
        school=packet.school_name,
        title=certification.title,
        version=certification.number,
        published_on=published.astimezone(zone_of(zone)).date() if published else None,
        scope=certification.scope,
        validity=certification.validity_in_words,
        renewal=certification.renewal_in_words,
        issued_at=packet.issued_at,
        issued_on=packet.issued_on,
        expires_on=packet.expires_on,
        issuer=packet.issuer,
        check_address=packet.check_address,
        zone=zone,
        record=StudentRecord(sorted(lines, key=lambda one: one.observed_at)),
        skills=tuple(_part(one, packet, zone, stored) for one in signed),
    )


def _part(signed: SignOff, packet: Packet, zone: str, stored: dict[int, Revision]) -> SkillPart:
    rows = list(signed.evidence.all())
    counted = {row.revision_id for row in rows if row.counted}
    # Of one's own: the attempt below is made to show this revision.
    revisions = sorted(
        (copy(stored[row.revision_id]) for row in rows), key=lambda one: (one.observed_at, one.pk)
    )
    attempts = []
    for revision in revisions:
        # As it stood when it was signed off, whatever was corrected since.
        revision.attempt = copy(revision.attempt)
        revision.attempt.current = revision
        attempts.append(revision.attempt)
    skill = signed.skill
    exercise = revisions[-1].attempt.exercise if revisions else _exercise_of(skill, packet)
    sheet = exercise_sheet(exercise, packet.student, attempts)
    standard = replace(sheet.standard, attempts_needed=skill.within_needed)
    return SkillPart(
        title=skill.title,
        rule=tuple(skill.rule_in_words),
        clauses=tuple((says, met) for says, met in signed.clauses),
        counted=len(counted),
        assessed=len(rows),
        assessors=tuple(
            dict.fromkeys(one.facts["assessor"] for one in revisions if one.pk in counted)
        ),
        signer=signed.signer,
        signed_at=signed.signed_at.astimezone(zone_of(zone)),
        flags_accepted=signed.flags_accepted,
        sheet=replace(sheet, student=packet.holder, school=packet.school_name, standard=standard),
    )


def _exercise_of(skill, packet: Packet) -> Exercise:
    exercises = Exercise.objects.filter(
        key=skill.exercise_key, course__school=packet.certification.school_id
    )
    return exercises.select_related("course__school").order_by("-course__number").first()
