"""A stack of paper logs entered at a desk: a row a result, all stored together or none."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from assessments import policies
from assessments.bulk import SeveralRefused, record_all, refused_of
from assessments.forms.grid import MOST_ROWS, Grid
from coursework.policies import get_visible, may_assess, require, visible_drills


def attempt_grid(request: HttpRequest, pk: int) -> HttpResponse:
    drills = visible_drills(request.user).select_related(
        "site", "exercise", "cohort__course__school"
    )
    drill = get_visible(drills, pk=pk)
    require(may_assess(request.user, drill.cohort) and policies.may_log(request.user, drill))
    students = list(policies.students_to_log(request.user, drill).order_by("name", "id"))
    posted = request.method == "POST"
    grid = Grid(drill, students, request.POST if posted else None)
    asked = {"more", "show", "mark"} & request.POST.keys()
    looked = False
    if posted and not asked:
        if not grid.filled:
            messages.warning(request, _("No row is filled in, so there is nothing to store."))
        elif grid.read():
            if "look" not in request.POST and _store(request, grid):
                return redirect("drill-detail", drill.pk)
            grid.refuse(refused_of(request.user, grid.entries()))
        looked = True
    context = {
        "drill": drill,
        "grid": grid,
        "rows": [(row, grid.cells(row)) for row in grid.rows],
        "most": MOST_ROWS,
        "looked": looked and bool(grid.filled),
        "faults": sum(bool(row.errors) for row in grid.filled),
        "shared_faults": posted and not asked and grid.shared_errors,
    }
    return render(request, "assessments/grid.html", context)


def _store(request: HttpRequest, grid: Grid) -> bool:
    try:
        stored = record_all(request.user, grid.entries())
    except SeveralRefused:
        return False
    told = ngettext("%(n)s result is stored.", "All %(n)s results are stored.", len(stored))
    messages.success(request, told % {"n": len(stored)})
    return True
