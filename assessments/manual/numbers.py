"""What the numbers mean: the split, the verdict, and one line worked through."""

import math
from datetime import datetime
from types import SimpleNamespace
from zoneinfo import ZoneInfo

from django.utils.formats import number_format
from django.utils.translation import gettext as _

from assessments.manual import scored
from assessments.manual.examples import SUMMER, worked_example
from assessments.manual.parts import Figure, Heading, Page, Part, Rows, Text
from assessments.sheets import words
from assessments.sheets.north_words import eastward
from assessments.sheets.place_words import coordinates
from assessments.sheets.words import degrees
from assessments.uncertainty import standard_parts
from coursework.wording import date_format
from solar.decision import COVERAGE


def pages() -> list[Page]:
    return [
        Page(
            "split",
            _("The split: what the method did, what the student did"),
            _("Why a measured result is taken apart, and how."),
            _split,
        ),
        Page(
            "verdict",
            _("The check and the verdict"),
            _("How sure the check is, and what “too close to call” means."),
            _verdict,
        ),
        Page(
            "example",
            _("One line worked through"),
            _("From two marks on a meadow to the verdict, with every number on the way."),
            _example,
        ),
    ]


def _split() -> list[Part]:
    numbers = worked_example().numbers
    said = {
        "error": words.turn(numbers.error_deg),
        "method": words.turn(numbers.method_error_deg),
        "own": words.turn(numbers.own_error_deg),
    }
    return [
        Text(
            _(
                "Every improvised method has an error of its own at a place, a date and an hour. "
                "A student who follows it perfectly still lays a line that is off by that much. So "
                "a measured result is the sum of two parts:"
            )
        ),
        Text(
            _(
                "- the [method’s error](term:method-error): what a perfect practitioner would have "
                "laid, less what was asked for. It belongs to place, date and hour; nobody is to "
                "blame for it, and nobody earns credit when a mistake cancels it;\n"
                "- the [own error](term:own-error): the rest. That is what the student did."
            )
        ),
        Text(
            _(
                "Errors are degrees to the right or to the left of where the line should point, "
                "seen by someone who looks along it. In the [example](page:example) the result was "
                "%(error)s; the method itself was %(method)s at that hour; so the student’s own "
                "error was %(own)s. A good result can hide a large own error, and a poor one may "
                "have been laid without any fault."
            )
            % said
        ),
        Heading(_("A correction declared before the check")),
        Text(
            _(
                "A student who knows the method’s error may turn the line on purpose. Said before "
                "the check, it is a [declared correction](term:declared-correction): the method’s "
                "error is then the student’s to deal with, and the whole error counts as their "
                "own, split into choosing the correction and laying the line."
            )
        ),
        Heading(_("How finely it could be marked")),
        Text(
            _(
                "Where a line runs through marks on the ground, the "
                "[marking scatter](term:marking-scatter) says how much one careful line differs "
                "from the next. It explains an own error; it never alters a verdict."
            )
        ),
    ]


def _verdict() -> list[Part]:
    return [
        Text(
            _(
                "A line is checked by compass, by the shadow of a plumb line, from a surveyed "
                "landmark, or directly. No check is exact. Its parts are standard uncertainties; "
                "they are added as squares, and the root is doubled: that is the "
                "[expanded uncertainty](term:expanded-uncertainty), printed as ±."
            )
        ),
        Rows(
            _("The verdict by the guarded rule (JCGM 106)"),
            (_("Verdict"), _("When")),
            (
                (
                    _("within the standard"),
                    _("the error is at most the tolerance less the uncertainty"),
                ),
                (
                    _("outside the standard"),
                    _("the error is more than the tolerance and the uncertainty together"),
                ),
                (_("too close to call"), _("anything in between: the check cannot tell")),
            ),
        ),
        Text(
            _(
                "“Too close to call” is a statement about the check, not about the student. Lay "
                "again, or check with something finer. Where the uncertainty is as large as the "
                "[tolerance](term:tolerance), no line can be shown to be within it; that is said "
                "before the drill. A standard may choose the plain rule instead: then the "
                "uncertainty is printed but not used."
            )
        ),
        Heading(_("Which check is the finest")),
        Text(
            _(
                "A direction to a surveyed landmark needs no magnet and no clock. The shadow of a "
                "plumb line needs the time to some seconds. A compass needs the "
                "[declination](term:declination) of place and date, and its own "
                "[correction](term:instrument-correction); keep knives, belts, vehicles and wire "
                "fences away from it."
            )
        ),
        Heading(_("What a degree costs")),
        Text(
            _(
                "After one kilometre along a line that is 1° off you stand %(metres)s m to its "
                "side; 10° off, %(more)s m."
            )
            % {
                "metres": _fixed(words.sideways_m(1.0), 1),
                "more": _fixed(words.sideways_m(10.0), 0),
            }
        ),
    ]


def _example() -> list[Part]:
    example = worked_example()
    numbers, drawing = example.numbers, example.drawing
    site = scored.NORTHERN
    return [
        Text(
            _(
                "The place is %(place)s, a meadow of the invented school (%(where)s, %(height)s m "
                "above the sea); the day %(day)s. The student sets two marks at the tip of the "
                "shadow of a stick 1 m long and lays north from them. The tolerance is "
                "%(tolerance)s, judged on the result by the guarded rule."
            )
            % {
                "place": site["name"],
                "where": coordinates(SimpleNamespace(**site)),
                "height": _fixed(site["elevation_m"], 0),
                "day": date_format(SUMMER, "j F Y"),
                "tolerance": words.tolerance(numbers.tolerance_deg),
            }
        ),
        Heading(_("1. What a perfect practitioner lays")),
        _sun_and_shadow(drawing["marks"], site["zone"]),
        Text(
            _(
                "From the first tip to the second the line runs towards %(east)s. A quarter turn "
                "to the left of that is %(north)s, taken as north: the method’s error is "
                "**%(method)s**."
            )
            % {
                "east": words.bearing(drawing["method_deg"] + 90.0),
                "north": words.bearing(drawing["method_deg"]),
                "method": words.turn(numbers.method_error_deg),
            }
        ),
        Heading(_("2. What was really laid")),
        Text(_laid(example)),
        Heading(_("3. The split")),
        Text(
            _(
                "Result: **%(error)s** of true north. Less the method’s %(method)s, the student’s "
                "own error is **%(own)s**."
            )
            % {
                "error": words.turn(numbers.error_deg),
                "method": words.turn(numbers.method_error_deg),
                "own": words.turn(numbers.own_error_deg),
            }
        ),
        Figure(
            "worked",
            drawing,
            numbers,
            site["zone"],
            _("The line of this example. %(split)s") % {"split": words.split_sentence(numbers)},
        ),
        Heading(_("4. How sure the check is")),
        _uncertainty(example),
        Heading(_("5. The verdict")),
        Text(f"**{words.verdict_sentence(numbers)}**"),
        Text(
            " ".join(
                [
                    words.miss_sentence(numbers.error_deg),
                    words.scatter_sentence(numbers.marking_scatter_deg),
                ]
            )
        ),
        Text(
            _(
                "A flawless line would have been %(method)s at that hour, beyond the tolerance. "
                "The student’s own error lies on the other side and takes part of it back, so the "
                "line passes. The result alone would not have told that."
            )
            % {"method": words.turn(numbers.method_error_deg)}
        ),
    ]


def _fixed(value: float, places: int) -> str:
    """Rounded first: Django’s own formatting cuts digits off."""
    return number_format(round(value, places), places)


def _sun_and_shadow(marks: list[dict], zone: str) -> Rows:
    """A column a mark, so that it fits a phone."""
    times, *others = zip(*(_mark(mark, zone) for mark in marks), strict=True)
    names = (_("Sun’s bearing"), _("Sun’s height"), _("Shadow"), _("Tip lies"))
    return Rows(
        _("Sun and shadow at both marks"),
        (_("Local time"), *times),
        tuple((name, *cells) for name, cells in zip(names, others, strict=True)),
    )


def _mark(mark: dict, zone: str) -> tuple[str, ...]:
    local = datetime.fromisoformat(mark["time"]).astimezone(ZoneInfo(zone))
    length = math.hypot(mark["east_m"], mark["north_m"])
    tip = _("%(east)s, %(north)s of the stick") % {
        "east": _metres(mark["east_m"], _("m east"), _("m west")),
        "north": _metres(mark["north_m"], _("m north"), _("m south")),
    }
    return (
        f"{local:%H:%M}",
        words.bearing(mark["sun_azimuth_deg"]),
        degrees(mark["sun_elevation_deg"]),
        _("%(length)s m long, towards %(bearing)s")
        % {
            "length": _fixed(length, 3),
            "bearing": words.bearing(mark["shadow_bearing_deg"]),
        },
        tip,
    )


def _metres(value: float, positive: str, negative: str) -> str:
    return f"{_fixed(abs(value), 3)} {positive if value >= 0 else negative}"


def _laid(example) -> str:
    row, numbers = example.row, example.numbers
    declination = example.columns["declination_used_deg"]
    return _(
        "The instructor’s compass reads %(reading)s along the line. This compass needs a "
        "correction of %(correction)s; the declination there and then is %(declination)s (World "
        "Magnetic Model). Reading, correction and declination together: the line points to "
        "**%(laid)s** true."
    ) % {
        "reading": words.bearing(row["reading_deg"]),
        "correction": degrees(row["correction_deg"]),
        "declination": eastward(declination),
        "laid": words.bearing(numbers.laid_deg),
    }


def _uncertainty(example) -> Rows:
    row = {name: "" if value is None else str(value) for name, value in example.row.items()}
    expanded = example.numbers.expanded_uncertainty_deg
    parts = standard_parts(
        {**row, "declination_deg": ""},
        expanded_deg=expanded,
        last_time=example.row["times"][-1],
        check_time=None,
    )
    names = {"reading": _("Reading"), "declination": _("Declination"), "clock": _("Times")}
    total = math.sqrt(sum(part**2 for part in parts.values()))
    rows = [(names[name], degrees(part, 2)) for name, part in parts.items()]
    rows += [
        (_("Together, the root of the sum of squares"), degrees(total, 2)),
        (_("Expanded: times %(factor)s") % {"factor": f"{COVERAGE:g}"}, f"±{degrees(expanded)}"),
    ]
    return Rows(_("Standard uncertainties"), (_("Component"), _("Size")), tuple(rows))
