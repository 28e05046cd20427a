"""Where certificates are checked, as it is printed on them."""

from django.conf import settings
from django.http import HttpRequest
from django.urls import reverse


def check_address(request: HttpRequest | None = None) -> str:
    """The address of the public page; the number of a certificate is put at its end.

    By the setting ADDRESS, else as the request came in; ValueError where there is neither.
    """
    path = reverse("certificate-check")
    if settings.ADDRESS is not None:
        return f"{settings.ADDRESS}{path}"
    if request is None:
        raise ValueError("No address of the site is known: set PLUMBSHADOW_ADDRESS.")
    return request.build_absolute_uri(path)
