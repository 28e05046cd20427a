"""The lines of lists; `coursework.rows` writes them."""

from django import template
from django.utils.safestring import SafeString

from coursework import rows

register = template.Library()


@register.simple_tag(takes_context=True)
def drill_lines(context, drills) -> SafeString:
    names = ("now", "hide_cohort", "hide_kind", "with_outcome", "log")
    return rows.drills(drills, **{name: context[name] for name in names if name in context})


@register.simple_tag(takes_context=True)
def cohort_lines(context, cohorts) -> SafeString:
    return rows.cohorts(cohorts, today=context.get("today"))


@register.simple_tag
def person_lines(people) -> SafeString:
    return rows.people(people)


@register.simple_tag
def site_lines(sites) -> SafeString:
    return rows.sites(sites)


@register.simple_tag
def course_lines(courses) -> SafeString:
    return rows.courses(courses)
