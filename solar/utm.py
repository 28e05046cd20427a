"""Zones and bands of the Universal Transverse Mercator grid.

Zones are 6 degrees of longitude wide, numbered eastwards from 180; bands 8 degrees of latitude,
lettered northwards from 80 S, X 12 degrees. Zone 32 is widened over south-west Norway and zones
31, 33, 35 and 37 over Svalbard (DMA TM 8358.1, Datums, Ellipsoids, Grids, and Grid Reference
Systems, 1990, chapter 3; from memory).
"""

SOUTH_LIMIT_DEG, NORTH_LIMIT_DEG = -80.0, 84.0
"""The latitudes between which the grid is defined, both included."""
BANDS = "CDEFGHJKLMNPQRSTUVWX"


def is_on_grid(latitude_deg: float) -> bool:
    return SOUTH_LIMIT_DEG <= latitude_deg <= NORTH_LIMIT_DEG


def band(latitude_deg: float) -> str:
    """The letter of the band of a latitude; ValueError beyond 80 S and 84 N."""
    if not is_on_grid(latitude_deg):
        raise ValueError("The UTM grid is defined from 80 degrees south to 84 degrees north.")
    return BANDS[min(19, int((latitude_deg - SOUTH_LIMIT_DEG) // 8.0))]


def zone(*, latitude_deg: float, longitude_deg: float) -> int:
    """The zone of a place, 1 to 60, Norway and Svalbard counted; ValueError off the grid.

    Longitude in degrees, east positive, of any turn: 180 and -180 are both in zone 1.
    """
    letter = band(latitude_deg)
    longitude = (longitude_deg + 180.0) % 360.0 - 180.0
    if letter == "V" and 3.0 <= longitude < 12.0:
        return 32
    if letter == "X" and 0.0 <= longitude < 42.0:
        return 31 + 2 * sum(longitude >= edge for edge in (9.0, 21.0, 33.0))
    return int((longitude + 180.0) // 6.0) + 1


def central_meridian_deg(zone_number: int) -> float:
    """The longitude along which a zone's grid north is true north, degrees, east positive."""
    return 6.0 * zone_number - 183.0
