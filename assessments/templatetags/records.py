"""What a record's templates say of statistics and findings."""

from django import template
from django.urls import reverse
from django.utils.translation import gettext as _

from assessments import policies
from assessments.findings import Finding
from assessments.records import student
from assessments.records.charts import mark_words
from coursework.models import Drill

register = template.Library()
MOST_LINKS = 8

register.filter("mean_words", student.mean_words)
register.filter("spread_words", student.spread_words)
register.filter("length_words", student.length_words)
register.filter("mark_words", mark_words)


@register.filter
def evidence_links(finding: Finding) -> list[tuple[str, str]]:
    """Address and date of the newest attempts that a finding rests on."""
    newest = sorted(finding.rests_on, key=lambda one: one.observed_at, reverse=True)
    return [
        (reverse("attempt-detail", args=[one.key]), one.observed_at) for one in newest[:MOST_LINKS]
    ]


@register.simple_tag(takes_context=True)
def practice_address(context, drill: Drill) -> str:
    """Where the reader logs their own practice at a drill; blank where they may not."""
    user = context["request"].user
    if not policies.may_practise(user, drill):
        return ""
    return f"{reverse('attempt-log', args=[drill.pk])}?student={user.pk}"


@register.filter
def rests_on_words(finding: Finding) -> str:
    """How many attempts a finding rests on."""
    number = len(finding.rests_on)
    return _("rests on 1 attempt") if number == 1 else _("rests on %(n)s attempts") % {"n": number}
