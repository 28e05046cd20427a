"""Forms for sites and their reference marks."""

from zoneinfo import available_timezones

from crispy_forms.bootstrap import AppendedText
from crispy_forms.layout import Fieldset, Layout
from django import forms
from django.utils.functional import cached_property
from django.utils.translation import gettext_lazy as _

from coursework.forms.checks import taken
from coursework.forms.look import CrispyLook
from coursework.models import ReferenceMark, Site

LATITUDE = _("Between −89 and 89 degrees: nearer to a pole directions lose their meaning.")
LONGITUDE = _("Between −180 and 180 degrees.")
ELEVATION = _("Between −500 and 9000 metres.")
SLOPE = _("Between 0 and 45 degrees.")
BEARING = _("Between 0 and 360 degrees.")


def _beyond(sentence) -> dict:
    """The same sentence for a number that is too small and for one that is too large."""
    return {"min_value": sentence, "max_value": sentence}


LATITUDE = _("Between −89 and 89 degrees: nearer to a pole directions lose their meaning.")
LONGITUDE = _("Between −180 and 180 degrees.")
ELEVATION = _("Between −500 and 9000 metres.")
SLOPE = _("Between 0 and 45 degrees.")
BEARING = _("Between 0 and 360 degrees.")


def _beyond(sentence) -> dict:
    """The same sentence for a number that is too small and for one that is too large."""
    return {"min_value": sentence, "max_value": sentence}


class SiteForm(CrispyLook, forms.ModelForm):
    class Meta:
        model = Site
        fields = [
            "name",
            "latitude_deg",
            "longitude_deg",
            "elevation_m",
            "zone",
            "horizon",
            "slope_deg",
            "downhill_deg",
            "hazards",
            "emergency",
        ]
        widgets = {
            "zone": forms.TextInput(attrs={"list": "zones", "autocomplete": "off"}),
            "horizon": forms.Textarea(attrs={"rows": 3}),
            "hazards": forms.Textarea(attrs={"rows": 3}),
            "emergency": forms.Textarea(attrs={"rows": 3}),
        }
        help_texts = {
            "latitude_deg": _("Decimal degrees; south of the equator with a minus sign."),
            "longitude_deg": _("Decimal degrees; west of Greenwich with a minus sign."),
            "elevation_m": _("Above sea level."),
            "zone": _("The IANA name of the zone, such as Europe/Zurich."),
            "slope_deg": _("0 where the ground is level. It counts for shadow-tip lines."),
            "downhill_deg": _("The true bearing in which the ground falls."),
            "emergency": _("Meeting point, nearest road, where a telephone works, whom to call."),
        }
        error_messages = {
            "latitude_deg": _beyond(LATITUDE),
            "longitude_deg": _beyond(LONGITUDE),
            "elevation_m": _beyond(ELEVATION),
            "slope_deg": _beyond(SLOPE),
            "downhill_deg": _beyond(BEARING),
        }

    def layout(self):
        return Layout(
            Fieldset(
                _("Position"),
                "name",
                AppendedText("latitude_deg", "°"),
                AppendedText("longitude_deg", "°"),
                AppendedText("elevation_m", "m"),
                "zone",
            ),
            Fieldset(
                _("Ground and skyline"),
                "horizon",
                AppendedText("slope_deg", "°"),
                AppendedText("downhill_deg", _("° true")),
            ),
            Fieldset(_("Safety"), "hazards", "emergency"),
        )

    @cached_property
    def zones(self) -> list[str]:
        """Names to choose from, without the historical and the purely technical ones."""
        return sorted(
            name
            for name in available_timezones()
            if name == "UTC" or ("/" in name and not name.startswith(("Etc/", "SystemV/", "US/")))
        )

    def clean(self):
        among = Site.objects.filter(school=self.instance.school_id)
        if taken(self, "name", among):
            self.add_error("name", _("The school already has a site of this name."))
        return super().clean()


class MarkForm(CrispyLook, forms.ModelForm):
    class Meta:
        model = ReferenceMark
        fields = ["name", "bearing_deg"]
        help_texts = {
            "name": _("What is seen, such as “church spire”."),
            "bearing_deg": _("From the site to the mark, from true north."),
        }
        error_messages = {"bearing_deg": _beyond(BEARING)}

    def layout(self):
        return Layout("name", AppendedText("bearing_deg", _("° true")))

    def clean(self):
        among = ReferenceMark.objects.filter(site=self.instance.site_id)
        if taken(self, "name", among):
            self.add_error("name", _("The site already has a mark of this name."))
        return super().clean()
