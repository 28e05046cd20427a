"""The private address at which someone's calendar is read by a program of theirs."""

from typing import Self

from django.db import models
from django.utils import timezone
from django.utils.crypto import salted_hmac
from django.utils.translation import gettext_lazy as _


def feed_hash(token: str) -> str:
    """What is stored of the address's secret part: whoever reads the database cannot use it."""
    return salted_hmac("coursework.calendar.stored", token, algorithm="sha256").hexdigest()


class CalendarFeedQuerySet(models.QuerySet):
    def of_token(self, token: str) -> Self:
        return self.filter(token_hash=feed_hash(token), person__is_active=True)


class CalendarFeed(models.Model):
    """One address a person at most: a new one takes the place of the old."""

    person = models.OneToOneField("coursework.Person", models.CASCADE, related_name="calendar_feed")
    token_hash = models.CharField(max_length=64, unique=True, editable=False)
    made_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = CalendarFeedQuerySet.as_manager()

    class Meta:
        verbose_name = _("calendar address")
        verbose_name_plural = _("calendar addresses")

    def __str__(self) -> str:
        return str(self.person)
