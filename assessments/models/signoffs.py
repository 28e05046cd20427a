"""Decisions about skills, and the packets that rest on them: withdrawn, but never changed."""

import secrets
from datetime import date
from typing import Self

from django.db import models
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

ALPHABET = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
"""Digits and capitals that are not taken for each other when read aloud or from paper."""
NUMBER_LENGTH = 10


def packet_number() -> str:
    """A number that cannot be guessed from another: 49 bits of chance."""
    return "".join(secrets.choice(ALPHABET) for _place in range(NUMBER_LENGTH))


class SignOffQuerySet(models.QuerySet):
    def standing(self) -> Self:
        """Neither withdrawn, nor reopened, nor followed by one for a renewal."""
        return self.filter(withdrawn_at=None, reopened_at=None, superseded_at=None)


class SignOff(models.Model):
    """That an assessor found a skill shown: when, by which version of the rule, on what evidence.

    `clauses` holds what the rule said then, as pairs of sentence and whether it was met.
    """

    skill = models.ForeignKey(
        "assessments.CertifiedSkill", models.PROTECT, related_name="sign_offs"
    )
    student = models.ForeignKey("coursework.Person", models.PROTECT, related_name="sign_offs")
    signed_by = models.ForeignKey("coursework.Person", models.PROTECT, related_name="+")
    signer = models.CharField(_("signed by"), max_length=120)
    signed_at = models.DateTimeField(default=timezone.now, editable=False)
    clauses = models.JSONField(default=list)
    flags_accepted = models.CharField(
        _("why flagged attempts are accepted"), max_length=300, blank=True
    )
    withdrawn_at = models.DateTimeField(null=True, blank=True, editable=False)
    withdrawn_by = models.ForeignKey(
        "coursework.Person", models.PROTECT, null=True, blank=True, related_name="+"
    )
    withdrawn_reason = models.CharField(_("reason"), max_length=300, blank=True)
    reopened_at = models.DateTimeField(null=True, blank=True, editable=False)
    reopened_by = models.ForeignKey(
        "assessments.Revision", models.PROTECT, null=True, blank=True, related_name="+"
    )
    superseded_at = models.DateTimeField(
        null=True,
        blank=True,
        editable=False,
        help_text=_("When the skill was signed off anew for a renewal."),
    )

    objects = SignOffQuerySet.as_manager()

    class Meta:
        verbose_name = _("sign-off")
        verbose_name_plural = _("sign-offs")
        ordering = ["-signed_at", "-id"]
        constraints = [
            models.UniqueConstraint(
                fields=["skill", "student"],
                condition=models.Q(withdrawn_at=None, reopened_at=None, superseded_at=None),
                name="one_standing_sign_off",
            ),
            models.CheckConstraint(
                condition=~models.Q(student=models.F("signed_by")),
                name="nobody_signs_for_themselves",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.student}, {self.skill}"

    @property
    def stands(self) -> bool:
        return (self.withdrawn_at, self.reopened_at, self.superseded_at) == (None, None, None)


class Evidence(models.Model):
    """One result as it stood when a skill was signed off; `counted` where the yes rests on it."""

    sign_off = models.ForeignKey(SignOff, models.CASCADE, related_name="evidence")
    revision = models.ForeignKey("assessments.Revision", models.PROTECT, related_name="evidence")
    counted = models.BooleanField()
    cancelled = models.BooleanField(default=False)

    class Meta:
        verbose_name = _("evidence")
        verbose_name_plural = _("evidence")
        ordering = ["sign_off", "revision__observed_at", "id"]
        constraints = [
            models.UniqueConstraint(fields=["sign_off", "revision"], name="evidence_once")
        ]

    def __str__(self) -> str:
        return str(self.revision)


class RepeatOrder(models.Model):
    """That a lead ordered one repeat of an attempt that was too close to call."""

    attempt = models.OneToOneField(
        "assessments.Attempt", models.PROTECT, related_name="repeat_order"
    )
    ordered_by = models.ForeignKey("coursework.Person", models.PROTECT, related_name="+")
    ordered_at = models.DateTimeField(default=timezone.now, editable=False)
    reason = models.CharField(_("reason"), max_length=300, blank=True)

    class Meta:
        verbose_name = _("repeat ordered")
        verbose_name_plural = _("repeats ordered")
        ordering = ["-ordered_at", "-id"]

    def __str__(self) -> str:
        return str(self.attempt)


class PacketQuerySet(models.QuerySet):
    def lapsing(self, first: date, last: date) -> Self:
        """Those not withdrawn whose last day lies between two days, both counted."""
        return self.filter(withdrawn_at=None, expires_on__range=(first, last)).order_by(
            "expires_on", "id"
        )


class Packet(models.Model):
    """A certificate that was issued, with the sign-offs it rests on and names as they stood."""

    class State(models.TextChoices):
        VALID = "valid", _("valid")
        EXPIRED = "expired", _("lapsed")
        WITHDRAWN = "withdrawn", _("withdrawn")

    number = models.CharField(max_length=12, unique=True, default=packet_number, editable=False)
    certification = models.ForeignKey(
        "assessments.Certification", models.PROTECT, related_name="packets"
    )
    student = models.ForeignKey("coursework.Person", models.PROTECT, related_name="packets")
    sign_offs = models.ManyToManyField(SignOff, related_name="packets")
    holder = models.CharField(_("holder"), max_length=120)
    family_name = models.CharField(
        _("family name"),
        max_length=120,
        help_text=_("As the holder writes it: whoever checks the certificate has to give it."),
    )
    school_name = models.CharField(max_length=120)
    issued_by = models.ForeignKey("coursework.Person", models.PROTECT, related_name="+")
    issuer = models.CharField(_("issued by"), max_length=120)
    issued_at = models.DateTimeField(default=timezone.now, editable=False)
    issued_on = models.DateField(_("issued"), help_text=_("By the school’s clock."))
    expires_on = models.DateField(_("last day it holds"))
    history = models.JSONField(
        default=list, help_text=_("Numbers of the revisions printed in the error history.")
    )
    check_address = models.URLField(help_text=_("Where the certificate is checked."))
    withdrawn_at = models.DateTimeField(null=True, blank=True, editable=False)
    withdrawn_by = models.ForeignKey(
        "coursework.Person", models.PROTECT, null=True, blank=True, related_name="+"
    )
    withdrawn_reason = models.CharField(_("reason"), max_length=300, blank=True)

    objects = PacketQuerySet.as_manager()

    class Meta:
        verbose_name = _("certification packet")
        verbose_name_plural = _("certification packets")
        ordering = ["-issued_at", "-id"]
        constraints = [
            models.CheckConstraint(
                condition=~models.Q(student=models.F("issued_by")),
                name="nobody_issues_to_themselves",
            )
        ]

    def __str__(self) -> str:
        return f"{self.certification}, {self.holder}"

    def get_absolute_url(self) -> str:
        return reverse("packet-detail", args=[self.pk])

    @property
    def number_in_groups(self) -> str:
        """As it is printed and read aloud: 'K7QX3-M4TBR'."""
        half = len(self.number) // 2
        return f"{self.number[:half]}-{self.number[half:]}"

    def state(self, today: date) -> State:
        """On its last day a certificate is still valid."""
        if self.withdrawn_at is not None:
            return self.State.WITHDRAWN
        return self.State.EXPIRED if self.expires_on < today else self.State.VALID
