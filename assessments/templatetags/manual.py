"""Ways from other pages into the manual and its glossary."""

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from assessments.manual.contents import neighbours
from assessments.manual.parts import address_of
from coursework.models.methods import is_travel

register = template.Library()
_LINK = '<a class="help-link no-print" href="{}">{}</a>'


@register.simple_tag
def help_link(name: str, words: str = "") -> SafeString:
    """A link to a page of the manual, by its title where no words are given."""
    _before, page, _after = neighbours(name)
    return format_html(_LINK, page.address, words or _("Manual: %s") % page.title)


@register.simple_tag
def method_help(method: str) -> SafeString | str:
    """A link to the page of a method; nothing for exercises in which no line is laid."""
    return "" if is_travel(method) else help_link(method)


@register.simple_tag
def term_link(name: str, words: str) -> SafeString:
    """A label that leads to its term in the glossary."""
    return format_html('<a class="term" href="{}">{}</a>', address_of("term", name), words)
