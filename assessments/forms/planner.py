"""What the planner shows: where, by which method, on which date, held to what."""

from dataclasses import dataclass
from datetime import date

from crispy_forms.bootstrap import AppendedText
from crispy_forms.layout import Column, Layout, Row
from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from assessments.sheets.tints import SCALES, Scale
from coursework.forms.bookings import FIRST_YEAR, LAST_YEAR
from coursework.forms.look import CrispyLook
from coursework.method_year import INTERVAL_MIN
from coursework.models import Method, Site
from solar.columns import SUN_METHODS

TOLERANCE_DEG = 15.0
METHOD_CHOICES = [(name, Method(name).label) for name in SUN_METHODS]


@dataclass(frozen=True)
class Asked:
    """What was asked for; degrees, minutes."""

    site: Site
    method: str
    day: date
    interval_min: float
    tolerance_deg: float
    scale: Scale

    @property
    def method_name(self) -> str:
        return str(Method(self.method).label)

    @property
    def query(self) -> dict[str, str]:
        """As the parameters of an address, without the site."""
        return {
            "method": self.method,
            "day": self.day.isoformat(),
            "interval": f"{self.interval_min:g}",
            "tolerance": f"{self.tolerance_deg:g}",
            "tints": self.scale.name,
        }


class PlannerForm(CrispyLook, forms.Form):
    """Whatever is left out has its usual value, so that a bare address works."""

    site = forms.ModelChoiceField(
        label=_("Site"), queryset=Site.objects.none(), required=False, empty_label=None
    )
    method = forms.ChoiceField(label=_("Method"), choices=METHOD_CHOICES, required=False)
    day = forms.DateField(
        label=_("Date"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    interval = forms.FloatField(
        label=_("Between marks"), required=False, min_value=1.0, max_value=600.0
    )
    tolerance = forms.DecimalField(
        label=_("Tolerance ±"),
        required=False,
        min_value=0,
        max_value=180,
        decimal_places=2,
    )
    tints = forms.ChoiceField(
        label=_("Tints show"),
        choices=[("size", _("how far off")), ("sided", _("how far and to which side"))],
        required=False,
    )

    def __init__(self, given, *, site: Site, sites: QuerySet[Site], today: date) -> None:
        usual = {
            "site": str(site.pk),
            "method": SUN_METHODS[0],
            "day": today.isoformat(),
            "interval": f"{INTERVAL_MIN:g}",
            "tolerance": f"{TOLERANCE_DEG:g}",
            "tints": "size",
        }
        asked = {name: given.get(name, "") for name in usual}
        super().__init__({name: asked[name] or usual[name] for name in usual})
        self._site = site
        self.fields["site"].queryset = sites
        for name in ("interval", "tolerance"):
            self.fields[name].widget.attrs |= {"step": "any", "inputmode": "decimal"}

    def layout(self):
        return Layout(
            Row(
                Column("site"),
                Column("method"),
                Column("day"),
                Column(AppendedText("interval", _("min"))),
                Column(AppendedText("tolerance", "°")),
                Column("tints"),
            )
        )

    def clean_day(self):
        day = self.cleaned_data["day"]
        if day is not None and not FIRST_YEAR <= day.year <= LAST_YEAR:
            raise ValidationError(
                _("The sun is computed for the years %(first)s to %(last)s only."),
                params={"first": FIRST_YEAR, "last": LAST_YEAR},
            )
        return day

    @property
    def asked(self) -> Asked:
        """What a valid form asks for."""
        found = self.cleaned_data
        return Asked(
            site=found["site"] or self._site,
            method=found["method"],
            day=found["day"],
            interval_min=found["interval"],
            tolerance_deg=float(found["tolerance"]),
            scale=SCALES[found["tints"]],
        )
