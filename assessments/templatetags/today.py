"""Parts of the first page that rest on results and certificates."""

from django import template

from assessments import today

register = template.Library()


@register.inclusion_tag("assessments/today_near.html", takes_context=True)
def near_certification(context):
    return {"near": today.near_certification(context["request"].user)}


@register.inclusion_tag("assessments/today_lapsing.html", takes_context=True)
def what_lapses(context):
    return {"lapsing": today.lapsing(context["request"].user)}


@register.inclusion_tag("assessments/today_student.html", takes_context=True)
def student_now(context):
    user = context["request"].user
    return {"found": today.student_now(user), "student": user}
