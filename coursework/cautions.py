"""The usual cautions (common practice, no source), for pages and for paper."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from coursework.models.methods import is_by_stars, is_travel

LIGHTNING_GAP_S = 30
LIGHTNING_WAIT_MIN = 30


@dataclass(frozen=True)
class Caution:
    """What it is about in a word or two, and what to do."""

    head: str
    text: str

    def __str__(self) -> str:
        return f"{self.head} {self.text}"


def cautions(method: str = "") -> list[Caution]:
    """The cautions before going out, the sun's first; `method` adds what is its own.

    By the stars and on the move, what is dangerous there takes the place of the sun.
    """
    return [
        *_first(method),
        Caution(
            _("Lightning:"),
            _(
                "leave ridges, lone trees and open ground at the first thunder, and do not wait "
                "for rain."
            ),
        ),
        Caution(
            _("Separation:"),
            _(
                "work in pairs, keep in sight or in call, agree on a meeting point and a time, and "
                "count everyone out and in."
            ),
        ),
        Caution(
            _("Local rules and licensed practice come first:"),
            _(
                "land and fire rules, the school’s own safety plan, and whoever is in charge on "
                "the day. Where they differ from what stands here, follow them."
            ),
        ),
    ]


def _first(method: str) -> list[Caution]:
    if is_by_stars(method):
        return [
            Caution(
                _("In the dark:"),
                _(
                    "look over the ground by daylight, stand still while looking up, keep a lamp "
                    "at hand and away from water, edges and roads."
                ),
            ),
            Caution(
                _("Cold:"),
                _("dress for standing still; stop when someone shivers and does not warm up."),
            ),
        ]
    heat = _("shade, water and breaks come before the exercise. Watch each other for signs.")
    if is_travel(method):
        return [
            Caution(
                _("On the move:"),
                _(
                    "walk the leg’s ground yourself beforehand; go round cliffs, deep water, roads "
                    "and soft ground instead of keeping to the bearing, and set a time to be back."
                ),
            ),
            Caution(_("Heat and cold:"), heat),
        ]
    return [
        Caution(
            _("Never look at the sun,"),
            _(
                "not even when it is low or to line something up, and not through a sight, a "
                "lens, dark glasses or cloud. Use the shadow."
            ),
        ),
        *_of_method(method),
        Caution(
            _("Heat:"),
            _(
                "shade, water and breaks come before the exercise; marking shadows means standing "
                "in the open for a long time. Watch each other for signs."
            ),
        ),
    ]


def _of_method(method: str) -> list[Caution]:
    if method == "hands":
        return [
            Caution(
                _("Counting hands brings the eyes close to the sun:"),
                _("keep it covered by the hand, look at the horizon, and stop if it dazzles."),
            )
        ]
    if method == "watch":
        return [
            Caution(
                _("Point the hour hand by a shadow,"),
                _("that of a stalk or a stick, not by sighting at the sun."),
            )
        ]
    return []


def lightning_rule() -> str:
    """The rule of thirties (common practice; national weather services teach it)."""
    return _(
        "Thunder within %(gap)s seconds of the flash, or any thunder where nothing is "
        "seen, means shelter at once: a closed building or a car with a metal roof. Stay there "
        "until %(wait)s minutes after the last thunder. Without shelter: off ridges and away from "
        "lone trees and water, spread out, crouch low."
    ) % {"gap": LIGHTNING_GAP_S, "wait": LIGHTNING_WAIT_MIN}


def heat_rule() -> str:
    return _(
        "Heat: stop, shade, water, cool the skin. Confusion, staggering or collapse is an "
        "emergency: cool with all the water there is and call for help at once."
    )


def lost_person_steps() -> list[str]:
    """What to do when someone is missing (common practice; local procedure comes first)."""
    return [
        _("Stop the exercise. Call everyone to the rally point and count."),
        _("Write down who is missing, when and where last seen, clothing, and where they went."),
        _("Call and whistle from the last place seen; listen in silence in between."),
        _(
            "One instructor stays with the group. Search the likely lines (paths, water, the way "
            "back) in pairs and with a time to be back; nobody searches alone."
        ),
        _(
            "Not found within 15 minutes, or at once near water, cliffs, nightfall or illness: "
            "call for help and give the position of the site."
        ),
        _("Keep the rally point staffed and lit; note every time until help takes over."),
    ]
