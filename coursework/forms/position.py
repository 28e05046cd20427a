"""A field for a position, typed in any of the ways in which positions are written."""

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from coursework.coordinates import POSITION_HELP, Position, entry_text, parse_position
from coursework.geographic import PositionError


class PositionField(forms.CharField):
    """Cleans to a `Position` (latitude_deg, longitude_deg), or None where blank is allowed.

    `initial` may be such a pair or a text. `highest_latitude_deg` limits it to both sides.
    """

    def __init__(self, *, highest_latitude_deg: float = 90.0, missing=None, **kwargs):
        self.highest_latitude_deg = highest_latitude_deg
        kwargs.setdefault("help_text", POSITION_HELP)
        kwargs.setdefault("max_length", 100)
        kwargs.setdefault("widget", forms.TextInput())
        kwargs["widget"].attrs |= {"autocomplete": "off", "spellcheck": "false"}
        super().__init__(**kwargs)
        if missing is not None:
            self.error_messages["required"] = missing

    def prepare_value(self, value):
        return value if value is None or isinstance(value, str) else entry_text(value)

    def clean(self, value) -> Position | None:
        typed = super().clean(value)
        if not typed:
            return None
        try:
            position = parse_position(typed)
        except PositionError as error:
            raise ValidationError(str(error)) from error
        if abs(position.latitude_deg) > self.highest_latitude_deg:
            raise ValidationError(
                _("Between −%(limit)s and %(limit)s degrees of latitude: nearer to a pole "
                  "directions lose their meaning."),
                params={"limit": f"{self.highest_latitude_deg:g}"},
            )  # fmt: skip
        return position

    def has_changed(self, initial, data) -> bool:
        return super().has_changed(self.prepare_value(initial), data)
