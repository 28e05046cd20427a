"""What results hold about a person: given out, and erased as far as no record rests on it."""

from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from assessments import policies
from assessments.certification.run_files import remove_run_rows
from assessments.models import Attempt, LeadNote, Packet, Revision, SignOff
from assessments.records import summaries
from coursework.traces import (
    Texts,
    Trace,
    declare,
    declare_renamer,
    everything,
    without_name,
)

RESULT_COLUMNS = (
    "key",
    "exercise__title",
    "method",
    "assessed",
    "created_at",
    "drill__site__name",
    "drill__cohort__name",
    "current__observed_at",
    "current__inputs",
    "current__facts__assessor",
    "current__steps_met",
    "current__sky",
    "current__ground",
    "current__remark",
    "current__reason",
    "current__laid_true_deg",
    "current__error_deg",
    "current__method_error_deg",
    "current__own_error_deg",
    "current__expanded_uncertainty_deg",
    "current__verdict",
    "current__no_result",
)


def declare_assessments() -> None:
    declare(
        Trace(
            field="assessments.Attempt.student",
            words=_("results"),
            columns=RESULT_COLUMNS,
            shown=policies.open_to,
            going=practice,
            remove=remove_attempts,
        ),
        Trace(field="assessments.Revision.recorded_by", words=_("results logged or corrected")),
        # After the results themselves: what is made of them follows.
        Trace(
            field="assessments.RecordSummary.student",
            words=_("sums over results"),
            going=everything,
            remove=summaries.rebuild,
        ),
        Trace(
            field="coursework.Drill.practised_by",
            words=_("exercises practised alone"),
            columns=("exercise__title", "site__name", "starts_at"),
            going=everything,
        ),
        Trace(
            field="assessments.FieldDevice.person",
            words=_("devices of the field log"),
            columns=("key", "first_heard_at", "last_heard_at", "offset_ms", "waiting"),
            going=everything,
        ),
        Trace(field="assessments.HeadcountEvent.noted_by", words=_("headcount entries")),
        Trace(field="assessments.LeadNote.noted_by", words=_("notes for the lead")),
        Trace(field="assessments.LeadNote.settled_by", words=_("notes for the lead settled")),
    )
    declare_certification()
    declare_renamer(rename_frozen)
    declare_renamer(rename_certified)
    declare_renamer(rename_notes)


def declare_certification() -> None:
    """Certificates and what they rest on stay when data are erased, under the label."""
    declare(
        Trace(
            field="assessments.SignOff.student",
            words=_("skills signed off"),
            columns=("skill__title", "signer", "signed_at", "withdrawn_at", "withdrawn_reason"),
        ),
        Trace(field="assessments.SignOff.signed_by", words=_("skills signed off for others")),
        Trace(field="assessments.SignOff.withdrawn_by", words=_("sign-offs withdrawn")),
        Trace(field="assessments.RepeatOrder.ordered_by", words=_("repeats ordered")),
        Trace(
            field="assessments.Packet.student",
            words=_("certificates"),
            columns=(
                "number",
                "certification__title",
                "holder",
                "issuer",
                "issued_on",
                "expires_on",
                "withdrawn_at",
                "withdrawn_reason",
            ),
        ),
        Trace(field="assessments.Packet.issued_by", words=_("certificates issued")),
        Trace(field="assessments.Packet.withdrawn_by", words=_("certificates withdrawn")),
        Trace(field="assessments.PacketRun.asked_by", words=_("runs of packets asked for")),
        # The files of a run hold the packet of everybody in it: all of them go.
        Trace(
            field="assessments.PacketRunRow.student",
            words=_("runs of packets"),
            columns=("run__certification__title", "run__asked_at", "state", "reasons"),
            going=everything,
            remove=remove_run_rows,
        ),
        Trace(
            field="assessments.Certification.published_by",
            words=_("versions of certifications published"),
        ),
        Texts(
            model="assessments.SignOff",
            columns=("withdrawn_reason", "flags_accepted"),
            school="skill__certification__school",
        ),
        Texts(
            model="assessments.Packet",
            columns=("withdrawn_reason",),
            school="certification__school",
        ),
        Texts(
            model="assessments.RepeatOrder",
            columns=("reason",),
            school="attempt__drill__site__school",
        ),
    )


def rename_certified(person, label: str) -> None:
    """Put the label for the name in sign-offs and certificates; they cannot be checked by name."""
    SignOff.objects.filter(signed_by=person).update(signer=label)
    Packet.objects.filter(issued_by=person).update(issuer=label)
    Packet.objects.filter(student=person).update(holder=label, family_name=label)


def practice(attempts: QuerySet[Attempt]) -> QuerySet[Attempt]:
    """Those that no certificate can rest on: erasure removes them."""
    return attempts.filter(assessed=False)


def remove_attempts(attempts: QuerySet[Attempt]) -> None:
    """Attempts and their revisions, which otherwise hold each other."""
    keys = list(attempts.values_list("pk", flat=True))
    Attempt.objects.filter(pk__in=keys).update(current=None)
    Revision.objects.filter(attempt__in=keys).delete()
    Attempt.objects.filter(pk__in=keys).delete()


def rename_frozen(person, label: str) -> None:
    """Put the label for the name in the frozen facts and the texts of revisions."""
    about = Revision.objects.filter(attempt__student=person)
    for revision in about.iterator():
        revision.facts["student"] = label
        _save(revision, person.name, label)
    for revision in Revision.objects.filter(recorded_by=person).iterator():
        revision.facts["assessor"] = label
        _save(revision, person.name, label)
    if person.name:
        elsewhere = Revision.objects.filter(attempt__drill__site__school=person.school_id)
        for column in ("remark", "reason"):
            for revision in elsewhere.filter(**{f"{column}__contains": person.name}):
                _save(revision, person.name, label)


def rename_notes(person, label: str) -> None:
    """Put the label for the name in what was handed to leads."""
    if not person.name:
        return
    for note in LeadNote.objects.filter(school=person.school_id):
        about = without_name(note.about, person.name, label)
        reason = without_name(note.reason, person.name, label)
        said = [[name, without_name(text, person.name, label)] for name, text in note.said]
        if (about, reason, said) != (note.about, note.reason, note.said):
            note.about, note.reason, note.said = about, reason, said
            note.save(update_fields=["about", "reason", "said"])


def _save(revision: Revision, name: str, label: str) -> None:
    if name:
        revision.remark = without_name(revision.remark, name, label)
        revision.reason = without_name(revision.reason, name, label)
    revision.save(update_fields=["facts", "remark", "reason"])
