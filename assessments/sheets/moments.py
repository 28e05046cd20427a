"""Dates and clock times of a place, with the name of its time."""

from datetime import datetime
from zoneinfo import ZoneInfo

from coursework.wording import date_format


def local_moment(moment: datetime, zone: str, *, to_the_second: bool = False) -> str:
    """Date and clock of `zone` with the name of its time, such as '21 June 2026, 09:15 CEST'."""
    local = moment.astimezone(ZoneInfo(zone))
    clock = "H:i:s" if to_the_second and local.second else "H:i"
    return f"{date_format(local, f'j F Y, {clock}')} {zone_words(local)}"


def zone_words(local: datetime) -> str:
    """The zone's abbreviation, or its offset where that is all it has: 'CEST', 'UTC+03:00'."""
    name = local.tzname() or ""
    # Python's %:z is newer than the oldest Python this runs on.
    offset = f"{local:%z}"
    return name if name.isalpha() else f"UTC{offset[:3]}:{offset[3:5]}"
