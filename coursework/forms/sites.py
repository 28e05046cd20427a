"""The form for a site."""

from zoneinfo import available_timezones

from crispy_forms.bootstrap import AppendedText
from crispy_forms.layout import Column, Fieldset, Layout, Row
from django import forms
from django.core.exceptions import ValidationError
from django.utils.functional import cached_property
from django.utils.translation import gettext_lazy as _

from coursework.forms.checks import taken
from coursework.forms.look import CrispyLook
from coursework.forms.position import PositionField
from coursework.forms.skyline import SkylineField
from coursework.models import CompassHeading, Site
from coursework.models.places import way
from coursework.zones import zone_at

FARTHEST_RALLY_M = 50_000.0
ELEVATION = _("Between −500 and 9000 metres.")
SLOPE = _("Between 0 and 45 degrees.")
BEARING = _("Between 0 and 360 degrees.")
STUDENTS = _("Between 1 and 50.")


def beyond(sentence) -> dict:
    """The same sentence for a number that is too small and for one that is too large."""
    return {"min_value": sentence, "max_value": sentence}


class SiteForm(CrispyLook, forms.ModelForm):
    position = PositionField(label=_("Position"), highest_latitude_deg=89.0)
    rally_position = PositionField(
        label=_("Position of the rally point"), highest_latitude_deg=89.0, required=False
    )
    horizon = SkylineField(
        label=_("Skyline"),
        required=False,
        help_text=_(
            "What hides the sun, as seen from the site: true bearing and elevation in degrees, "
            "joined by straight lines all around. Leave it empty where the horizon is flat and "
            "open."
        ),
    )

    class Meta:
        model = Site
        fields = [
            "name",
            "elevation_m",
            "zone",
            "horizon",
            "slope_deg",
            "downhill_deg",
            "hazards",
            "emergency",
            "rally_words",
            "lost_steps",
            "safe_heading_deg",
            "safe_heading_to",
            "students_per_instructor",
            "drills_at_once",
        ]
        widgets = {
            "zone": forms.TextInput(attrs={"list": "zones", "autocomplete": "off"}),
            **{
                name: forms.Textarea(attrs={"rows": 3})
                for name in ("hazards", "emergency", "lost_steps")
            },
            "rally_words": forms.Textarea(attrs={"rows": 2}),
        }
        labels = {"safe_heading_deg": _("Safe heading"), "safe_heading_to": _("It reaches")}
        help_texts = {
            "elevation_m": _("Above sea level."),
            "zone": _("Found from the position where you leave it empty; such as Europe/Zurich."),
            "slope_deg": _("0 where the ground is level. It counts for shadow-tip lines."),
            "downhill_deg": _("The true bearing in which the ground falls."),
            "emergency": _("Nearest road, where a telephone works, whom to call, landing place."),
            "rally_words": _("How everybody recognises it, such as “barn by the bridge”."),
            "lost_steps": _("What a student does who no longer knows the way: one step a line."),
            "safe_heading_deg": _("The way to walk until something is met that cannot be missed."),
            "safe_heading_to": _("Such as “the valley road, 2 km at most”."),
            "students_per_instructor": _("Leave it empty where the school has no rule."),
        }
        error_messages = {
            "elevation_m": beyond(ELEVATION),
            "slope_deg": beyond(SLOPE),
            "downhill_deg": beyond(BEARING),
            "students_per_instructor": beyond(STUDENTS),
        }

    def __init__(self, *args, instance: Site, initial=None, **kwargs):
        places = {}
        if instance.pk is not None:
            places = {"position": instance.position, "rally_position": instance.rally_position}
        super().__init__(*args, instance=instance, initial=places | (initial or {}), **kwargs)
        self.fields["zone"].required = False
        self.fields["safe_heading_deg"].choices = [("", _("not decided")), *CompassHeading.choices]

    @classmethod
    def redrawn(cls, data, *, instance: Site) -> "SiteForm":
        """The form with what was typed, unchecked, after a button that only changes the form."""
        names = cls.base_fields
        typed = {n: f.widget.value_from_datadict(data, {}, n) for n, f in names.items()}
        return cls(instance=instance, initial=typed)

    def layout(self):
        return Layout(
            Fieldset(_("Position"), "name", "position", AppendedText("elevation_m", "m"), "zone"),
            Fieldset(
                _("Ground and skyline"),
                Row(
                    Column(AppendedText("slope_deg", "°")),
                    Column(AppendedText("downhill_deg", _("° true"))),
                ),
                "horizon",
            ),
            Fieldset(
                _("Safety"),
                "hazards",
                "emergency",
                "students_per_instructor",
                "drills_at_once",
            ),
            Fieldset(
                _("Getting back"),
                "rally_words",
                "rally_position",
                "safe_heading_deg",
                "safe_heading_to",
                "lost_steps",
            ),
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
        self._find_zone()
        self._check_rally_point()
        heading, reached = (
            self.cleaned_data.get(name) for name in ("safe_heading_deg", "safe_heading_to")
        )
        if heading is None and reached and "safe_heading_deg" not in self.errors:
            self.add_error("safe_heading_deg", _("Say which way that is."))
        if heading is not None and not reached and "safe_heading_to" not in self.errors:
            self.add_error("safe_heading_to", _("Say what is reached that way."))
        return super().clean()

    def _find_zone(self) -> None:
        position = self.cleaned_data.get("position")
        if position is None or self.cleaned_data.get("zone") or "zone" in self.errors:
            return
        latitude_deg, longitude_deg = position
        self.cleaned_data["zone"] = zone_at(latitude_deg=latitude_deg, longitude_deg=longitude_deg)
        if not self.cleaned_data["zone"]:
            self.add_error("zone", _("No zone is known there: write it."))

    def _check_rally_point(self) -> None:
        site, rally = (self.cleaned_data.get(name) for name in ("position", "rally_position"))
        if site is None or rally is None:
            return
        distance_m = way(site, rally)[1]
        if distance_m > FARTHEST_RALLY_M:
            self.add_error(
                "rally_position",
                ValidationError(
                    _("That is %(distance)s km from the site: one of the two is mistyped."),
                    params={"distance": f"{distance_m / 1000.0:.0f}"},
                ),
            )

    def _post_clean(self):
        position, rally = (self.cleaned_data.get(n) for n in ("position", "rally_position"))
        if position is not None:
            self.instance.latitude_deg, self.instance.longitude_deg = position
        if not self.errors:
            place = (None, None) if rally is None else tuple(rally)
            self.instance.rally_latitude_deg, self.instance.rally_longitude_deg = place
        super()._post_clean()
