"""What a small fault of stick, ground or patience does to a line, computed for one meadow."""

from collections.abc import Callable
from datetime import timedelta
from functools import lru_cache

from django.utils.translation import gettext as _

from assessments.manual import scored
from assessments.manual.examples import SUMMER
from assessments.manual.parts import Heading, Page, Part, Rows, Text
from assessments.sheets import words
from coursework.wording import date_format
from solar import mistakes
from solar.bearings import difference_deg
from solar.mistakes import UPRIGHT, Place, Stick

LONGER, LEAN_DEG, SLOPE_DEG, HASTY_MIN, USUAL_MIN = 1.1, 5.0, 5.0, 5, 15
MARK_U_M = 0.005
_CLOCKS = ("09:30", "11:30", "13:30")
_FIRST_LAST = ("08:30", "20:00")
Worst = tuple[float, float]


def pages() -> list[Page]:
    return [
        Page(
            "faults",
            _("What a small fault does"),
            _("A longer twin, a leaning stick, a slope, hasty marks: what each does to a line."),
            _parts,
        )
    ]


@lru_cache(maxsize=1)
def meadow() -> Place:
    site = scored.NORTHERN
    return Place(
        latitude_deg=site["latitude_deg"],
        longitude_deg=site["longitude_deg"],
        elevation_m=site["elevation_m"],
    )


def leaning(bearing: float) -> Stick:
    return Stick(lean_deg=LEAN_DEG, lean_towards_deg=bearing)


def falling(bearing: float) -> Place:
    return mistakes.sloping(meadow(), slope_deg=SLOPE_DEG, downhill_deg=bearing)


def _worst(line: Callable[[float], float], plain: float) -> Worst:
    return mistakes.worst_turn(line, plain_deg=plain)


@lru_cache(maxsize=8)
def shadow_tip_faults(clock: str) -> dict[str, float | Worst]:
    """Turns of a shadow-tip line about a local time, degrees; pairs are worst turn and bearing."""
    middle = scored.at(SUMMER, clock)
    times = mistakes.around(middle, apart=timedelta(minutes=USUAL_MIN))
    hasty = mistakes.around(middle, apart=timedelta(minutes=HASTY_MIN))
    plain = mistakes.shadow_tip_line(times, place=meadow())

    def line(place=None, sticks=(UPRIGHT, UPRIGHT)) -> float:
        return mistakes.shadow_tip_line(times, place=place or meadow(), sticks=sticks)

    longer = line(sticks=(UPRIGHT, Stick(length_m=LONGER)))
    return {
        "longer": float(difference_deg(longer, plain)),
        "leaning": _worst(lambda b: line(sticks=(leaning(b), leaning(b))), plain),
        "moved": _worst(lambda b: line(sticks=(UPRIGHT, leaning(b))), plain),
        "slope": _worst(lambda b: line(falling(b)), plain),
        "hasty": float(difference_deg(mistakes.shadow_tip_line(hasty, place=meadow()), plain)),
        "scatter": mistakes.shadow_tip_scatter_deg(times, place=meadow(), mark_u_m=MARK_U_M),
        "hasty_scatter": mistakes.shadow_tip_scatter_deg(hasty, place=meadow(), mark_u_m=MARK_U_M),
    }


@lru_cache(maxsize=1)
def other_faults() -> dict[str, dict[str, float | Worst]]:
    """The same for equal shadows, the shortest, and the first and last."""
    place = meadow()
    early = scored.at(SUMMER, "10:30")
    equal = mistakes.equal_shadow_line(early, place=place)
    after = scored.at(SUMMER, "09:00")
    shortest = mistakes.shortest_shadow_line(after, place=place)
    ends = tuple(scored.at(SUMMER, clock) for clock in _FIRST_LAST)
    first_last = mistakes.first_last_line(ends, place=place)

    def turned(line: float, plain: float) -> float:
        return float(difference_deg(line, plain))

    return {
        "equal-shadow": {
            "longer": turned(
                mistakes.equal_shadow_line(early, place=place, later=Stick(length_m=LONGER)), equal
            ),
            "leaning": _worst(
                lambda b: mistakes.equal_shadow_line(early, place=place, stick=leaning(b)), equal
            ),
            "slope": _worst(lambda b: mistakes.equal_shadow_line(early, place=falling(b)), equal),
        },
        "shortest-shadow": {
            "longer": turned(
                mistakes.shortest_shadow_line(after, place=place, stick=Stick(length_m=LONGER)),
                shortest,
            ),
            "leaning": _worst(
                lambda b: mistakes.shortest_shadow_line(after, place=place, stick=leaning(b)),
                shortest,
            ),
            "slope": _worst(
                lambda b: mistakes.shortest_shadow_line(after, place=falling(b)), shortest
            ),
        },
        "first-last": {
            "longer": turned(
                mistakes.first_last_line(ends, place=place, lengths_m=(1.0, LONGER)), first_last
            ),
            "leaning": _worst(
                lambda b: mistakes.first_last_line(ends, place=place, stick=leaning(b)), first_last
            ),
            "slope": _worst(lambda b: mistakes.first_last_line(ends, place=falling(b)), first_last),
        },
    }


def _said(value: float | Worst) -> str:
    if not isinstance(value, tuple):
        return words.signed(value)
    turn, towards = value
    size = words.degrees(abs(turn))
    if round(abs(turn), 1) == 0.0:
        return size
    return _("up to %(size)s (towards %(bearing)s)") % {
        "size": size,
        "bearing": words.bearing(towards, 0),
    }


def _parts() -> list[Part]:
    site = scored.NORTHERN
    place = {"place": site["name"], "day": date_format(SUMMER, "j F Y")}
    hours = [shadow_tip_faults(clock) for clock in _CLOCKS]
    names = {
        "longer": _("The second mark by a stick a tenth longer than its twin"),
        "leaning": _("A stick that leans 5° and stays as it is"),
        "moved": _("A stick that leans 5° only at the second mark"),
        "slope": _("Ground that falls by 5°"),
        "hasty": _("Marks 5 minutes apart: turn of the line"),
        "scatter": _("Scatter of a careful line, marks 15 minutes apart"),
        "hasty_scatter": _("Scatter of a careful line, marks 5 minutes apart"),
    }
    rows = tuple(
        (name, *(words.degrees(one[key]) if "scatter" in key else _said(one[key]) for one in hours))
        for key, name in names.items()
    )
    return [
        Text(
            _(
                "Each number says by how much the line turns, beside what a faultless stick would "
                "have laid at the same place and time: %(place)s, %(day)s, a stick of 1 m, marks "
                "set to 5 mm. For a lean or a slope it is the worst direction, named in brackets."
            )
            % place
        ),
        Heading(_("Shadow-tip line")),
        Rows(
            _("Middle of both marks, local time; marks 15 minutes apart unless said otherwise"),
            (_("Fault"), *_CLOCKS),
            rows,
        ),
        Text(_shadow_tip_words(hours)),
        Heading(_("Methods that lay the line from the foot of the stick")),
        _other_rows(),
        Text(
            _(
                "Equal shadows: forenoon mark at 10:30, and the longer twin, or the lean, as the "
                "row says; the longer twin stands there in the afternoon. First and last shadow: "
                "at 08:30 and 20:00, and the longer twin is laid along the later one. A stick that "
                "is longer all day changes no direction."
            )
        ),
        Heading(_("What to take from it")),
        Text(
            _(
                "- Leave the stick alone between marks: that matters most of all.\n"
                "- One stick for both shadows. Where two are laid off, measure them against each "
                "other.\n"
                "- A lean that stays does nothing to a shadow-tip line on level ground: both tips "
                "move by the same piece. It does turn every line that starts from the foot.\n"
                "- On a slope, note its fall and direction: the shadow-tip line is then worked out "
                "on that slope. For the other methods it stands as a remark, and is in no number.\n"
                "- Hurry costs no direction but much fineness: a third of the time, three times "
                "the scatter."
            )
        ),
    ]


def _shadow_tip_words(hours: list[dict]) -> str:
    return _(
        "In %(minutes)s minutes the tip moves no more than a hand’s breadth or two, and a tenth of "
        "the shadow’s length is about as much: so the longer twin "
        "turns the line by %(turn)s at 09:30. Marks 5 minutes apart make a line that points the "
        "same way, but each careful try scatters by %(hasty)s instead of %(usual)s."
    ) % {
        "minutes": USUAL_MIN,
        "turn": words.degrees(abs(hours[0]["longer"])),
        "hasty": words.degrees(hours[0]["hasty_scatter"]),
        "usual": words.degrees(hours[0]["scatter"]),
    }


def _other_rows() -> Rows:
    found = other_faults()
    columns = {
        "equal-shadow": _("Equal shadows"),
        "shortest-shadow": _("Shortest shadow"),
        "first-last": _("First and last shadow"),
    }
    names = {
        "longer": _("One stick a tenth longer than its twin"),
        "leaning": _("A stick that leans 5°"),
        "slope": _("Ground that falls by 5°"),
    }
    return Rows(
        _("Turn of the line"),
        (_("Fault"), *columns.values()),
        tuple(
            (name, *(_said(found[method][key]) for method in columns))
            for key, name in names.items()
        ),
    )
