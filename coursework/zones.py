"""The time zone of a place, found without a network (tzfpy's outlines of the zones)."""

import tzfpy

from solar.clock import is_zone


def zone_at(*, latitude_deg: float, longitude_deg: float) -> str:
    """The IANA name of the zone at a place; at sea one by longitude; '' where none is known.

    Degrees, north and east positive. Outlines are simplified: within a kilometre or so of a
    border the neighbour's zone may come out.
    """
    name = tzfpy.get_tz(longitude_deg, latitude_deg)
    return name if name and is_zone(name) else ""
