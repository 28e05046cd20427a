"""Signing skills off, taking that back, and what a correction does to it."""

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from assessments.certification import policies
from assessments.certification.facts import Outcome
from assessments.certification.gather import outcome_of
from assessments.certification.standing import standing_of
from assessments.models import Attempt, CertifiedSkill, Evidence, RepeatOrder, Revision, SignOff
from coursework.models import Person
from coursework.policies import require


@transaction.atomic
def sign_off(
    by: Person,
    skill: CertifiedSkill,
    student: Person,
    *,
    flags_accepted: str = "",
    now: datetime | None = None,
) -> SignOff:
    """Record that a skill is shown, with every assessed attempt as it stands as evidence.

    ValidationError with the missing clauses where the rule says no. Attempts that are flagged
    take a lead, who says why they are accepted.
    """
    require(policies.may_sign(by, skill, student))
    now = now or timezone.now()
    Person.objects.select_for_update().get(pk=student.pk)
    (held,) = standing_of(skill.certification, student, now=now, skills=[skill]).skills
    if held.sign_off is not None:
        raise ValidationError(_("This skill is signed off already."))
    if not held.decision.shown:
        raise ValidationError([clause.says for clause in held.decision.missing])
    flags_accepted = flags_accepted.strip()
    if held.flagged:
        if not policies.may_lead(by, skill.certification, student):
            raise ValidationError(
                _("Attempts are flagged: a course lead has to look at them and sign this skill.")
            )
        if not flags_accepted:
            raise ValidationError(_("Say why the flagged attempts are accepted."))
    SignOff.objects.standing().filter(skill=skill, student=student).update(superseded_at=now)
    made = SignOff(
        skill=skill,
        student=student,
        signed_by=by,
        signer=by.name,
        signed_at=now,
        clauses=[[clause.says, clause.met] for clause in held.decision.clauses],
        flags_accepted=flags_accepted if held.flagged else "",
    )
    made.full_clean()
    made.save()
    counted = {fact.key for fact in held.decision.counted}
    Evidence.objects.bulk_create(
        Evidence(
            sign_off=made,
            revision=revision,
            counted=fact.key in counted,
            cancelled=fact.cancelled,
        )
        for revision, fact in zip(held.revisions, held.facts, strict=True)
    )
    return made


@transaction.atomic
def withdraw_sign_off(
    by: Person, sign_off: SignOff, reason: str, *, now: datetime | None = None
) -> SignOff:
    """Take a sign-off back, with a reason; the record of it stays."""
    sign_off = SignOff.objects.select_for_update().get(pk=sign_off.pk)
    require(policies.may_withdraw_sign_off(by, sign_off))
    sign_off.withdrawn_reason = _reason(reason)
    sign_off.withdrawn_at, sign_off.withdrawn_by = now or timezone.now(), by
    sign_off.save(update_fields=["withdrawn_reason", "withdrawn_at", "withdrawn_by"])
    return sign_off


@transaction.atomic
def order_repeat(
    by: Person, attempt: Attempt, reason: str = "", *, now: datetime | None = None
) -> RepeatOrder:
    """One repeat of an assessed attempt that was too close to call."""
    require(policies.may_order_repeat(by, attempt))
    attempt = Attempt.objects.select_for_update().get(pk=attempt.pk)
    if not attempt.assessed or outcome_of(attempt.current) is not Outcome.CLOSE:
        raise ValidationError(
            _("Only an assessed attempt that was too close to call can be repeated by order.")
        )
    if RepeatOrder.objects.filter(attempt=attempt).exists():
        raise ValidationError(_("One repeat of this attempt was ordered before; there is no more."))
    return RepeatOrder.objects.create(
        attempt=attempt, ordered_by=by, ordered_at=now or timezone.now(), reason=reason.strip()
    )


def reopen_for(revision: Revision) -> int:
    """After a correction: sign-offs that rest on the attempt are open again; how many."""
    resting = SignOff.objects.standing().filter(evidence__revision__attempt=revision.attempt)
    pks = list(resting.values_list("pk", flat=True).distinct())
    return SignOff.objects.filter(pk__in=pks).update(
        reopened_at=revision.recorded_at, reopened_by=revision
    )


def _reason(text: str) -> str:
    text = text.strip()
    if not text:
        raise ValidationError(_("Say why."))
    if len(text) > 300:
        raise ValidationError(_("That is longer than 300 characters."))
    return text
