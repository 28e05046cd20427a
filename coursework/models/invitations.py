"""Links that let someone into a school, a cohort, or an account that has no password yet."""

from datetime import datetime
from typing import Self

from django.core.exceptions import ValidationError
from django.db import models
from django.utils import timezone
from django.utils.crypto import salted_hmac
from django.utils.translation import gettext_lazy as _

from coursework.models.cohorts import Role


class InvitationQuerySet(models.QuerySet):
    def open(self, now: datetime) -> Self:
        """Those that can still be accepted."""
        return self.filter(accepted_at=None, revoked_at=None, expires_at__gt=now)

    def of_token(self, token: str) -> Self:
        return self.filter(token_hash=token_hash(token))


def token_hash(token: str) -> str:
    """What is stored of a link's secret part: whoever reads the database cannot use it."""
    return salted_hmac("coursework.invitation.stored", token, algorithm="sha256").hexdigest()


class Invitation(models.Model):
    """One link for one person, usable once, until it expires or is revoked.

    With a cohort it gives a role there; without one it lets into the school, as its
    administrator where `makes_admin`. With a `person` it opens that account: whoever accepts
    chooses its password.
    """

    school = models.ForeignKey("coursework.School", models.CASCADE, related_name="invitations")
    cohort = models.ForeignKey(
        "coursework.Cohort", models.CASCADE, null=True, blank=True, related_name="invitations"
    )
    role = models.CharField(_("role"), max_length=10, choices=Role, blank=True)
    makes_admin = models.BooleanField(_("school administrator"), default=False)
    person = models.ForeignKey(
        "coursework.Person", models.CASCADE, null=True, blank=True, related_name="sign_in_links"
    )
    note = models.CharField(
        _("for whom"),
        max_length=120,
        blank=True,
        help_text=_("Printed on the slip and kept in the list, so that you know whose it is."),
    )
    token_hash = models.CharField(max_length=64, unique=True, editable=False)
    made_by = models.ForeignKey("coursework.Person", models.PROTECT, related_name="+")
    made_at = models.DateTimeField(default=timezone.now, editable=False)
    expires_at = models.DateTimeField(_("valid until"))
    revoked_at = models.DateTimeField(null=True, blank=True, editable=False)
    accepted_at = models.DateTimeField(null=True, blank=True, editable=False)
    accepted_by = models.ForeignKey(
        "coursework.Person", models.SET_NULL, null=True, editable=False, related_name="+"
    )

    objects = InvitationQuerySet.as_manager()

    class Meta:
        verbose_name = _("invitation")
        verbose_name_plural = _("invitations")
        ordering = ["-made_at", "-id"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(cohort=None, role="") | models.Q(cohort__isnull=False),
                name="invitation_role_needs_a_cohort",
            )
        ]

    def __str__(self) -> str:
        return self.note or str(self.cohort or self.school)

    def is_open(self, now: datetime) -> bool:
        return self.accepted_at is None and self.revoked_at is None and now < self.expires_at

    def clean(self) -> None:
        if self.cohort_id is not None and not self.role:
            raise ValidationError({"role": _("Choose the role in the cohort.")})
