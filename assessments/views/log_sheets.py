"""The log sheet of a drill, to be filled in by hand."""

import math

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from assessments import policies
from assessments.sheets import said
from assessments.sheets.log_sheet import MOST_SUN_ROWS, LogSheet, render_pdf
from assessments.sheets.sources import blank_sheet
from assessments.sheets.sun_card import card_of
from assessments.views.sheets import paper_of, pdf_response
from coursework.models import Drill, Person
from coursework.policies import get_visible, may_assess, require, visible_drills


@require_safe
def drill_log_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    """For whoever logs others' results: its back answers the drill."""
    drills = visible_drills(request.user).select_related(
        "site__school", "exercise__course__school", "cohort__course__school"
    )
    drill = get_visible(drills, pk=pk)
    require(may_assess(request.user, drill.cohort))
    sheet = _sheet(drill, _students(request.user, drill), request)
    name = f"{_('log sheet')} {drill.exercise} {drill.local_start.date()}"
    return pdf_response(render_pdf(sheet, paper=paper_of(request)), name)


def _students(person: Person, drill: Drill) -> list[tuple[str, str]]:
    """Each with the group they are in, group by group; of a drill for groups only those."""
    students = policies.students_to_log(person, drill)
    groups = drill.groups.all().by_student()
    if groups or drill.groups.exists():
        students = students.filter(pk__in=groups)
    else:
        groups = drill.cohort.groups.all().by_student()
    named = students.order_by("name", "id").values_list("pk", "name")
    return sorted(
        ((name, groups.get(pk, "")) for pk, name in named), key=lambda row: (not row[1], row[1])
    )


def _sheet(drill: Drill, students: list[tuple[str, str]], request: HttpRequest) -> LogSheet:
    card = card_of(drill.site, drill.local_start.date())
    rows = [row for row in card.rows if not math.isnan(row.shadow_length)] if card else []
    if len(rows) > MOST_SUN_ROWS:
        rows = [row for row in rows if row.time.minute % 30 == 0]
    exercise = drill.exercise
    return LogSheet(
        exercise=exercise.title,
        method=exercise.method,
        method_name=str(exercise.get_method_display()),
        task=exercise.task,
        standard=said.standard_sentence(blank_sheet(exercise).standard),
        school=drill.site.school.name,
        cohort=drill.cohort.name,
        site=drill.site.name,
        zone=drill.site.zone,
        starts_at=drill.local_start,
        ends_at=drill.local_end,
        assessed=drill.assessed,
        students=students,
        address=request.build_absolute_uri(reverse("attempt-log", args=[drill.pk])),
        sun=card.sun if card else None,
        sun_rows=rows,
    )
