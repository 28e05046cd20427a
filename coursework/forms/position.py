"""A field for a position, typed in any of the ways in which positions are written."""

from django import forms
from django.core.exceptions import ValidationError
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from coursework.coordinates import (
    POSITION_HELP,
    Position,
    entry_text,
    parse_position,
    position_texts,
)
from coursework.geographic import PositionError
from coursework.zones import zone_at


def read_aloud(typed: str) -> dict:
    """What a page says below a typed position: all four ways of writing it, or what is wrong."""
    typed = typed.strip()
    if not typed:
        return {}
    try:
        position = parse_position(typed)
    except PositionError as error:
        return {"fault": str(error)}
    zone = zone_at(latitude_deg=position.latitude_deg, longitude_deg=position.longitude_deg)
    return {"texts": position_texts(position), "zone": zone}


class PositionInput(forms.TextInput):
    """A text field that shows below it, while one types, the position in all four ways."""

    def get_context(self, name, value, attrs):
        target = f"{(attrs or {}).get('id', f'id_{name}')}-forms"
        live = {
            "hx-get": reverse("position-read"),
            "hx-trigger": "input changed delay:400ms",
            "hx-target": f"#{target}",
            "hx-sync": "this:replace",
        }
        context = super().get_context(name, value, (attrs or {}) | live)
        return context | {"target": target} | read_aloud(str(value or ""))

    def _render(self, template_name, context, renderer=None):
        # The project's templates are not known to Django's own renderer of forms.
        box = super()._render(template_name, context, renderer)
        return render_to_string("coursework/widgets/position.html", context | {"box": box})


class PositionField(forms.CharField):
    """Cleans to a `Position` (latitude_deg, longitude_deg), or None where blank is allowed.

    `initial` may be such a pair or a text. `highest_latitude_deg` limits it to both sides.
    """

    def __init__(self, *, highest_latitude_deg: float = 90.0, missing=None, **kwargs):
        self.highest_latitude_deg = highest_latitude_deg
        kwargs.setdefault("help_text", POSITION_HELP)
        kwargs.setdefault("max_length", 100)
        kwargs.setdefault("widget", PositionInput())
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
