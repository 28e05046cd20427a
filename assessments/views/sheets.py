"""Sheets to print, as PDF."""

from django.http import HttpRequest, HttpResponse
from django.utils.text import slugify

from assessments import policies
from assessments.sheets import sources
from assessments.sheets.skill_sheet import SkillSheet, render_pdf
from coursework.policies import get_visible, visible_exercises

PAPERS = ("a4", "letter")


def attempt_sheet(request: HttpRequest, key) -> HttpResponse:
    attempts = policies.readable_attempts(request.user).select_related(
        "student", "current__recorded_by"
    )
    attempt = policies.get_attempt(request.user, attempts, key=key)
    return _pdf(request, sources.attempt_sheet(attempt))


def exercise_sheet(request: HttpRequest, pk: int, student_pk: int) -> HttpResponse:
    """All attempts of one student at one exercise; a sheet without any is one to fill in."""
    exercises = visible_exercises(request.user).select_related("course__school")
    exercise = get_visible(exercises, pk=pk)
    students = policies.students_of_exercise(request.user, exercise)
    student = get_visible(students, pk=student_pk)
    attempts = policies.readable_attempts(request.user).filter(
        exercise__key=exercise.key, student=student
    )
    policies.require_own_open(request.user, attempts)
    attempts = attempts.select_related("student", "current__recorded_by")
    return _pdf(request, sources.exercise_sheet(exercise, student, attempts))


def blank_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    exercises = visible_exercises(request.user).select_related("course__school")
    return _pdf(request, sources.blank_sheet(get_visible(exercises, pk=pk)))


def paper_of(request: HttpRequest) -> str:
    """The paper asked for, A4 where it is none that sheets have."""
    paper = request.GET.get("paper", "").lower()
    return paper if paper in PAPERS else PAPERS[0]


def pdf_response(content: bytes, name: str) -> HttpResponse:
    return HttpResponse(
        content,
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{slugify(name) or "sheet"}.pdf"'},
    )


def _pdf(request: HttpRequest, sheet: SkillSheet) -> HttpResponse:
    content = render_pdf(sheet, paper=paper_of(request))
    return pdf_response(content, f"{sheet.exercise} {sheet.student or ''}")
