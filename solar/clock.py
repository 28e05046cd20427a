"""Zones, local times that do not exist or exist twice, and summer time."""

from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from solar.sentences import Sentence, SentenceError

ONE_DAY = timedelta(days=1)
# Files beside the zones that are no place's time: this machine's own, clocks that count leap
# seconds, copies of the list.
_NOT_PLACES = {"Factory", "localtime", "posix", "posixrules", "right"}


class ClockError(SentenceError):
    """A time or date that cannot be placed; the message is a sentence for people."""


@lru_cache(maxsize=1024)
def zone_of(name: str) -> ZoneInfo:
    """The IANA zone of that name; ClockError where there is none."""
    try:
        if name.partition("/")[0] in _NOT_PLACES:
            raise KeyError(name)
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError) as error:
        raise ClockError(Sentence("“%(name)s” is not an IANA time zone.", name=name)) from error


def is_zone(name: str) -> bool:
    """Whether `name` is an IANA zone that can be used here."""
    try:
        zone_of(name)
    except ClockError:
        return False
    return True


def resolve_local(naive: datetime, zone: ZoneInfo) -> datetime:
    """The aware time that a clock of `zone` showed as `naive`.

    ClockError where the clock never showed it, or showed it twice (change of clocks).
    """
    earlier = naive.replace(tzinfo=zone, fold=0)
    later = naive.replace(tzinfo=zone, fold=1)
    if earlier.utcoffset() == later.utcoffset():
        return earlier
    back = earlier.astimezone(UTC).astimezone(zone).replace(tzinfo=None)
    if back != naive:
        raise ClockError(
            Sentence(
                "%(time)s does not exist in %(zone)s: the clocks are put forward over it.",
                time=naive.isoformat(),
                zone=zone.key,
            )
        )
    raise ClockError(
        Sentence(
            "%(time)s exists twice in %(zone)s, since the clocks are put back: "
            "write it with its offset.",
            time=naive.isoformat(),
            zone=zone.key,
        )
    )


def local_day(day: date, zone: ZoneInfo) -> tuple[datetime, datetime]:
    """First instant of a local date and of the one after it, in UTC.

    Days of a change of clocks last 23 or 25 hours. ClockError for a date that the zone
    left out (the date line moved over it).
    """
    start, end = _first_instant(day, zone), _first_instant(day + ONE_DAY, zone)
    if start >= end:
        raise ClockError(
            Sentence(
                "%(day)s does not exist in %(zone)s: the calendar skips it.",
                day=day.isoformat(),
                zone=zone.key,
            )
        )
    return start, end


def _first_instant(day: date, zone: ZoneInfo) -> datetime:
    # A midnight inside a spring gap: the offset before it names the instant of the change.
    midnight = datetime(day.year, day.month, day.day, tzinfo=zone)
    return midnight.astimezone(UTC)


@lru_cache(maxsize=4096)
def offsets_of_year(zone: ZoneInfo, year: int) -> tuple[timedelta, timedelta]:
    """Smallest and largest UTC offset that clocks of `zone` have in a calendar year."""
    first = datetime(year, 1, 1, 12, tzinfo=UTC)
    offsets = {(first + n * ONE_DAY).astimezone(zone).utcoffset() for n in range(365)}
    return min(offsets), max(offsets)


def summer_advance(instant: datetime, zone: ZoneInfo) -> timedelta:
    """How far the zone's clocks are advanced for summer at an aware instant.

    The UTC offset less the smaller of that (local) year's offsets. The flag in the zone
    files is not used: it is the wrong way round for Ireland.
    """
    local = instant.astimezone(zone)
    return local.utcoffset() - offsets_of_year(zone, local.year)[0]
