"""What a timetable is to be made of."""

from datetime import date, time, timedelta

from crispy_forms.bootstrap import AppendedText
from crispy_forms.layout import Column, Fieldset, Layout, Row
from django import forms
from django.utils.translation import gettext_lazy as _

from coursework.forms.bookings import FIRST_YEAR, LAST_YEAR
from coursework.forms.look import CrispyLook
from coursework.forms.moments import clock_field, day_field
from coursework.forms.planned_lessons import zone_of
from coursework.forms.several import SeveralField
from coursework.models import Cohort, Exercise, Group, Person, Role, Site
from coursework.timetable.lessons import LessonsBy
from coursework.timetable.question import Asked
from coursework.timetable.windows import Hours

MOST_DAYS = 14
MOST_SESSIONS = 80
USUAL_DAYS = 5


class TimetableForm(CrispyLook, forms.Form):
    first = day_field(label=_("First day"))
    last = day_field(label=_("Last day"))
    begins = clock_field(
        label=_("Each day from"), initial=time(9, 0), help_text=_("By the clock at the site.")
    )
    ends = clock_field(label=_("Until"), initial=time(17, 0))
    minutes = forms.IntegerField(label=_("Length of a drill"), min_value=15, max_value=480)
    gap = forms.IntegerField(label=_("Free after each"), min_value=0, max_value=240)
    exercises = SeveralField(
        Exercise.objects.none(), label=_("Exercises"), widget=forms.CheckboxSelectMultiple
    )
    groups = SeveralField(
        Group.objects.none(), label=_("Groups"), widget=forms.CheckboxSelectMultiple
    )
    sites = SeveralField(
        Site.objects.none(),
        label=_("Sites"),
        widget=forms.CheckboxSelectMultiple,
        help_text=_(
            "Between two of them everybody is left time for the way, at the speed of the "
            "school’s settings."
        ),
    )
    staff = SeveralField(
        Person.objects.none(), label=_("Staff"), widget=forms.CheckboxSelectMultiple
    )
    lessons = forms.ChoiceField(
        label=_("What is placed where lessons have not been held"),
        choices=LessonsBy.choices,
        widget=forms.RadioSelect,
        help_text=_("Planned lessons stay where they are; what rests on them comes after them."),
    )
    lesson_place = forms.CharField(
        label=_("Where lessons are placed, in words"),
        required=False,
        max_length=120,
        help_text=_("Such as “school room”. Blank: at the sites below."),
    )

    def __init__(self, *args, cohort: Cohort, sites, staff, today: date, **kwargs):
        self.cohort = cohort
        # From tomorrow: the hours of today may be gone.
        first = max(today + timedelta(days=1), cohort.starts_on)
        given = {
            "first": first,
            "last": min(first + timedelta(days=USUAL_DAYS - 1), max(first, cohort.ends_on)),
            "minutes": 60,
            "gap": 15,
            "lessons": LessonsBy.PLANNED,
        }
        kwargs["initial"] = given | kwargs.get("initial", {})
        exercises = Exercise.objects.filter(course=cohort.course_id)
        groups = cohort.groups.all()
        own = staff.filter(
            enrolments__cohort=cohort, enrolments__role__in=(Role.LEAD, Role.ASSISTANT)
        ).distinct()
        offered = {"exercises": exercises, "groups": groups, "sites": sites, "staff": staff}
        # A school may have sites an ocean apart: those where the cohort has been come first, then
        # those that go by its clock.
        used = sites.filter(drills__cohort=cohort).distinct()
        alike = sites.filter(zone=zone_of(cohort))
        near = next((rows for rows in (used, alike) if rows.exists()), sites)
        ticked = {"exercises": exercises, "groups": groups, "sites": near, "staff": own}
        for name, rows in ticked.items():
            kwargs["initial"].setdefault(name, [row.pk for row in rows])
        super().__init__(*args, **kwargs)
        for name, rows in offered.items():
            self.fields[name].queryset = rows
        if not groups.exists():
            del self.fields["groups"]

    def layout(self):
        groups = ["groups"] if self.cohort.groups.exists() else []
        return Layout(
            Fieldset(
                _("When"),
                Row(Column("first", css_class="col-sm-6"), Column("last", css_class="col-sm-6")),
                Row(Column("begins", css_class="col-sm-6"), Column("ends", css_class="col-sm-6")),
                Row(
                    Column(AppendedText("minutes", _("min")), css_class="col-sm-6"),
                    Column(AppendedText("gap", _("min")), css_class="col-sm-6"),
                ),
            ),
            Fieldset(_("What and with whom"), "exercises", *groups),
            Fieldset(_("Lessons that come before"), "lessons", "lesson_place"),
            Fieldset(_("Where and by whom"), "sites", "staff"),
        )

    def clean(self):
        given = super().clean()
        first, last = given.get("first"), given.get("last")
        if first and last:
            if not FIRST_YEAR <= first.year <= last.year <= LAST_YEAR and last >= first:
                self.add_error("first", _("The sun is computed for 1990 to 2050 only."))
            elif last < first:
                self.add_error("last", _("The last day is before the first."))
            elif (last - first).days >= MOST_DAYS:
                self.add_error("last", _("At most %s days at a time.") % MOST_DAYS)
        begins, ends = given.get("begins"), given.get("ends")
        if begins and ends and ends <= begins:
            self.add_error("ends", _("The day ends before it begins."))
        number = len(given.get("exercises") or ()) * max(1, len(given.get("groups") or ()))
        if number > MOST_SESSIONS:
            self.add_error(
                "exercises",
                _("That makes %(number)s drills; at most %(most)s at a time.")
                % {"number": number, "most": MOST_SESSIONS},
            )
        return given

    def asked(self, now) -> Asked:
        given = self.cleaned_data
        return Asked(
            cohort=self.cohort,
            hours=Hours(
                first=given["first"],
                last=given["last"],
                begins=given["begins"],
                ends=given["ends"],
            ),
            minutes=given["minutes"],
            gap=given["gap"],
            exercises=tuple(given["exercises"]),
            sites=tuple(given["sites"]),
            staff=tuple(given["staff"]),
            groups=tuple(given.get("groups") or ()),
            lessons=LessonsBy(given["lessons"]),
            lesson_place=given["lesson_place"],
            usual_zone=zone_of(self.cohort),
            now=now,
        )
