"""Forms for what is measured of a person: the hand against the sky, and the paces."""

from crispy_forms.bootstrap import AppendedText
from crispy_forms.layout import Layout
from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from coursework.forms.look import CrispyLook
from coursework.models import HandMeasurement, Person
from coursework.models.paces import DISTANCE_M, PACES, PACES_PER_100_M
from coursework.wording import fixed
from solar.methods.hands import hand_deg

LEAST_DEG, MOST_DEG = 2.0, 30.0


class HandForm(CrispyLook, forms.Form):
    """What a person's hand covers, from its breadth and reach or as degrees."""

    breadth_cm = forms.FloatField(
        label=_("Breadth of the hand"),
        required=False,
        min_value=3.0,
        max_value=20.0,
        error_messages={
            "min_value": _("A hand is at least 3 cm broad."),
            "max_value": _("A hand is at most 20 cm broad."),
        },
        help_text=_("Across the four fingers, held together as for counting."),
    )
    reach_cm = forms.FloatField(
        label=_("Reach"),
        required=False,
        min_value=20.0,
        max_value=120.0,
        error_messages={
            "min_value": _("The reach is at least 20 cm."),
            "max_value": _("The reach is at most 120 cm."),
        },
        help_text=_("From the eye to the hand, with the arm stretched."),
    )
    degrees_per_hand = forms.FloatField(
        label=_("Or degrees a hand covers"),
        min_value=LEAST_DEG,
        max_value=MOST_DEG,
        required=False,
        error_messages={
            "min_value": _("A hand covers at least 2 degrees."),
            "max_value": _("A hand covers at most 30 degrees."),
        },
        help_text=_(
            "Where it was measured against a known angle. Many hands cover 8 to 11 degrees; one "
            "that is 10 cm broad and 60 cm from the eye covers 9.5. Leave all three blank where "
            "it was never measured."
        ),
    )

    def __init__(self, *args, person: Person, **kwargs):
        last = person.hand_measurements.select_related("measured_by").first()
        kwargs.setdefault("initial", self._initial(person, last))
        super().__init__(*args, **kwargs)

    def layout(self):
        return Layout(
            AppendedText("breadth_cm", "cm"),
            AppendedText("reach_cm", "cm"),
            AppendedText("degrees_per_hand", "°"),
        )

    @staticmethod
    def _initial(person: Person, last: HandMeasurement | None) -> dict:
        if last is not None and last.breadth_cm and last.degrees == person.degrees_per_hand:
            return {"breadth_cm": last.breadth_cm, "reach_cm": last.reach_cm}
        return {"degrees_per_hand": person.degrees_per_hand}

    def clean(self):
        cleaned = super().clean()
        breadth, reach = cleaned.get("breadth_cm"), cleaned.get("reach_cm")
        degrees = cleaned.get("degrees_per_hand")
        if self.errors:
            return cleaned
        if (breadth is None) != (reach is None):
            missing = "reach_cm" if reach is None else "breadth_cm"
            self.add_error(missing, _("Breadth and reach go together: enter both, or degrees."))
        elif breadth is not None:
            covered = hand_deg(breadth_m=breadth / 100.0, reach_m=reach / 100.0)
            if degrees is not None:
                self.add_error(
                    "degrees_per_hand",
                    ValidationError(
                        _(
                            "Breadth and reach give %(covered)s°. Leave the degrees blank, or "
                            "breadth and reach."
                        ),
                        params={"covered": fixed(covered)},
                    ),
                )
            elif not LEAST_DEG <= covered <= MOST_DEG:
                self.add_error(
                    "breadth_cm",
                    _(
                        "Breadth and reach like these make a hand of less than 2 or more than "
                        "30 degrees."
                    ),
                )
        return cleaned

    @property
    def numbers(self) -> dict:
        """What `services.measure_hand` takes."""
        cleaned = self.cleaned_data
        return {
            "breadth_cm": cleaned["breadth_cm"],
            "reach_cm": cleaned["reach_cm"],
            "degrees": cleaned["degrees_per_hand"],
        }


class PaceForm(CrispyLook, forms.Form):
    """A count of paces over a measured distance."""

    paces = forms.IntegerField(
        label=_("Paces counted"),
        required=False,
        min_value=PACES[0],
        max_value=PACES[1],
        help_text=_(
            "Every step, or every second one: as the person counts on the way. The mean of there "
            "and back is better than one way."
        ),
    )
    distance_m = forms.FloatField(
        label=_("Measured distance"),
        required=False,
        min_value=DISTANCE_M[0],
        max_value=DISTANCE_M[1],
        help_text=_("On ground like that of the drills. Leave both blank to take a count back."),
    )

    def __init__(self, *args, person: Person, **kwargs):
        last = person.pace_measurements.first()
        given = {"paces": last and last.paces, "distance_m": (last and last.distance_m) or 100.0}
        kwargs.setdefault("initial", given)
        super().__init__(*args, **kwargs)

    def layout(self):
        return Layout("paces", AppendedText("distance_m", "m"))

    def clean(self):
        cleaned = super().clean()
        paces, distance_m = cleaned.get("paces"), cleaned.get("distance_m")
        if self.errors or paces is None:
            # A distance alone is what the form starts with: nothing was counted over it.
            return cleaned
        if distance_m is None:
            self.add_error("distance_m", _("Enter the distance the paces were counted over."))
        elif not PACES_PER_100_M[0] <= 100.0 * paces / distance_m <= PACES_PER_100_M[1]:
            self.add_error(
                "paces",
                ValidationError(
                    _("That would be %(paces)s paces for 100 m; 20 to 400 can be."),
                    params={"paces": f"{100.0 * paces / distance_m:.0f}"},
                ),
            )
        return cleaned

    @property
    def numbers(self) -> dict:
        """What `services.measure_paces` takes."""
        paces = self.cleaned_data["paces"]
        distance_m = None if paces is None else self.cleaned_data["distance_m"]
        return {"paces": paces, "distance_m": distance_m}
