"""A field for a skyline: rows of bearing and elevation, pasted text, and a picture of both."""

from dataclasses import dataclass

from django import forms
from django.core.exceptions import ValidationError
from django.template.loader import render_to_string

from coursework import skyline
from coursework.solar_words import in_words
from solar.horizon import HorizonError, TerrainHorizon

LEAST_ROWS = 3


@dataclass(frozen=True)
class SkylineEntry:
    """What stands in the rows (bearing and elevation as typed) and in the box for pasted text."""

    rows: tuple[tuple[str, str], ...] = ()
    pasted: str = ""
    has_new_row: bool = False
    """Whether the last row was just asked for, and is the one to be filled in next."""

    @classmethod
    def of_text(cls, text: str) -> "SkylineEntry":
        words = (word.partition(":") for word in text.split())
        return cls(tuple((bearing, elevation) for bearing, _colon, elevation in words))

    @property
    def text(self) -> str:
        """Rows and pasted pairs as the text of a profile, its faults included."""
        typed = [
            f"{_number(bearing)}:{_number(elevation)}"
            for bearing, elevation in self.rows
            if bearing.strip() or elevation.strip()
        ]
        return " ".join([*typed, *skyline.pasted_pairs(self.pasted)])

    def profile(self) -> TerrainHorizon:
        """HorizonError says which pair is wrong."""
        return TerrainHorizon.parse(self.text)

    def after(self, action: str) -> "SkylineEntry":
        """The entry after a button of the editor: 'add', 'take' or 'remove-N'."""
        if action == "add":
            return SkylineEntry((*self.rows, ("", "")), self.pasted, has_new_row=True)
        if action == "take":
            return SkylineEntry.of_text(self.text)
        number = action.removeprefix("remove-")
        gone = int(number) if number.isdecimal() and len(number) < 6 else -1
        kept = (row for place, row in enumerate(self.rows) if place != gone)
        return SkylineEntry(tuple(kept), self.pasted)


def _number(typed: str) -> str:
    """One number as it was typed in a cell, a comma before the decimals made a point."""
    plain = typed.strip().removesuffix("°").replace("−", "-").replace(",", ".")
    return ",".join(plain.split())


class SkylineWidget(forms.Widget):
    """The editor; its parts are named after the field, `NAME_bearing` and so on."""

    template_name = "coursework/widgets/skyline.html"

    def value_from_datadict(self, data, files, name) -> SkylineEntry:
        def typed(part: str) -> list[str]:
            many = getattr(data, "getlist", None)
            return many(f"{name}_{part}") if many else list(data.get(f"{name}_{part}", []))

        rows = zip(typed("bearing"), typed("elevation"), strict=False)
        entry = SkylineEntry(tuple(rows), data.get(f"{name}_pasted", ""))
        action = data.get(f"{name}_action", "")
        return entry.after(action) if action else entry

    def value_omitted_from_data(self, data, files, name) -> bool:
        return f"{name}_bearing" not in data and f"{name}_pasted" not in data

    def id_for_label(self, id_):
        return ""

    def use_required_attribute(self, initial) -> bool:
        return False

    def get_context(self, name, value, attrs):
        context = super().get_context(name, None, attrs)
        entry = value if isinstance(value, SkylineEntry) else SkylineEntry.of_text(value or "")
        return context | editor(entry, name=name)

    def render(self, name, value, attrs=None, renderer=None):
        # The project's templates are not known to Django's own renderer of forms.
        return render_to_string(self.template_name, self.get_context(name, value, attrs))


def editor(entry: SkylineEntry, *, name: str) -> dict:
    """What the template of the editor needs."""
    rows = list(entry.rows)
    fresh = len(rows) - 1 if entry.has_new_row else None
    rows += [("", "")] * (LEAST_ROWS - len(rows))
    context = {"name": name, "rows": rows, "pasted": entry.pasted, "fresh": fresh}
    try:
        profile = entry.profile()
    except HorizonError as error:
        return context | {"fault": in_words(error.sentence)}
    if profile.is_open:
        return context
    return context | {"chart": skyline.chart(profile)}


class SkylineField(forms.Field):
    """Cleans to the text of a `TerrainHorizon`, sorted by bearing; blank for an open horizon."""

    widget = SkylineWidget

    def to_python(self, value) -> str:
        entry = value if isinstance(value, SkylineEntry) else SkylineEntry.of_text(value or "")
        try:
            return str(entry.profile())
        except HorizonError as error:
            raise ValidationError(in_words(error.sentence)) from error

    def has_changed(self, initial, data) -> bool:
        return (initial or "") != (data.text if isinstance(data, SkylineEntry) else data or "")
