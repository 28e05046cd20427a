"""A student's record: as a page, and printed."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from assessments import policies
from assessments.records.charts import RecordCharts
from assessments.records.reading import measured
from assessments.records.student import StudentRecord
from assessments.sheets import record_sheet
from assessments.views.sheets import paper_of, pdf_response
from coursework.models import Person
from coursework.policies import get_visible


def record(request: HttpRequest, pk: int) -> HttpResponse:
    student, made, others, without = _load(request, pk)
    own = student.pk == request.user.pk
    context = {
        "student": student,
        "is_own": own,
        "record": made,
        "charts": RecordCharts(made) if made.points else None,
        "others": others,
        "without": without,
        "may_practise": own and policies.practised_cohorts(student).exists(),
    }
    return render(request, "assessments/record.html", context)


def record_sheet_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    student, made, others, without = _load(request, pk)
    policies.require_own_open(
        request.user, policies.readable_attempts(request.user).filter(student=student)
    )
    content = record_sheet.render_pdf(student, made, others, without, paper=paper_of(request))
    return pdf_response(content, f"record {student}")


def _load(request: HttpRequest, pk: int) -> tuple[Person, StudentRecord, list, list]:
    """What the reader may see of a student's results, whatever the cohort."""
    people = policies.recorded_people(request.user).select_related("school")
    student = get_visible(people, pk=pk)
    attempts = policies.visible_attempts(request.user).filter(student=student)
    found = measured(attempts)
    return student, found.record, _by_exercise(found.others), list(found.without)


def _by_exercise(others) -> list[tuple[str, list]]:
    """Results without a line by exercise, never mixed: other units."""
    parted: dict[str, list] = {}
    for attempt in others:
        parted.setdefault(attempt.exercise.title, []).append(attempt)
    return sorted(parted.items())
