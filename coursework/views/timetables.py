"""A whole timetable of a cohort: asked for, looked at, asked for again, accepted."""

from dataclasses import astuple, dataclass, replace
from datetime import timedelta

from django.contrib import messages
from django.core import signing
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from coursework import policies
from coursework.forms.timetables import TimetableForm
from coursework.models import Cohort, Exercise, Group, Person, Site
from coursework.services.timetables import Session, accept_timetable
from coursework.timetable.engine import solve
from coursework.timetable.problem import Answer, Placed, keeping
from coursework.timetable.question import WHOLE, Question, question_of
from coursework.timetable.wet import wet_plans

_SALT = "coursework.timetable"
_KEPT_FOR = timedelta(hours=12)


@dataclass(frozen=True, kw_only=True)
class Row:
    """A session as it is shown; `number` is its place in the proposal."""

    number: int
    kept: bool
    session: Session


@require_http_methods(["GET", "HEAD", "POST"])
def timetable(request: HttpRequest, pk: int) -> HttpResponse:
    """The question, and below it the proposal. Nothing is stored before it is accepted."""
    cohorts = policies.visible_cohorts(request.user).select_related("course__school")
    cohort: Cohort = policies.get_visible(cohorts, pk=pk)
    policies.require(policies.may_arrange(request.user, cohort))
    now = timezone.now()
    form = TimetableForm(
        request.POST or None,
        cohort=cohort,
        sites=policies.visible_sites(request.user),
        staff=policies.staff(request.user),
        today=now.date(),
    )
    context = {"cohort": cohort, "form": form, "cancel": reverse("cohort-detail", args=[pk])}
    if request.method == "POST" and form.is_valid():
        question = question_of(form.asked(now))
        earlier = _earlier(request, cohort)
        if earlier is not None and not _fits(question, earlier):
            earlier = None
            context["refusal"] = _("The question was changed after the proposal. Ask again.")
        if request.POST.get("act") == "accept" and earlier is not None:
            refusal = _accept(request, question, earlier)
            if refusal is None:
                return redirect("cohort-detail", pk)
            context["refusal"] = refusal
        kept = _kept(request, earlier)
        accepting = request.POST.get("act") == "accept" and earlier is not None
        answer = (
            Answer(placed=tuple(earlier)) if accepting else solve(keeping(question.problem, kept))
        )
        context |= _shown(question, answer, () if accepting else kept)
        context["was_kept"] = accepting
    return render(request, "coursework/timetable.html", context)


def _shown(question: Question, answer: Answer, kept: tuple[Placed, ...]) -> dict:
    placed = tuple(sorted({*answer.placed, *kept}))
    rows = [
        Row(number=number, kept=placed[number] in kept, session=session)
        for number, session in enumerate(_sessions(question, placed))
    ]
    untaught = {lesson.title for lessons in question.untaught.values() for lesson in lessons}
    return {
        "rows": rows,
        "answer": answer,
        "placed_words": ngettext("%s drill is placed.", "%s drills are placed.", len(rows))
        % len(rows),
        "missing": question.answer_lines(answer),
        "replaced": question.replaced,
        "untaught": sorted(untaught),
        "proposal": signing.dumps(
            [question.asked.cohort.pk, [astuple(one) for one in placed]], salt=_SALT, compress=True
        ),
    }


def _sessions(question: Question, placed: tuple[Placed, ...]) -> list[Session]:
    asked = question.asked
    exercises: dict[int, Exercise] = {one.pk: one for one in asked.exercises}
    sites: dict[int, Site] = {one.pk: one for one in asked.sites}
    groups: dict[int, Group] = {one.pk: one for one in asked.groups}
    staff: dict[int, Person] = {one.pk: one for one in asked.staff}
    indoors = [one for one in exercises.values() if one.is_travel]
    lessons = asked.cohort.course.lessons.order_by("position", "id")
    wet = wet_plans(placed, exercises, indoors=indoors, lessons=lessons, minutes=asked.minutes)
    return [
        Session(
            exercise=exercises[one.task],
            site=sites[one.place],
            group=None if one.party == WHOLE else groups[one.party],
            starts_at=question.at(one.start),
            minutes=asked.minutes,
            staff=tuple(staff[key] for key in one.workers),
            wet_plan=wet.get((one.task, one.party), ""),
        )
        for one in placed
    ]


def _earlier(request: HttpRequest, cohort: Cohort) -> list[Placed] | None:
    """The proposal that was shown; None where there is none, or it is too old or not ours."""
    text = request.POST.get("proposal", "")
    try:
        of, rows = signing.loads(text, salt=_SALT, max_age=_KEPT_FOR)
    except signing.BadSignature:
        return None
    if of != cohort.pk:
        return None
    return [
        Placed(start=start, place=place, task=task, party=party, workers=tuple(workers), cost=cost)
        for start, place, task, party, workers, cost in rows
    ]


def _fits(question: Question, earlier: list[Placed]) -> bool:
    """Whether all that an earlier proposal speaks of is still asked for."""
    problem = question.problem
    known = [
        {thing.key for thing in things}
        for things in (problem.tasks, problem.parties, problem.places, problem.workers)
    ]
    return all(
        {one.task} <= known[0]
        and {one.party} <= known[1]
        and {one.place} <= known[2]
        and set(one.workers) <= known[3]
        for one in earlier
    )


def _kept(request: HttpRequest, earlier: list[Placed] | None) -> tuple[Placed, ...]:
    ticked = set(request.POST.getlist("keep"))
    return tuple(one for n, one in enumerate(earlier or ()) if str(n) in ticked)


def _accept(request: HttpRequest, question: Question, earlier: list[Placed]) -> str | None:
    """Plan what was shown; the sentence that says why not where it cannot be."""
    if not earlier:
        return _("There is nothing in it to be planned.")
    kept = set(_kept(request, earlier))
    try:
        sessions = [
            replace(session, pinned=one in kept)
            for one, session in zip(earlier, _sessions(question, tuple(earlier)), strict=True)
        ]
        made = accept_timetable(
            request.user,
            question.asked.cohort,
            sessions,
            replaced=question.replaced,
            reason=request.POST.get("reason", ""),
        )
    except ValidationError as error:
        return " ".join(error.messages)
    told = ngettext("%s drill is planned.", "%s drills are planned.", len(made))
    messages.success(request, told % len(made))
    return None
