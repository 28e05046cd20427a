"""The words of the methods' pages. Rules of thumb in them are common practice, no source."""

from collections.abc import Callable

from django.utils.translation import gettext as _

from coursework.models import Method


def _shadow_tip() -> dict[str, str]:
    return {
        "summary": _("Two marks at the tip of a stick’s shadow make a line taken as west to east."),
        "how": _(
            "1. Set a straight stick upright in level, firm ground. Test it with a plumb line.\n"
            "2. Mark the very tip of its shadow with a small stone or a peg. That is west.\n"
            "3. Wait 15 minutes or longer. Do not touch the stick.\n"
            "4. Mark the tip again. That is east.\n"
            "5. Draw the line through both marks. North lies square to it, a quarter turn to the "
            "left of someone who faces east."
        ),
        "works": _(
            "Around the [sun’s noon](term:solar-noon) on any date, and all day around the "
            "equinoxes in March and September. More than two marks, and marks further apart, let "
            "the line be drawn more finely."
        ),
        "fails": _(
            "In summer forenoons it points left of north and in summer afternoons right of it, by "
            "20° and more three hours from noon; in winter the sides change. It is no fault of "
            "the student: the tip runs along a curve, and a short piece of a curve has its own "
            "direction. Near noon two marks 15 minutes apart lie only some centimetres from each "
            "other, so that setting them matters more. A stick that moves between the marks "
            "spoils everything: see [what a small fault does](page:faults)."
        ),
        "numbers": _(
            "The [method’s error](term:method-error) is worked out from the times of the marks, "
            "so note both to the minute. The [marking scatter](term:marking-scatter) beside it "
            "says how finely marks so far apart can be set. A line can be judged on its "
            "[result](term:result-error), or on the student’s [own error](term:own-error) alone."
        ),
    }


def _equal_shadow() -> dict[str, str]:
    return {
        "summary": _("Two shadows of equal length, before and after noon, lie alike about north."),
        "how": _(
            "1. Set a straight stick upright in level, firm ground.\n"
            "2. In the forenoon mark the tip of its shadow.\n"
            "3. Draw an arc around the foot of the stick through the mark, with a taut cord.\n"
            "4. In the afternoon watch the tip grow back to the arc; mark where it meets it.\n"
            "5. The line through both marks runs west to east; north lies square to it."
        ),
        "works": _(
            "On every clear day with sun before and after noon. It is the best of the methods "
            "with a stick: the marks lie far apart, and the sun comes down much as it went up."
        ),
        "fails": _(
            "It takes hours, and the sun has to shine at the right moment of the afternoon. "
            "Uneven ground, a stick that leans, or another stick in the afternoon turn the line: "
            "see [what a small fault does](page:faults). Near the poles the sun may not come down "
            "to that height in the same afternoon; such a mark is refused."
        ),
        "numbers": _(
            "Without a time for the second mark, the instant is worked out at which a perfect "
            "practitioner would have set it. The small error that is left comes from the sun’s "
            "own way north or south between the two marks."
        ),
    }


def _shortest_shadow() -> dict[str, str]:
    return {
        "summary": _("The shortest shadow of the day points along the meridian."),
        "how": _(
            "1. Set a straight stick upright in level ground half an hour before the sun’s noon.\n"
            "2. Mark the tip every few minutes.\n"
            "3. When the shadow has begun to grow again, take the shortest.\n"
            "4. The line from the foot of the stick to that mark is north where the sun passes "
            "south of overhead, and south where it passes north of it."
        ),
        "works": _(
            "Anywhere outside the tropics, with a long stick. At the true instant it has hardly "
            "any error at all."
        ),
        "fails": _(
            "Around noon the length hardly changes while the direction turns fast, so that the "
            "shortest mark is easily chosen some minutes early or late. With a sun within 3° of "
            "overhead there is no shadow that could be used, and the line is refused."
        ),
        "numbers": _(
            "The method’s error here is that of the time at which the mark was set: a mark at "
            "the sun’s noon has none. The table shows what minutes cost."
        ),
    }


def _first_last() -> dict[str, str]:
    return {
        "summary": _("Equal lengths laid along the first and the last shadow of the day."),
        "how": _(
            "1. At the first sun of the day lay a straight stick along the shadow, from the foot "
            "of the upright one outward, and mark its end.\n"
            "2. Do the same at the last sun, with a stick of the same length.\n"
            "3. The line from the end of the forenoon’s to that of the evening’s runs west to "
            "east; north lies square to it. The last shadow of a day and the first of the next "
            "serve as well."
        ),
        "works": _(
            "Over open country and sea: within half a degree up to 65° of latitude. The lines are "
            "long, so marks need little care."
        ),
        "fails": _(
            "Between mountains the sun comes over one side higher than it leaves over the other, "
            "and the line turns by several degrees. Where the sun does not rise and set on a date "
            "there is no first or last shadow."
        ),
        "numbers": _(
            "Rise and set are worked out over the [skyline](term:skyline) of the site unless the "
            "times were noted. The skyline has to be measured once for the numbers to mean "
            "anything in a valley."
        ),
    }


def _watch() -> dict[str, str]:
    return {
        "summary": _("A watch with hands, turned to the sun, gives the north–south line."),
        "how": _(
            "1. Set a thin stalk upright and lay the watch flat, so that the shadow falls along "
            "the hour hand from its tip to the middle: it then points at the sun. Do not look up.\n"
            "2. Northern half of the world: south lies halfway between the hour hand and 12, or 1 "
            "where clocks show summer time.\n"
            "3. Southern half: point 12 (or 1) at the sun instead; north lies halfway between it "
            "and the hour hand."
        ),
        "works": _(
            "In high latitudes with a low sun, and around noon where the clock agrees with the "
            "sun. It is quick, and it needs no second mark."
        ),
        "fails": _(
            "The sun’s bearing does not turn evenly by 15° an hour: in summer it turns slowly "
            "in the morning and fast around noon. A clock that is far from the sun’s own time adds "
            "its part: a zone reaches over many degrees of longitude. Inside the tropics the rule "
            "does not hold for part of the year, and is refused then."
        ),
        "numbers": _(
            "What counts is the time that the watch showed, and whether summer time was taken "
            "off. Each minute by which the watch is wrong turns the line by a quarter of a degree: "
            "the hour hand moves half a degree a minute, and halfway halves that."
        ),
    }


def _hands() -> dict[str, str]:
    return {
        "summary": _("The sun’s height in hands above the horizon, taken as its way from east."),
        "how": _(
            "1. Stretch the arm. Cover the sun with the hand and look at the horizon only.\n"
            "2. Count the hands from the horizon up to the lower edge of the sun, half hands "
            "too.\n"
            "3. Forenoon: the sun is taken to stand 15° a hand past east, towards the side on "
            "which it passes at noon. Afternoon: as much short of west.\n"
            "4. From that bearing lay north."
        ),
        "works": _(
            "In middle latitudes around the equinoxes, early or late in the day. It shows the "
            "rough direction when no stick can be set."
        ),
        "fails": _(
            "In summer the sun rises far north of east and in winter south of it; the rule knows "
            "nothing of that. A hand covers 8° to 11° rather than 15° for most people. The rule is "
            "refused where the sun passes on the other side of overhead than it supposes."
        ),
        "numbers": _(
            "The student’s own error is split once more: what the [count](term:counting-error) "
            "did, and what laying the line did. That needs the student’s own hand: measure its "
            "breadth and reach once. Without it, 15° a hand is taken and nothing is split."
        ),
    }


def _pole_star() -> dict[str, str]:
    return {
        "summary": _("The pole star stands within a degree of true north, all night."),
        "how": _(
            "1. Find the pole star from the pointers of the Plough or the points of Cassiopeia.\n"
            "2. Hang a plumb line and sight the star along it from a step or two behind.\n"
            "3. Mark where you stand and the foot of the plumb line: that line points north."
        ),
        "works": _(
            "On every clear night in the northern half, better than 1° off up to 50° north."
        ),
        "fails": _(
            "Too near the equator the star is lost in haze; south of 5° north it is refused. Far "
            "north it stands so high that dropping it to the horizon takes a plumb line and care."
        ),
        "numbers": _(
            "The star goes round the pole once a day, less than a degree from it. Where it stood "
            "at the time noted is the method’s error."
        ),
    }


def _southern_cross() -> dict[str, str]:
    return {
        "summary": _("The long axis of the Cross, drawn out four and a half times, finds south."),
        "how": _(
            "1. Find the Cross by its two pointers, and take its long axis from Gacrux to Acrux.\n"
            "2. Carry on in that direction four and a half times its length, from Acrux.\n"
            "3. Drop that point straight down to the horizon with a plumb line: that is south."
        ),
        "works": _(
            "On every clear night in the southern half when the Cross is up, within a few degrees; "
            "best with the Cross upright or upside down."
        ),
        "fails": _(
            "With the Cross on its side an error in the length turns the line most. Where it is "
            "below the horizon the line is refused."
        ),
        "numbers": _(
            "The point four and a half lengths on is not quite the pole of the sky. Where it "
            "stood at the time noted is the method’s error; the exercise asks for south, 180°."
        ),
    }


WORDS: dict[Method, Callable[[], dict[str, str]]] = {
    Method.SHADOW_TIP: _shadow_tip,
    Method.EQUAL_SHADOW: _equal_shadow,
    Method.SHORTEST_SHADOW: _shortest_shadow,
    Method.FIRST_LAST: _first_last,
    Method.WATCH: _watch,
    Method.HANDS: _hands,
    Method.POLE_STAR: _pole_star,
    Method.SOUTHERN_CROSS: _southern_cross,
}
