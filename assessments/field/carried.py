"""The files a device keeps so that the field log opens without signal, and their version."""

import hashlib
from functools import cache
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.staticfiles import finders
from django.template.loader import get_template
from django.templatetags.static import static
from django.urls import reverse
from django.utils.translation import get_language
from django.utils.translation import gettext as _

FILES = (
    "bootstrap/css/bootstrap.min.css",
    "plumbshadow.css",
    "field.css",
    "light.js",
    "field/main.js",
    "field/store.js",
    "field/queue.js",
    "field/headcount.js",
    "field/form.js",
    "field/pages.js",
    "field/result.js",
    "field/outings.js",
    "field/waiting.js",
    "field/top.js",
    "field/parts.js",
    "field/alarm.js",
    "icons/plumbshadow.svg",
)
TEMPLATES = ("assessments/field.html", "assessments/field_worker.js", "app/shell.html")


def addresses() -> list[str]:
    """Of the page, the manifest and all files; nothing personal is among them."""
    return [reverse("field"), reverse("field-manifest"), *(static(name) for name in FILES)]


def version() -> str:
    """Another one whenever any of the files is, or the language: devices then fetch them anew."""
    language = get_language()
    return _digest(language) if settings.DEBUG else _kept_digest(language)


def _digest(_language: str) -> str:
    from assessments.field.words import field_words

    whole = hashlib.sha256(repr(field_words()).encode())
    paths = [finders.find(name) for name in FILES]
    paths += [get_template(name).origin.name for name in TEMPLATES]
    for path in paths:
        whole.update(Path(path).read_bytes())
    return whole.hexdigest()[:12]


_kept_digest = cache(_digest)


def manifest() -> dict[str, Any]:
    """A web application manifest (W3C Web Application Manifest)."""
    return {
        "name": _("Plumbshadow field log"),
        "short_name": _("Field log"),
        "start_url": reverse("field"),
        "scope": reverse("field"),
        "display": "standalone",
        "background_color": "#ffffff",
        "theme_color": "#24553a",
        "icons": [
            {
                "src": static("icons/plumbshadow.svg"),
                "sizes": "any",
                "type": "image/svg+xml",
                "purpose": "any",
            }
        ],
    }
