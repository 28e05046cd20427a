"""A date and a time of day typed by the clock of a place."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from solar.clock import ClockError, resolve_local


def day_field(**more) -> forms.DateField:
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    return forms.DateField(**{"label": _("Date"), "widget": widget} | more)


def asked_day(text: str | None) -> date | None:
    """The date of an address, to stand in a form already; None where it is none."""
    try:
        return date.fromisoformat(text or "")
    except ValueError:
        return None


def clock_field(**more) -> forms.TimeField:
    widget = forms.TimeInput(attrs={"type": "time"}, format="%H:%M")
    return forms.TimeField(**{"label": _("Time"), "widget": widget} | more)


def instant_of(form: forms.Form, zone: ZoneInfo | None) -> datetime | None:
    """The instant of the form's `day` and `clock` in a zone.

    None where one of the three is missing or, with an error at `clock`, where the clocks there
    leave the time out or repeat it.
    """
    day, clock = form.cleaned_data.get("day"), form.cleaned_data.get("clock")
    if not day or not clock or zone is None:
        return None
    naive = datetime.combine(day, clock)
    try:
        return resolve_local(naive, zone)
    except ClockError:
        form.add_error("clock", _unplaced(naive, zone))
        return None


def _unplaced(naive: datetime, zone: ZoneInfo) -> ValidationError:
    """The sentence for a local time that a change of clocks leaves out or repeats."""
    words = {"time": f"{naive:%H:%M}", "day": f"{naive:%Y-%m-%d}", "zone": zone.key}
    there_and_back = naive.replace(tzinfo=zone).astimezone(UTC).astimezone(zone)
    if there_and_back.replace(tzinfo=None) != naive:
        return ValidationError(
            _(
                "%(time)s on %(day)s does not exist in %(zone)s: the clocks are put forward "
                "over it. Choose an earlier or a later time."
            ),
            params=words,
        )
    return ValidationError(
        _(
            "%(time)s on %(day)s happens twice in %(zone)s, because the clocks are put back. "
            "Choose a time before or after the repeated hour."
        ),
        params=words,
    )
