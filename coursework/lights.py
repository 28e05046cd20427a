"""The light chosen for all pages: kept in a cookie of the device, not with a person."""

from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _

COOKIE = "light"
# Each is a block of tokens in plumbshadow.css; the empty one is whatever the device says.
LIGHTS = {"": _("as the device says"), "bright": _("bright"), "dark": _("dark"), "red": _("red")}


def light_of(request: HttpRequest) -> str:
    """The chosen light; empty if none was chosen, or one that there is not."""
    asked = request.COOKIES.get(COOKIE, "")
    return asked if asked in LIGHTS else ""


def chosen_light(request: HttpRequest) -> dict[str, object]:
    """Context processor: `light`, and `lights` as pairs of value and label."""
    return {"light": light_of(request), "lights": LIGHTS.items()}
