"""The form for a planned lesson: at a site, or at a place in words."""

from crispy_forms.bootstrap import AppendedText
from crispy_forms.layout import Column, Layout, Row
from django import forms
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from coursework.conflicts import LessonPlan
from coursework.forms.bookings import BookingForm
from coursework.forms.drills import SiteChoices
from coursework.forms.moments import instant_of
from coursework.forms.several import SeveralField
from coursework.models import Cohort, Lesson, PlannedLesson, SchoolSettings, Site


def zone_of(cohort: Cohort) -> str:
    """The clock that a cohort goes by: of the site of its last drill, otherwise the school's."""
    drill = cohort.drills.select_related("site").first()
    return drill.site.zone if drill else SchoolSettings.of(cohort.course.school).zone


class PlannedLessonForm(BookingForm):
    years_words = _("Only the years %(first)s to %(last)s can be planned.")

    site = SiteChoices(
        label=_("Site"),
        queryset=Site.objects.none(),
        required=False,
        empty_label=_("at no site, indoors"),
    )
    place_zone = forms.ChoiceField(
        label=_("Time zone"), required=False, help_text=_("Only where no site is chosen.")
    )
    minutes = forms.IntegerField(
        label=_("Length"),
        required=False,
        min_value=5,
        max_value=1440,
        help_text=_("Blank: as in its plan."),
    )

    class Meta:
        model = PlannedLesson
        fields = [
            "lesson",
            "site",
            "place",
            "place_zone",
            "minutes",
            "lead",
            "assistants",
            "groups",
            "note",
        ]
        field_classes = {"assistants": SeveralField, "groups": SeveralField}
        widgets = {
            "assistants": forms.CheckboxSelectMultiple,
            "groups": forms.CheckboxSelectMultiple,
            "note": forms.Textarea(attrs={"rows": 2}),
        }
        labels = {"lesson": _("Lesson"), "place": _("Place in words")}
        help_texts = {
            "place": _("Such as “school room”, or where at the site. One of the two is needed."),
            "note": _("What those who come should know, such as what to bring."),
        }

    def __init__(self, *args, sites, staff, **kwargs):
        """`staff`: who may be named."""
        super().__init__(*args, **kwargs)
        cohort: Cohort = self.instance.cohort
        offered = Q(course=cohort.course_id)
        if self.instance.lesson_id is not None:
            # An older version of it, where the cohort has moved on and this has not.
            offered |= Q(pk=self.instance.lesson_id)
        lessons = Lesson.objects.filter(offered).order_by("position", "id")
        self.fields["lesson"].queryset = lessons
        self.fields["lesson"].empty_label = _("Choose one")
        self.fields["site"].queryset = sites
        self.fields["clock"].help_text = _("By the clock at the place.")
        self._offer_zones(cohort, sites)
        self.offer_people(staff)
        self.show_start()
        if self.instance.pk is None:
            self.initial["minutes"] = None

    def _offer_zones(self, cohort: Cohort, sites) -> None:
        new = self.instance.pk is None
        first = zone_of(cohort) if new else self.instance.place_zone
        if new:
            self.instance.place_zone = first
        school = SchoolSettings.of(cohort.course.school).zone
        zones = sorted({first, school, *sites.order_by().values_list("zone", flat=True)})
        self.fields["place_zone"].choices = [(zone, zone) for zone in zones]
        self.initial["place_zone"] = first
        if len(zones) == 1:
            del self.fields["place_zone"]

    @property
    def plan(self) -> LessonPlan | None:
        """What is planned so far; None while lesson, place or hour are missing or wrong."""
        if not self.is_bound:
            return None if self.instance.pk is None else LessonPlan.of(self.instance)
        if not self.has_all("lesson") or "place" in self.errors:
            return None
        return LessonPlan(planned=self.instance, **self.given_people)

    def layout(self):
        zone = ["place_zone"] if "place_zone" in self.fields else []
        return Layout(
            "lesson",
            Row(
                Column("day", css_class="col-sm-4"),
                Column("clock", css_class="col-sm-4"),
                Column(AppendedText("minutes", _("min")), css_class="col-sm-4"),
            ),
            "site",
            Row(
                Column("place", css_class="col-sm-7" if zone else ""),
                *(Column(name, css_class="col-sm-5") for name in zone),
            ),
            *self.people,
            "note",
            "reason",
        )

    def clean(self):
        cleaned = super().clean()
        site, lesson = cleaned.get("site"), cleaned.get("lesson")
        if site is None and not cleaned.get("place") and not {"site", "place"} & set(self.errors):
            self.add_error("place", _("Say where it is held: a site, or a place in words."))
        zone = cleaned.get("place_zone") or self.instance.place_zone
        if "place_zone" in self.fields:
            cleaned["place_zone"] = zone
        if cleaned.get("minutes") is None and lesson is not None and "minutes" not in self.errors:
            cleaned["minutes"] = lesson.minutes
        self.instance.place_zone, self.instance.site = zone, site
        starts_at = instant_of(self, self.instance.zone_info)
        if starts_at is not None:
            self.instance.starts_at = starts_at
            self._refuse_a_second_one(cleaned)
        return cleaned

    def _refuse_a_second_one(self, cleaned: dict) -> None:
        # A button pressed twice in the cold makes one lesson, not two.
        same = PlannedLesson.objects.filter(
            cohort=self.instance.cohort,
            lesson=cleaned.get("lesson"),
            site=cleaned.get("site"),
            place=cleaned.get("place", ""),
            starts_at=self.instance.starts_at,
        )
        if same.exclude(pk=self.instance.pk).exists():
            self.add_error(None, _("This lesson is planned already, at the same hour and place."))
