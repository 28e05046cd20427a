"""Decimal numbers as people type them: a point or a comma before the decimals."""

import re

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

# A comma before three digits parts thousands for some and decimals for others.
_EITHER = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}", re.ASCII)


def with_point(typed: str) -> str:
    """The number with a point, the typographic minus as a hyphen.

    ValidationError where it can be read in two ways: nothing is guessed.
    """
    text = typed.strip().replace("−", "-")
    if _EITHER.fullmatch(text):
        raise ValidationError(
            _("“%(typed)s” can be read in two ways: write %(whole)s or %(parts)s."),
            params={
                "typed": typed,
                "whole": text.replace(",", ""),
                "parts": text.replace(",", "."),
            },
        )
    return text.replace(",", ".") if text.count(",") == 1 and "." not in text else text


def take_comma(field: forms.Field) -> None:
    """Let a form's own copy of a number field take a comma, and the keypad offer one.

    Browsers leave out what they cannot read in a field of type 'number', and which of the two
    signs they read goes by their own language.
    """
    if not isinstance(field, forms.FloatField):
        return
    read = field.to_python
    field.to_python = lambda value: read(with_point(value) if isinstance(value, str) else value)
    if isinstance(field.widget, forms.NumberInput):
        field.widget.input_type = "text"
        field.widget.attrs = {
            name: value
            for name, value in field.widget.attrs.items()
            if name not in {"min", "max", "step"}
        } | {"inputmode": "decimal", "autocomplete": "off"}
