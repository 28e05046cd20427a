"""The sentences of `solar` in the reader's language: it speaks English and knows no other."""

import re
from typing import Any

from django.utils.formats import number_format
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as _

from coursework.models.methods import Method
from solar.sentences import Sentence

TEMPLATES = (
    _("At least %(fewest)s readings are needed to tell the scatter."),
    _("The readings are more than %(widest)g° apart: at least one is a slip."),
    _("the magnetic models at hand hold %(first)s to %(last)s only; give a declination_deg."),
    _("the magnetic model of those years has no published error; give a declination_deg."),
    _(
        "the horizontal field here is %(field).0f nT; below %(least).0f nT a compass cannot be "
        "used."
    ),
    _("the sun stood within %(near).0f degrees of the zenith; a plumb line had no usable shadow."),
    _(
        "the sun stood at %(height).1f degrees; a shadow longer than %(longest).0f lengths of "
        "the plumb line cannot be used."
    ),
    _("the sun was below the skyline of this place; a plumb line had no shadow."),
    _(
        "%(time)s exists twice in %(zone)s, since the clocks are put back: write it with its "
        "offset."
    ),
    _("%(time)s does not exist in %(zone)s: the clocks are put forward over it."),
    _("%(day)s does not exist in %(zone)s: the calendar skips it."),
    _("“%(name)s” is not an IANA time zone."),
    _("degrees"),
    _("hands"),
    _("metres"),
    _("millimetres"),
    _("within a degree of a pole no method gives a direction."),
    _("it must be %(several)s or %(last)s."),
    _("the number of hands that were counted is required."),
    _("the landmark's true bearing is required."),
    _("the bearing in which the ground falls is required where slope_deg is not 0."),
    _("it is required."),
    _("%(column)s “%(value)s”: %(what)s"),
    _("%(column)s is blank: %(what)s"),
    _("“%(word)s” is not a bearing and an elevation, such as 90:4.5."),
    _("“%(word)s” has a bearing outside 0 to 360 degrees."),
    _("“%(word)s” has an elevation outside -5 to 60 degrees."),
    _("“%(word)s” gives a second elevation for the same bearing."),
    _(
        "the sun stood at only %(height).1f degrees; a shadow longer than %(longest).0f stick "
        "lengths has no end that can be marked."
    ),
    _(
        "the first mark of equal shadows is made in the forenoon; at this time the sun was past"
        " its highest."
    ),
    _(
        "the second mark of equal shadows is made in the afternoon; at this time the sun was "
        "not past its highest."
    ),
    _("the sun does not come down to the height of this mark in the same afternoon."),
    _("the same time is given twice; two different shadows are needed."),
    _("at this place the sun does not both rise and set on this date."),
    _("at this place the sun does not both rise and set in the night that begins on this date."),
    _(
        "on this date the sun culminates south of the zenith here, on the other side than the "
        "rule supposes, so the rule does not hold."
    ),
    _(
        "on this date the sun culminates north of the zenith here, on the other side than the "
        "rule supposes, so the rule does not hold."
    ),
    _("at the recorded time the sun was before its highest."),
    _("at the recorded time the sun was past its highest."),
    _("south of %(limit).0f degrees north the pole star is too low."),
    _("on this slope and at this hour the shadow never lands."),
    _(
        "the shadow was %(length).0f stick lengths long; beyond %(longest).0f it has no end "
        "that can be marked."
    ),
    _("the sun stood within %(near).0f degrees of the zenith; there is no usable shadow."),
    _("the southern cross, or the point it leads to, was below the horizon."),
    _("it must be from %(lowest)g to %(highest)g %(unit)s."),
    _("it must be at least %(lowest)g %(unit)s."),
    _("it must be more than %(lowest)g and at most %(highest)g %(unit)s."),
    _("it must be more than %(lowest)g %(unit)s."),
    _("it is too large to be a measurement."),
    _("it is not a finite number."),
    _("%(text)s is a date without a time of day."),
    _("%(text)s: the sun is computed for the years %(first)s to %(last)s only."),
    _("it must be day or night."),
    _("the sun is computed for the years %(first)s to %(last)s only."),
    _("two or more times are needed for %(method)s."),
    _("exactly two times are needed, or none with date and order for %(method)s."),
    _("one time is needed, or two for %(method)s."),
    _("exactly one time is needed for %(method)s."),
    _("marks of a shadow tip must be in order and at least a minute apart."),
    _("the two shadows must be of one day, or of one night."),
    _("it must be yes, no or blank."),
    _("the watch needs it where summer_time is blank too."),
    _("%(text)s is not an ISO 8601 time, such as 2026-06-21T10:30:00+02:00."),
    _("%(text)s carries no offset, so it needs a zone."),
    _("a time is missing beside a semicolon."),
    _("first-last needs it where times is blank."),
    _("it is not an ISO 8601 date, such as 2026-06-21."),
    _("a shadow check requires it."),
    _("at %(time)sZ the sun was below the skyline of this place."),
    _("at %(time)sZ the sun was below the horizon."),
    _("the sun was up, and no star to be seen."),
    _("the marks fall on one spot and make no line."),
    _("a stick as short as this leaves no line between its marks."),
)
"""Every template that `solar` writes out, so that it stands in the catalogue."""

_NUMBER = re.compile(r"%\((\w+)\)(?:\.(\d+)f|(g))")


def in_words(sentence: str) -> str:
    """A sentence of `solar` in the language in force, its numbers as that language writes them.

    Text that was made elsewhere comes back as it is.
    """
    if not isinstance(sentence, Sentence):
        return sentence
    values = {name: _in_words(name, value) for name, value in sentence.values.items()}

    def written(found: re.Match[str]) -> str:
        name, places, general = found.groups()
        value = f"{values[name]:g}" if general else number_format(values[name], int(places))
        return value.replace("%", "%%")

    return _NUMBER.sub(written, gettext(sentence.template)) % values


def _in_words(name: str, value: Any) -> Any:
    if name == "method":
        return Method(value).label
    return in_words(value) if isinstance(value, str) else value
