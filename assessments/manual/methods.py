"""The page of each method by sun or stars: how, when it works, when it fails, what it gives."""

from collections.abc import Callable
from dataclasses import dataclass

from django.utils.translation import gettext as _

from assessments.manual import scored
from assessments.manual.examples import example_of
from assessments.manual.methods_words import WORDS
from assessments.manual.parts import Figure, Heading, Page, Part, Rows, Text
from assessments.sheets import words
from assessments.sheets.drawing_words import local_times
from coursework.models import Method
from coursework.wording import date_format, short_date

ORDER = (
    Method.SHADOW_TIP,
    Method.EQUAL_SHADOW,
    Method.SHORTEST_SHADOW,
    Method.FIRST_LAST,
    Method.WATCH,
    Method.HANDS,
    Method.POLE_STAR,
    Method.SOUTHERN_CROSS,
)
_DAY = ("08:00", "10:00", "12:00", "13:30", "15:00", "17:00")
_FORENOON = ("09:00", "10:00", "11:00", "12:00", "13:00")
_NIGHT = ("20:00", "22:00", "00:00", "02:00", "04:00")
_OFF_MIN = (-30, -10, 0, 10, 30)


@dataclass(frozen=True)
class MethodWords:
    """The words of one page, as Markdown in the language in force."""

    summary: str
    how: str
    works: str
    fails: str
    numbers: str


def pages() -> list[Page]:
    return [_page(method) for method in ORDER]


def _page(method: Method) -> Page:
    said = WORDS[method]()
    title = words.capital(str(method.label))
    return Page(method.value, title, said["summary"], lambda: _parts(method, MethodWords(**said)))


def _parts(method: Method, said: MethodWords) -> list[Part]:
    return [
        Text(said.summary),
        Heading(_("How it is done")),
        Text(said.how),
        _figure(method),
        Heading(_("When it works")),
        Text(said.works),
        Heading(_("When it fails")),
        Text(said.fails),
        Heading(_("What the numbers mean here")),
        Text(said.numbers),
        *_TABLES[method](),
    ]


def _figure(method: Method) -> Figure:
    example = example_of(method.value)
    site = scored.SOUTHERN if method == Method.SOUTHERN_CROSS else scored.NORTHERN
    marks = example.drawing["marks"]
    day = date_format(scored.at(scored.DAYS[1], "12:00"), "j F Y")
    if method == Method.HANDS:
        day = date_format(example.row["times"][0], "j F Y")
    said = {
        "place": site["name"],
        "day": day,
        "times": _(" and ").join(local_times(marks, site["zone"])),
        "split": words.split_sentence(example.numbers),
    }
    return Figure(
        name=method.value,
        drawing=example.drawing,
        numbers=example.numbers,
        zone=site["zone"],
        caption=_("An invented line at %(place)s, %(day)s, %(times)s local time. %(split)s") % said,
    )


def day_names() -> tuple[str, ...]:
    return tuple(short_date(day, "j M Y") for day in scored.DAYS)


def _cells(values) -> tuple[str, ...]:
    return tuple("–" if value is None else words.signed(value) for value in values)


def _by_hour(method: Method, clocks, caption: str, *, first: str, **more) -> list[Part]:
    errors = scored.errors_by_hour(method.value, clocks, **more)
    rows = tuple((clock, *_cells(row)) for clock, row in zip(clocks, errors, strict=True))
    return [Rows(caption, (first, *day_names()), rows), Text(_dash())]


def _dash() -> str:
    return _(
        "Left and right are those of someone who looks along the line. A dash: refused, with the "
        "sun (or the star) not to be seen, the shadow too long, or the rule not made for that hour."
    )


def _named(caption: str, southern: bool = False) -> str:
    return caption % {"place": (scored.SOUTHERN if southern else scored.NORTHERN)["name"]}


def _shadow_tip() -> list[Part]:
    caption = _named(
        _("The method’s own error at %(place)s, two marks 15 minutes apart, level ground")
    )
    return _by_hour(
        Method.SHADOW_TIP, _DAY, caption, first=_("First mark, local time"), minutes_apart=15
    )


def _equal_shadow() -> list[Part]:
    caption = _named(_("The method’s own error at %(place)s by the time of the forenoon mark"))
    return _by_hour(Method.EQUAL_SHADOW, _FORENOON, caption, first=_("Forenoon mark, local time"))


def _shortest() -> list[Part]:
    caption = _named(_("What marking early or late costs at %(place)s"))
    early = _("%(n)s minutes early")
    late = _("%(n)s minutes late")
    rows = []
    for minutes, errors in zip(_OFF_MIN, scored.shortest_errors(_OFF_MIN), strict=True):
        name = (early if minutes < 0 else late) % {"n": abs(minutes)}
        rows.append((name if minutes else _("at the sun’s noon"), *_cells(errors)))
    return [Rows(caption, (_("Marked"), *day_names()), tuple(rows))]


def _first_last() -> list[Part]:
    caption = _named(_("The method’s own error at %(place)s over the mountains of its skyline"))
    rows = (
        (_("first and last of a day"), *_cells(scored.first_last_errors("day"))),
        (_("last of a day, first of the next"), *_cells(scored.first_last_errors("night"))),
    )
    return [Rows(caption, (_("Shadows"), *day_names()), rows)]


def _watch() -> list[Part]:
    caption = _named(_("The method’s own error at %(place)s, a watch that shows local time"))
    return _by_hour(Method.WATCH, _DAY, caption, first=_("Local time"))


def _hands() -> list[Part]:
    caption = _("The method’s own error at %(place)s, a hand of %(hand)s, 15° of turn a hand") % {
        "place": scored.NORTHERN["name"],
        "hand": words.degrees(scored.HAND_DEG, 0),
    }
    return _by_hour(Method.HANDS, _DAY, caption, first=_("Local time"))


def _pole_star() -> list[Part]:
    caption = _named(_("Where the pole star stood at %(place)s, off true north"))
    return _by_hour(Method.POLE_STAR, _NIGHT, caption, first=_("Local time"))


def _southern_cross() -> list[Part]:
    caption = _named(
        _("The method’s own error at %(place)s, four and a half lengths, off true south"), True
    )
    return _by_hour(Method.SOUTHERN_CROSS, _NIGHT, caption, first=_("Local time"), southern=True)


_TABLES: dict[Method, Callable[[], list[Part]]] = {
    Method.SHADOW_TIP: _shadow_tip,
    Method.EQUAL_SHADOW: _equal_shadow,
    Method.SHORTEST_SHADOW: _shortest,
    Method.FIRST_LAST: _first_last,
    Method.WATCH: _watch,
    Method.HANDS: _hands,
    Method.POLE_STAR: _pole_star,
    Method.SOUTHERN_CROSS: _southern_cross,
}
