"""Whether staff and students have time for the way from and to what else they are booked for."""

from collections.abc import Iterator
from datetime import timedelta

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from coursework.conflicts.found import Conflict
from coursework.conflicts.people import booked_words
from coursework.conflicts.plan import AnyPlan, Surroundings
from coursework.models.bookings import Booking
from coursework.ways import way_m, way_min
from coursework.wording import fixed, plain


def ways(plan: AnyPlan, around: Surroundings) -> Iterator[Conflict]:
    """Of what is shortly before or after at another site; what is at the same time is a double
    booking already."""
    speed = around.settings.travel_kmh
    for other in around.near:
        left = _left(plan, other)
        needed = way_min(plan.booking.site, other.site, speed_kmh=speed)
        if left >= timedelta(minutes=needed):
            continue
        said = booked_words(other) | {
            "way": f"{fixed(way_m(plan.booking.site, other.site) / 1000.0)} km",
            "needed": _minutes(needed),
            "speed": plain(speed),
            "left": _minutes(int(left.total_seconds() // 60)),
        }
        for who, key in _who(plan, around, other):
            yield Conflict(
                "way",
                f"{key}@{other.ref},s{plan.booking.site_id},{plan.held_when},{needed}",
                _(
                    "%(who)s: at “%(drill)s” (%(site)s, %(when)s) with %(left)s in between. The "
                    "way of %(way)s takes %(needed)s, at %(speed)s km/h straight on."
                )
                % (said | {"who": who}),
            )


def _left(plan: AnyPlan, other: Booking) -> timedelta:
    """Between the one's end and the other's start; neither overlaps the other."""
    if other.starts_at >= plan.booking.ends_at:
        return other.starts_at - plan.booking.ends_at
    return plan.booking.starts_at - other.ends_at


def _who(plan: AnyPlan, around: Surroundings, other: Booking) -> Iterator[tuple[str, str]]:
    """Everybody who is at both, in words and for the key."""
    busy = {person.pk for person in other.assistants.all()} | {other.lead_id}
    for person in plan.staff:
        if person.pk in busy:
            yield person.name, f"p{person.pk}"
    if both := around.students & around.students_of[other.ref]:
        shared = {group.pk for group in other.groups.all()}
        names = [group.name for group in plan.groups if group.pk in shared]
        number = ngettext("%s student", "%s students", len(both)) % len(both)
        yield ", ".join(names) or number, "g"


def _minutes(minutes: int) -> str:
    hours, rest = divmod(minutes, 60)
    if not hours:
        return _("%s min") % rest
    if not rest:
        return _("%s h") % hours
    return _("%(hours)s h %(minutes)s min") % {"hours": hours, "minutes": rest}
