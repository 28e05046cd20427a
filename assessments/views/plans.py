"""Lesson plans to print, as PDF."""

from django.http import HttpRequest, HttpResponse
from django.utils.text import slugify

from assessments.sheets.lesson_plan import plan_of, render_pdf
from assessments.views.sheets import PAPERS
from coursework.policies import get_visible, visible_lessons


def lesson_plan(request: HttpRequest, pk: int) -> HttpResponse:
    lessons = visible_lessons(request.user).select_related("course__school")
    plan = plan_of(get_visible(lessons, pk=pk))
    paper = request.GET.get("paper", "").lower()
    content = render_pdf(plan, paper=paper if paper in PAPERS else PAPERS[0])
    name = slugify(plan.title) or "lesson"
    return HttpResponse(
        content,
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}.pdf"'},
    )
