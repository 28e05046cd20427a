"""Lines of lists as HTML, written in one go: a template for each line would take ten times as long.

What is not marked as HTML is escaped. Words that a translator knows from elsewhere are the same.
"""

from collections.abc import Callable, Iterable
from datetime import date, datetime

from django.urls import NoReverseMatch, reverse
from django.utils.html import conditional_escape, format_html
from django.utils.safestring import SafeString
from django.utils.translation import get_language, ngettext
from django.utils.translation import gettext as _

from coursework.models import Cohort, Course, Drill, Person, Role, Site
from coursework.models.bookings import Booking
from coursework.templatetags.coursework import latitude, local_time_in, longitude
from coursework.wording import date_format

DAY = "j F Y"
_PLACE = 9_090_909


def addresses(name: str) -> Callable[[int], str]:
    """The addresses of many things of one kind, with the pattern looked up once."""
    before, after = reverse(name, args=[_PLACE]).split(str(_PLACE))
    return lambda pk: f"{before}{pk}{after}"


def parts(*said: str) -> SafeString:
    """What is said of one thing, with a point between; what is blank is left out."""
    return SafeString(
        '<span class="point"> </span>'.join([conditional_escape(each) for each in said if each])
    )


def note(said: str) -> SafeString:
    return SafeString(f'<span class="row-note">{conditional_escape(said)}</span>')


def line(
    address: str, title: str, *notes: SafeString, beside: str = "", kind: str = ""
) -> SafeString:
    """One line: a link with a title and what is said below it; `beside` it other ways."""
    beside, title = conditional_escape(beside), conditional_escape(title)
    return SafeString(
        f'<li class="row-line{" " if kind else ""}{kind}"><a class="row-main" href="{address}">'
        f'<span class="row-title">{title}</span> {" ".join(notes)}</a>{beside}</li>'
    )


def together(lines: Iterable[SafeString]) -> SafeString:
    return SafeString("\n".join(lines))


def drills(
    rows: Iterable[Booking],
    *,
    now: datetime | None = None,
    hide_cohort: bool = False,
    hide_kind: bool = False,
    with_outcome: bool = False,
    log: bool = False,
) -> SafeString:
    """Drills and planned lessons of `with_places`, lessons with their groups too; with
    `with_outcome` drills alone, also of `with_last_outcome`."""
    practice, language, lesson = _("practice"), get_language(), _("lesson")
    drill_page, lesson_page = addresses("drill-detail"), addresses("planned-lesson-detail")
    off = format_html("<strong>{}</strong>", _("cancelled"))
    outcomes = {"go": _("goes out"), "stay": _("does not go out")}
    past_outcomes = {"go": _("went out"), "stay": _("did not go out")}
    undecided, unrecorded = _("not decided yet"), _("no decision recorded")

    def outcome(drill: Drill) -> str:
        if now is None or drill.starts_at <= now:
            return past_outcomes.get(drill.last_outcome) or unrecorded
        return outcomes.get(drill.last_outcome) or undecided

    mark_address = addresses("planned-lesson-attendance")
    try:
        log_address = addresses("attempt-log") if log else None
    except NoReverseMatch:
        log_address = None

    def beside(booking: Booking) -> str:
        """What is done at once with one that is held."""
        if not log or booking.is_cancelled:
            return ""
        if booking.is_lesson:
            return _button("outline-primary", mark_address(booking.pk), _("Take attendance"))
        return _button("primary", log_address(booking.pk), _("Log a result")) if log_address else ""

    def one(booking: Booking) -> SafeString:
        said = parts(
            off if booking.is_cancelled else "",
            lesson if booking.is_lesson and not hide_kind else "",
            local_time_in(booking.starts_at, booking.zone, language),
            booking.place_name,
            "" if hide_cohort else booking.cohort.name,
            ", ".join(group.name for group in booking.groups.all()) if booking.is_lesson else "",
            "" if booking.is_lesson or booking.assessed else practice,
            outcome(booking) if with_outcome and not booking.is_cancelled else "",
        )
        page = lesson_page if booking.is_lesson else drill_page
        return line(
            page(booking.pk),
            booking.title,
            note(said),
            beside=beside(booking),
            kind="cancelled" if booking.is_cancelled else "",
        )

    return together(one(booking) for booking in rows)


def _button(kind: str, address: str, words: str) -> SafeString:
    return format_html(
        '<a class="btn btn-{} no-print" href="{}">{}</a>', SafeString(kind), address, words
    )


def cohorts(rows: Iterable[Cohort], *, today: date | None = None) -> SafeString:
    """Cohorts of `with_numbers`; with a date also whether they are running."""
    address, between = addresses("cohort-detail"), _("%(first)s to %(last)s")

    def one(cohort: Cohort) -> SafeString:
        first, last = date_format(cohort.starts_on, DAY), date_format(cohort.ends_on, DAY)
        days = between % {"first": first, "last": last}
        number = ngettext("%(number)s student", "%(number)s students", cohort.students)
        said = parts(
            cohort.course.title,
            days,
            number % {"number": cohort.students},
            cohort.stage(today) if today else "",
        )
        return line(address(cohort.pk), cohort.name, note(said))

    return together(one(cohort) for cohort in rows)


def people(rows: Iterable[Person]) -> SafeString:
    """People of `with_roles`, with every role they hold."""
    address = addresses("person-detail")
    labels = {value: str(label) for value, label in Role.choices}
    closed = format_html("<strong>{}</strong>", _("Account closed"))
    never = _("never signed in")

    def one(person: Person) -> SafeString:
        roles = [f"{labels[role.role]}, {role.cohort.name}" for role in person.enrolments.all()]
        if person.is_school_admin:
            roles.insert(0, _("school administrator"))
        state = closed if not person.is_active else "" if person.last_login else never
        said = parts(*(roles or [_("no role yet")]), state)
        return line(address(person.pk), person.name or person.username, note(said))

    return together(one(person) for person in rows)


def sites(rows: Iterable[Site]) -> SafeString:
    """Sites of `with_numbers`."""
    address = addresses("site-detail")

    def one(site: Site) -> SafeString:
        marks = ngettext(
            "%(number)s reference mark", "%(number)s reference marks", site.mark_number
        )
        said = parts(
            f"{latitude(site.latitude_deg)}, {longitude(site.longitude_deg)}",
            site.zone,
            _("skyline recorded") if site.horizon else _("open horizon"),
            marks % {"number": site.mark_number},
        )
        return line(address(site.pk), site.name, note(said))

    return together(one(site) for site in rows)


def courses(rows: Iterable[Course]) -> SafeString:
    """Courses of the list, one for each with the numbers of what belongs to it."""
    address = addresses("course-detail")

    def one(course: Course) -> SafeString:
        lessons, exercises, cohorts = (
            course.lesson_number,
            course.exercise_number,
            course.cohort_number,
        )
        said = parts(
            course.version_in_words,
            ngettext("%(number)s lesson", "%(number)s lessons", lessons) % {"number": lessons},
            ngettext("%(number)s exercise", "%(number)s exercises", exercises)
            % {"number": exercises},
            ngettext("%(number)s cohort", "%(number)s cohorts", cohorts) % {"number": cohorts},
        )
        beside = ""
        if course.draft_pk and course.draft_pk != course.pk:
            beside = format_html(
                '<a class="btn btn-outline-primary no-print" href="{}">{}'
                '<span class="visually-hidden"> {}</span></a>',
                address(course.draft_pk),
                _("Draft of the next version"),
                course.title,
            )
        return line(address(course.pk), course.title, note(said), beside=beside)

    return together(one(course) for course in rows)
