"""Fields for numbers and clock times as people write them in the field."""

import re
from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from assessments.observations import number_text
from coursework.decimals import with_point
from coursework.solar_words import in_words
from coursework.wording import short_date
from solar.clock import ClockError, resolve_local, zone_of

# Written out since float() also takes "1e3", "1_0", "nan" and digits of other scripts.
_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)", re.ASCII)
_CLOCK = re.compile(
    r"(?:(?P<day>\d{4}-\d\d-\d\d)[ T]+)?"
    r"(?P<hour>\d{1,2})[:.]?(?P<minute>\d\d)(?:[:.]?(?P<second>\d\d))?"
    r" ?(?P<offset>Z|[+-]\d\d:\d\d)?",
    re.ASCII,
)


class NumberField(forms.CharField):
    """A decimal number as text of the batch format; a comma or a point before the decimals.

    `lowest` and `highest` are both allowed; `above` is not.
    """

    def __init__(self, *, lowest=None, highest=None, above=None, missing=None, **kwargs):
        self.lowest, self.highest, self.above = lowest, highest, above
        kwargs.setdefault("widget", forms.TextInput())
        kwargs["widget"].attrs |= {"inputmode": "decimal", "autocomplete": "off"}
        super().__init__(max_length=20, **kwargs)
        if missing is not None:
            self.error_messages["required"] = missing

    def clean(self, value) -> str:
        typed = super().clean(value)
        if not typed:
            return ""
        text = with_point(typed.removesuffix("°"))
        if not _NUMBER.fullmatch(text):
            raise ValidationError(_("“%(typed)s” is not a number."), params={"typed": typed})
        number = float(text)
        self._check_range(number)
        return number_text(number)

    def _check_range(self, number: float) -> None:
        limits = {"lowest": self.lowest, "highest": self.highest, "above": self.above}
        limits = {name: f"{limit:g}" for name, limit in limits.items() if limit is not None}
        if self.above is not None and number <= self.above:
            raise ValidationError(_("Must be more than %(above)s."), params=limits)
        too_low = self.lowest is not None and number < self.lowest
        too_high = self.highest is not None and number > self.highest
        if not too_low and not too_high:
            return
        if self.highest is None:
            raise ValidationError(_("Must be %(lowest)s or more."), params=limits)
        if self.lowest is None:
            raise ValidationError(_("Must be %(highest)s or less."), params=limits)
        raise ValidationError(_("Must be from %(lowest)s to %(highest)s."), params=limits)


class ClockField(forms.CharField):
    """A time of day as typed; `read_clock` puts it on a date once the date is known."""

    def __init__(self, *, missing=None, **kwargs):
        attributes = {"inputmode": "text", "autocomplete": "off", "placeholder": _("HH:MM")}
        kwargs.setdefault("widget", forms.TextInput())
        kwargs["widget"].attrs |= attributes | {"data-clock": "", "spellcheck": "false"}
        super().__init__(max_length=32, **kwargs)
        if missing is not None:
            self.error_messages["required"] = missing


def date_field(label, initial: date | None, *, required: bool = True) -> forms.DateField:
    """A date as the browser's calendar gives it, or as people write it."""
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    field = forms.DateField(
        label=label,
        required=required,
        initial=initial,
        widget=widget,
        input_formats=["%Y-%m-%d", "%d/%m/%Y", "%d.%m.%Y"],
    )
    field.error_messages |= {
        "required": _("Enter the date."),
        "invalid": _("Enter a date such as 2026-06-21."),
    }
    return field


class TickedChoices(forms.MultipleChoiceField):
    widget = forms.CheckboxSelectMultiple


def read_clock(typed: str, *, day: date, zone: str) -> datetime:
    """The aware time that a clock of `zone` showed as `typed` on `day`.

    Takes 09:15, 9.15, 0915 or 09:15:30, with a date before it where it is another day, and
    with the offset behind it where the clocks were put back. ValidationError says what is wrong.
    """
    found = _CLOCK.fullmatch(typed.strip())
    if found is None:
        raise ValidationError(
            _("“%(typed)s” is not a time such as 09:15 or 09:15:30."), params={"typed": typed}
        )
    hour, minute, second = (int(found[name] or 0) for name in ("hour", "minute", "second"))
    if hour > 23 or minute > 59 or second > 59:
        raise ValidationError(_("There is no time of day “%(typed)s”."), params={"typed": typed})
    try:
        local_day = date.fromisoformat(found["day"]) if found["day"] else day
    except ValueError as error:
        raise ValidationError(
            _("“%(day)s” is not a date."), params={"day": found["day"]}
        ) from error
    naive = datetime.combine(local_day, time(hour, minute, second))
    if found["offset"]:
        return datetime.fromisoformat(f"{naive.isoformat()}{found['offset']}")
    try:
        place = zone_of(zone)
    except ClockError as error:
        raise ValidationError(in_words(error.sentence)) from error
    try:
        return resolve_local(naive, place)
    except ClockError as error:
        raise _unplaced(naive, place) from error


def _unplaced(naive: datetime, zone: ZoneInfo) -> ValidationError:
    """What to type where the clocks repeat a time; how it comes where they leave it out."""
    moments = [naive.replace(tzinfo=zone, fold=fold) for fold in (0, 1)]
    said = {"time": clock_text(naive), "day": short_date(naive.date()), "zone": zone.key}
    if moments[0].astimezone(UTC) > moments[1].astimezone(UTC):
        return ValidationError(
            _(
                "%(time)s on %(day)s does not exist in %(zone)s: the clocks are put forward over "
                "it. Look at the time again."
            ),
            params=said,
        )
    earlier, later = (f"{clock_text(naive)}{moment.isoformat()[-6:]}" for moment in moments)
    return ValidationError(
        _(
            "%(time)s on %(day)s happens twice in %(zone)s, because the clocks are put back. "
            "Write %(earlier)s for the first time, %(later)s for the second."
        ),
        params=said | {"earlier": earlier, "later": later},
    )


def clock_text(moment: datetime, *, day: date | None = None) -> str:
    """An aware local time as `read_clock` takes it, with its date where that is not `day`."""
    text = f"{moment:%H:%M:%S}" if moment.second else f"{moment:%H:%M}"
    return text if day is None or moment.date() == day else f"{moment:%Y-%m-%d} {text}"


def signed_text(size: str, side: str) -> str:
    """A size and a side as a signed number, right or east positive; blank stays blank."""
    if not size or side in {"right", "east"} or float(size) == 0.0:
        return size
    return f"-{size}"


def size_and_side(signed: str, sides: tuple[str, str]) -> tuple[str, str]:
    """The reverse of `signed_text`; `sides` are the positive and the negative one."""
    return signed.removeprefix("-"), sides[1] if signed.startswith("-") else sides[0]
