"""A packet as it is printed, from the records it rests on: revisions as they stood, never newer."""

from dataclasses import replace

from assessments.certification.gather import with_assessors
from assessments.models import Packet, Revision, SignOff
from assessments.records.points import lines_of_revisions
from assessments.records.student import StudentRecord
from assessments.sheets.packet_contents import PacketSheet, SkillPart
from assessments.sheets.sources import exercise_sheet
from coursework.models import Exercise, SchoolSettings
from solar.clock import zone_of


def packet_sheet(packet: Packet) -> PacketSheet:
    """Everything is read from what was frozen: sign-offs, their evidence, names of that day."""
    certification = packet.certification
    zone = SchoolSettings.of(certification.school).zone
    published = certification.published_at
    signed = packet.sign_offs.select_related("skill").order_by("skill__position", "skill__pk")
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
        issued_on=packet.issued_on,
        expires_on=packet.expires_on,
        issuer=packet.issuer,
        check_address=packet.check_address,
        zone=zone,
        record=StudentRecord(lines_of_revisions(Revision.objects.filter(pk__in=packet.history))),
        skills=tuple(_part(one, packet, zone) for one in signed),
    )


def _part(signed: SignOff, packet: Packet, zone: str) -> SkillPart:
    rows = list(signed.evidence.all())
    counted = {row.revision_id for row in rows if row.counted}
    revisions = list(
        with_assessors(Revision.objects.filter(pk__in=[row.revision_id for row in rows]))
        .select_related("attempt__exercise__course__school", "attempt__student", "recorded_by")
        .order_by("observed_at", "pk")
    )
    attempts = []
    for revision in revisions:
        # As it stood when it was signed off, whatever was corrected since.
        revision.attempt.current = revision
        attempts.append(revision.attempt)
    skill = signed.skill
    exercise = revisions[-1].attempt.exercise if revisions else _exercise_of(skill, packet)
    sheet = exercise_sheet(exercise, packet.student, attempts)
    standard = replace(
        sheet.standard,
        attempts_needed=skill.within_needed,
        distinct_days=skill.distinct_days,
        forenoon_and_afternoon=skill.both_halves,
        distinct_assessors=skill.distinct_assessors,
    )
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
