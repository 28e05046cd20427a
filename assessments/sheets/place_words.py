"""Places in words: coordinates, ground and skyline."""

from collections.abc import Sequence

from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from assessments.sheets import words


def coordinates(place) -> str:
    """Latitude and longitude with their hemispheres: '61.5000° N, 8.2500° E'."""
    north = place.latitude_deg >= 0
    east = place.longitude_deg >= 0
    letters = (
        pgettext("point of the compass", "N") if north else pgettext("point of the compass", "S"),
        pgettext("point of the compass", "E") if east else pgettext("point of the compass", "W"),
    )
    sizes = (abs(place.latitude_deg), abs(place.longitude_deg))
    return ", ".join(
        f"{words.degrees(size, 4)} {letter}" for size, letter in zip(sizes, letters, strict=True)
    )


def ground_words(place) -> str:
    if not place.slope_deg:
        return _("level")
    return _("falls %(slope)s towards %(bearing)s") % {
        "slope": words.degrees(place.slope_deg),
        "bearing": words.bearing(place.downhill_deg, 0),
    }


def skyline_words(pairs: Sequence[tuple[float, float]]) -> str:
    """A remark on the skyline: open, or how high it rises and where."""
    if not pairs:
        return _("flat and open")
    bearing, elevation = max(pairs, key=lambda pair: pair[1])
    return _("profile of %(count)s points, highest %(elevation)s at %(bearing)s") % {
        "count": len(pairs),
        "elevation": words.degrees(elevation),
        "bearing": words.bearing(bearing, 0),
    }
