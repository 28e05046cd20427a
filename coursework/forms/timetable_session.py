"""One session of a proposed timetable, put by hand."""

from dataclasses import replace
from datetime import timedelta
from zoneinfo import ZoneInfo

from crispy_forms.layout import Column, Layout, Row
from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from coursework.forms.look import CrispyLook
from coursework.forms.moments import clock_field, day_field, instant_of
from coursework.timetable.problem import INDOORS, WHOLE, Placed
from coursework.timetable.question import Question


class SessionForm(CrispyLook, forms.Form):
    """Start, site, group and staff; only what was asked for can be chosen."""

    prefix = "session"

    day = day_field()
    clock = clock_field(label=_("Start"), help_text=_("By the clock at the site."))
    site = forms.TypedChoiceField(label=_("Site"), coerce=int)
    group = forms.TypedChoiceField(
        label=_("Group"),
        coerce=int,
        help_text=_("The group chosen changes places with the one that has this hour."),
    )
    lead = forms.TypedChoiceField(label=_("Lead"), coerce=int)
    assistants = forms.TypedMultipleChoiceField(
        label=_("Assistants"), coerce=int, required=False, widget=forms.CheckboxSelectMultiple
    )

    def __init__(self, *args, question: Question, session: Placed, **kwargs):
        self.question, self.session = question, session
        asked = question.asked
        task = next(task for task in question.problem.tasks if task.key == session.task)
        self._task = task
        self._zones = {site.pk: site.zone_info for site in asked.sites}
        names = [(one.pk, one.name) for one in asked.sites]
        if INDOORS in task.starts:
            self._zones[INDOORS] = ZoneInfo(asked.zone)
            names.append((INDOORS, asked.lesson_place))
        at = question.at(session.start).astimezone(self._zones[session.place])
        kwargs["initial"] = {
            "day": at.date(),
            "clock": at.time(),
            "site": session.place,
            "group": session.party,
            "lead": session.workers[0] if session.workers else None,
            "assistants": list(session.workers[1:]),
        }
        super().__init__(*args, **kwargs)
        people = [(person.pk, person.name) for person in asked.staff]
        self.fields["site"].choices = names
        self.fields["lead"].choices = people
        self.fields["assistants"].choices = people
        self.fields["group"].choices = [(one.pk, one.name) for one in asked.groups]
        if session.party == WHOLE:
            del self.fields["group"]

    def layout(self):
        group = ["group"] if "group" in self.fields else []
        return Layout(
            Row(
                Column("day", css_class="col-sm-6"),
                Column("clock", css_class="col-sm-6"),
            ),
            "site",
            *group,
            "lead",
            "assistants",
        )

    def clean_day(self):
        day, hours = self.cleaned_data["day"], self.question.asked.hours
        if not hours.first <= day <= hours.last:
            raise ValidationError(_("The timetable is for other days."))
        return day

    def clean_group(self):
        group = self.cleaned_data["group"]
        if (self.session.task, group) in self.question.problem.fixed:
            raise ValidationError(_("That group has it already, in a drill that is planned."))
        return group

    def clean(self):
        given = super().clean()
        self.starts_at = instant_of(self, self._zones.get(given.get("site")))
        if self.starts_at is not None and self.starts_at <= self.question.asked.now:
            self.add_error("clock", _("That hour is over."))
        return given

    @property
    def changed(self) -> Placed:
        """The session as it was put."""
        given, question = self.cleaned_data, self.question
        lead = given["lead"]
        start = round((self.starts_at - question.origin) / timedelta(minutes=1))
        return replace(
            self.session,
            start=start,
            place=given["site"],
            party=given.get("group", self.session.party),
            workers=(lead, *(one for one in given["assistants"] if one != lead)),
            cost=self._task.starts.get(given["site"], {}).get(start, 0),
        )
