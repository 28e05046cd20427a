"""The form for a reference mark of a site."""

import math

from crispy_forms.bootstrap import AppendedText
from crispy_forms.layout import Layout
from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from coursework.forms.checks import taken
from coursework.forms.look import CrispyLook
from coursework.forms.position import PositionField
from coursework.forms.sites import BEARING, beyond
from coursework.models import ReferenceMark
from coursework.models.places import MARK_U_DEG, way
from solar.travel import POINT_U_M

NEAREST_M, FARTHEST_M = 50.0, 300_000.0
LEAST_U_DEG = 0.05
UNCERTAINTY = _("Between 0.01 and 5 degrees.")


def u_from_points_deg(distance_m: float) -> float:
    """Standard uncertainty of a bearing between two points that each are known to POINT_U_M."""
    across_m = math.sqrt(2.0) * POINT_U_M
    return max(LEAST_U_DEG, round(math.degrees(math.atan2(across_m, distance_m)), 2))


class MarkForm(CrispyLook, forms.ModelForm):
    """A mark by coordinates, from which its bearing follows, or by a measured bearing."""

    position = PositionField(
        label=_("Coordinates of the mark"), highest_latitude_deg=89.0, required=False
    )
    bearing_deg = forms.FloatField(
        label=_("Or its true bearing"),
        required=False,
        min_value=0.0,
        max_value=360.0,
        error_messages=beyond(BEARING),
        help_text=_("From the site to the mark, from true north, where no coordinates are known."),
    )
    bearing_u_deg = forms.FloatField(
        label=_("Standard uncertainty of the bearing"),
        required=False,
        min_value=0.01,
        max_value=5.0,
        error_messages=beyond(UNCERTAINTY),
        help_text=_(
            "Leave it empty for 0.5° with a bearing (common practice), and with coordinates for "
            "what 5 m at both ends make of it. Every check of a line by this mark counts it."
        ),
    )

    class Meta:
        model = ReferenceMark
        fields = ["name"]
        help_texts = {"name": _("What is seen, such as “church spire”.")}

    def __init__(self, *args, instance: ReferenceMark, **kwargs):
        initial = {}
        if instance.pk is not None:
            known = instance.position
            initial = {
                "position": known,
                "bearing_deg": instance.bearing_deg if known is None else None,
                "bearing_u_deg": instance.bearing_u_deg,
            }
        super().__init__(*args, instance=instance, initial=initial, **kwargs)

    def layout(self):
        return Layout(
            "name",
            "position",
            AppendedText("bearing_deg", _("° true")),
            AppendedText("bearing_u_deg", "°"),
        )

    def clean(self):
        among = ReferenceMark.objects.filter(site=self.instance.site_id)
        if taken(self, "name", among):
            self.add_error("name", _("The site already has a mark of this name."))
        if not {"position", "bearing_deg"} & self.errors.keys():
            self._place()
        return super().clean()

    def _place(self) -> None:
        mark, position = self.instance, self.cleaned_data["position"]
        bearing_deg = self.cleaned_data["bearing_deg"]
        if position is None and bearing_deg is None:
            raise ValidationError(_("Write the mark’s coordinates, or its true bearing."))
        if position is not None and bearing_deg is not None:
            raise ValidationError(
                _("Write coordinates or a bearing, not both: one follows from the other.")
            )
        if position is None:
            mark.latitude_deg = mark.longitude_deg = None
            mark.bearing_deg, u_deg = bearing_deg, MARK_U_DEG
        else:
            distance_m = way(mark.site.position, position)[1]
            self._check_distance(distance_m)
            mark.latitude_deg, mark.longitude_deg = position
            mark.aim()
            u_deg = u_from_points_deg(distance_m)
        typed_u_deg = self.cleaned_data.get("bearing_u_deg")
        mark.bearing_u_deg = u_deg if typed_u_deg is None else typed_u_deg

    def _check_distance(self, distance_m: float) -> None:
        if distance_m < NEAREST_M:
            self.add_error(
                "position",
                ValidationError(
                    _(
                        "Only %(distance)s m from the site: coordinates give no certain bearing "
                        "below 50 m. Measure the bearing."
                    ),
                    params={"distance": f"{distance_m:.0f}"},
                ),
            )
        elif distance_m > FARTHEST_M:
            self.add_error(
                "position",
                ValidationError(
                    _("%(distance)s km from the site: nothing is seen that far."),
                    params={"distance": f"{distance_m / 1000.0:.0f}"},
                ),
            )
