"""Places in words: coordinates, ground and skyline."""

from collections.abc import Sequence

from django.utils.translation import gettext as _

from assessments.sheets import words


def coordinates(place) -> str:
    """Latitude and longitude with their hemispheres: '61.5000° N, 8.2500° E'.

    With a point and W in every language, as pages show and read them.
    """
    letters = (
        _("N") if place.latitude_deg >= 0 else _("S"),
        _("E") if place.longitude_deg >= 0 else _("W"),
    )
    sizes = (abs(place.latitude_deg), abs(place.longitude_deg))
    return ", ".join(f"{size:.4f}° {one}" for size, one in zip(sizes, letters, strict=True))


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
