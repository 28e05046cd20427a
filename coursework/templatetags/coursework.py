"""Words for pages: angles with unit and side, positions, local times with their zone."""

from datetime import date, datetime
from functools import lru_cache
from zoneinfo import ZoneInfo

from django import template
from django.utils.formats import get_format
from django.utils.safestring import SafeString
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from coursework import cautions, policies, setup_steps, skyline
from coursework.duties import Duties
from coursework.markdown import render as render_markdown
from coursework.models import Cohort, Decision, Drill, Instrument, Site
from coursework.wording import date_format, fixed, plain, said_of, short_date

register = template.Library()
register.filter("said_of", said_of)
register.filter("short_date", short_date)


@register.simple_tag(takes_context=True)
def duties(context) -> Duties:
    """What the person who reads the page does at the school."""
    return policies.duties_of(context["request"].user)


@register.simple_tag(takes_context=True)
def next_setup_step(context) -> setup_steps.Step | None:
    """What an administrator does next to set up the school; None where all is there."""
    person = context["request"].user
    if not (person.is_authenticated and policies.is_school_admin(person)):
        return None
    return setup_steps.next_step(person)


@register.simple_tag
def usual_cautions(method: str = "") -> list[cautions.Caution]:
    """What to keep in mind before going out; a method adds what is its own."""
    return cautions.cautions(method or "")


@register.filter
def markdown(text: str) -> SafeString:
    """The outline of a lesson as HTML that is safe to show."""
    return render_markdown(text)


@register.filter
def running_time(minutes: int) -> str:
    """Hours and minutes since the start of a lesson, such as '0:05'."""
    return f"{minutes // 60}:{minutes % 60:02d}"


@register.filter
def degrees(value: float | None, places: int = 1) -> str:
    """An angle without a side, such as '2.1°'; a dash where there is none."""
    return "–" if value is None else f"{fixed(value, places)}°"


@register.filter
def short_degrees(value: float) -> str:
    """An angle as it was entered, without zeros behind it, such as '15°' or '4.5°'."""
    return f"{plain(round(float(value), 3))}°".replace("-", "−")


@register.filter
def bearing(value: float) -> str:
    """A true bearing with three places before the point, such as '045°' or '301.5°'."""
    whole, _point, rest = f"{round(float(value) % 360.0, 1) % 360.0:.1f}".partition(".")
    if rest == "0":
        return f"{whole:0>3}°"
    return f"{whole:0>3}{get_format('DECIMAL_SEPARATOR')}{rest}°"


@register.filter
def side(value: float | None) -> str:
    """A signed angle in words, such as '2.1° to the right'; positive is to the right."""
    if value is None:
        return "–"
    size = degrees(abs(value))
    if f"{abs(float(value)):.1f}" == "0.0":
        return size
    return _("%s to the right") % size if value > 0 else _("%s to the left") % size


@register.filter
def east_west(value: float) -> str:
    """A declination in words, such as '2.6° east'."""
    size = degrees(abs(value))
    return _("%s east") % size if value >= 0 else _("%s west") % size


@register.filter
def metres(value: float) -> str:
    """A distance in whole metres, or from 10 km on in kilometres, such as '840 m', '12.3 km'."""
    return f"{value:.0f} m" if value < 10_000.0 else f"{fixed(value / 1000.0)} km"


@register.filter
def latitude(value: float) -> str:
    """Degrees north or south, such as '46.7200° N'."""
    return f"{abs(value):.4f}° " + (_("N") if value >= 0 else _("S"))


@register.filter
def longitude(value: float) -> str:
    """Degrees east or west, such as '8.1830° E'."""
    return f"{abs(value):.4f}° " + (_("E") if value >= 0 else _("W"))


@register.filter
def local_time(instant: datetime, zone: str | ZoneInfo) -> str:
    """An aware instant as a clock there shows it, such as 'Sat 20 June 2026, 09:30 CEST'."""
    return local_time_in(instant, zone, get_language())


def local_time_in(instant: datetime, zone: str | ZoneInfo, language: str | None) -> str:
    """As `local_time`, for lists that look up once which language they are in."""
    there = _there(instant, zone)
    return f"{_day(there.date(), language)}, {there:%H:%M} {zone_abbreviation(there)}"


@lru_cache(maxsize=2048)
def _day(day: date, _language: str | None) -> str:
    # Long lists say the same few days again and again, and a date takes its time to be worded.
    return date_format(day, "D j F Y")


@register.filter
def local_hour(instant: datetime, zone: str | ZoneInfo) -> str:
    """The time of day alone, such as '09:30 CEST'."""
    there = _there(instant, zone)
    return f"{there:%H:%M} {zone_abbreviation(there)}"


@register.filter
def local_day(instant: datetime, zone: str | ZoneInfo) -> str:
    """The date alone, such as 'Saturday 20 June 2026'."""
    return date_format(_there(instant, zone), "l j F Y")


def zone_abbreviation(local: datetime) -> str:
    """The zone's abbreviation at an aware time; where it has none, its offset ('UTC+03')."""
    name = local.tzname() or ""
    return f"UTC{name}" if name[:1] in "+-" else name


def _there(instant: datetime, zone: str | ZoneInfo) -> datetime:
    return instant.astimezone(ZoneInfo(zone) if isinstance(zone, str) else zone)


@register.filter
def stage(cohort: Cohort, today: date) -> str:
    """Whether a cohort is to come, running or over."""
    return cohort.stage(today)


@register.filter
def overdue(instrument: Instrument, today: date) -> bool:
    """Whether an instrument in use has not been checked in time."""
    return instrument.is_overdue(today)


@register.filter
def still_fits(decision: Decision, drill: Drill) -> bool:
    """Whether the drill is still held where and when a decision was made for."""
    return decision.still_fits(drill)


@register.inclusion_tag("coursework/skyline_chart.html")
def skyline_chart(site: Site) -> dict:
    """The skyline all around a site, drawn from north through east, south and west to north."""
    return {"site": site} | skyline.chart(site.profile)
