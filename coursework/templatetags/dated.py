"""Dates in templates: the filter `date` of Django, with the first of a month in its own word."""

from datetime import date

from django import template
from django.template.defaultfilters import date as as_django_does

from coursework.wording import day_pattern

register = template.Library()


@register.filter("date", expects_localtime=True, is_safe=False)
def dated(value: date | None, pattern: str | None = None) -> str:
    """A date or a time in a format of Django; in French the first of a month is '1er'."""
    return as_django_does(value, day_pattern(value, pattern) if pattern else pattern)
