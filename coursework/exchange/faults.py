"""Faults of a course file: where, as a JSON pointer (RFC 6901), and what, as a sentence."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from django.utils.translation import gettext as _
from jsonschema import Draft202012Validator
from jsonschema.exceptions import ValidationError

from coursework.exchange.schema import schema

_KINDS = {
    "object": "{…}",
    "array": "[…]",
    "string": "“…”",
    "number": "1.5",
    "integer": "1",
    "boolean": "true",
    "null": "null",
}


@dataclass(frozen=True)
class Fault:
    """`place` is a JSON pointer; blank for the whole file."""

    place: str
    sentence: str

    def __str__(self) -> str:
        return f"{self.place or '/'}: {self.sentence}"

    @property
    def sort_key(self) -> tuple:
        """In the order of the file: the tenth row after the ninth."""
        parts = re.split(r"(\d+)", self.place)
        return ([(part.isdecimal(), int(part) if part.isdecimal() else 0, part) for part in parts],
                self.sentence)  # fmt: skip


def pointer(path: Iterable[str | int]) -> str:
    """The JSON pointer to a value; blank for the whole document."""
    return "".join(f"/{str(part).replace('~', '~0').replace('/', '~1')}" for part in path)


@lru_cache(maxsize=1)
def _validator() -> Draft202012Validator:
    return Draft202012Validator(schema())


def schema_faults(document: Any) -> list[Fault]:
    """Everything in which a document differs from the schema."""
    return [fault for error in _validator().iter_errors(document) for fault in _faults(error)]


def _faults(error: ValidationError) -> Iterator[Fault]:
    path, limit = list(error.absolute_path), error.validator_value
    match error.validator:
        case "additionalProperties":
            known = error.schema["properties"]
            for name in error.instance:
                if name not in known:
                    yield Fault(pointer([*path, name]), _("The format has nothing of this name."))
        case "required":
            # One error for each name that is missing; the last quoted word says which.
            missing = [name for name in limit if name not in error.instance]
            name = next(name for name in missing if error.message.startswith(repr(name)))
            yield Fault(pointer([*path, name]), _("This is missing."))
        case _:
            yield Fault(pointer(path), _sentence(error.validator, limit))


def _sentence(keyword: str, limit: Any) -> str:
    if keyword == "type":
        kinds = [limit] if isinstance(limit, str) else limit
        said = _(" or ").join(f"{kind} ({_KINDS[kind]})" for kind in kinds)
        return _("Must be of the kind %(kind)s.") % {"kind": said}
    if keyword == "enum":
        return _("Must be one of: %(values)s.") % {"values": ", ".join(map(str, limit))}
    sentences = {
        "const": _("Must be %(limit)s."),
        "minimum": _("Must be at least %(limit)s."),
        "maximum": _("Must be at most %(limit)s."),
        "minLength": _("Must not be blank."),
        "maxLength": _("Must have at most %(limit)s characters."),
        "maxItems": _("Must have at most %(limit)s entries."),
        "uniqueItems": _("Says the same thing twice."),
    }
    said = _("“%s”") % limit if isinstance(limit, str) else limit
    return sentences[keyword] % {"limit": said}
