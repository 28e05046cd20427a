"""What someone shares for an emergency, and only as long as they agree to it."""

from typing import Self

from django.core.validators import RegexValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _


class ContactQuerySet(models.QuerySet):
    def shared(self) -> Self:
        """Those of which at least one part is agreed to."""
        return self.exclude(Q(emergency_agreed_at=None) & Q(medical_agreed_at=None))


class Contact(models.Model):
    """An emergency contact and a medical note, each with the moment its owner agreed to it.

    Only the owner writes them. Withdrawing agreement deletes the text. Read them through
    `shared_emergency` and `shared_medical`, for people whom `policies.shared_contacts` allows.
    """

    person = models.OneToOneField("coursework.Person", models.CASCADE, related_name="contact")
    emergency_name = models.CharField(_("name of the contact"), max_length=120, blank=True)
    emergency_phone = models.CharField(
        _("telephone"),
        max_length=40,
        blank=True,
        validators=[
            RegexValidator(
                r"^\+?[0-9][0-9 ()/.-]{3,}$",
                _("A telephone number has digits, spaces and perhaps a + in front."),
            )
        ],
    )
    emergency_agreed_at = models.DateTimeField(null=True, blank=True, editable=False)
    medical_note = models.TextField(_("medical note"), max_length=1000, blank=True)
    medical_agreed_at = models.DateTimeField(null=True, blank=True, editable=False)

    objects = ContactQuerySet.as_manager()

    class Meta:
        verbose_name = _("emergency contact")
        verbose_name_plural = _("emergency contacts")
        ordering = ["person__name", "id"]

    def __str__(self) -> str:
        return str(self.person)

    @property
    def shared_emergency(self) -> tuple[str, str] | None:
        """Name and telephone to call in an emergency; None where not agreed to."""
        if self.emergency_agreed_at is None:
            return None
        return self.emergency_name, self.emergency_phone

    @property
    def shared_medical(self) -> str:
        """The medical note; blank where there is none or it is not agreed to."""
        return "" if self.medical_agreed_at is None else self.medical_note
