"""The one language of what is frozen or signed: the same bytes, whoever has them made again."""

from django.conf import settings
from django.utils import translation


def in_records_language() -> translation.override:
    """A context or decorator within which texts are those of `LANGUAGE_CODE`."""
    return translation.override(settings.LANGUAGE_CODE)
