"""A whole timetable of a cohort: asked for, changed by hand, asked for again, accepted."""

from dataclasses import dataclass, field, replace

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from coursework import policies
from coursework.forms.timetable_session import SessionForm
from coursework.forms.timetables import TimetableForm
from coursework.models import Cohort
from coursework.services.timetables import Session, accept_timetable, rehearse_timetable
from coursework.timetable.engine import solve
from coursework.timetable.lessons import LessonsBy
from coursework.timetable.problem import keeping
from coursework.timetable.proposal import MOST_STEPS, Proposal
from coursework.timetable.question import Question, question_of
from coursework.timetable.sessions import knows, sessions_of


@dataclass(frozen=True, kw_only=True)
class Row:
    """A session as it is shown; `number` is its place in the proposal."""

    number: int
    kept: bool
    session: Session
    against: tuple[str, ...] = ()
    form: SessionForm | None = None


@dataclass(kw_only=True)
class _Page:
    """What one request makes of the proposal that it brings."""

    request: HttpRequest
    question: Question
    proposal: Proposal | None
    before: list[str] = field(default_factory=list)
    refusal: str = ""
    editing: int | None = None
    form: SessionForm | None = None
    done: bool = False

    @property
    def cohort(self) -> Cohort:
        return self.question.asked.cohort

    def act(self, what: str) -> None:
        acts = {"set": self._set, "undo": self._undo, "accept": self._accept, "show": self._show}
        if self.proposal is None:
            self._ask()
        elif what.startswith("edit-") and self._row(what[5:]) is not None:
            self._edit(self._row(what[5:]))
        else:
            acts.get(what, self._ask)()

    def _row(self, text: str) -> int | None:
        numbers = {str(number): number for number in range(len(self.proposal.placed))}
        return numbers.get(text)

    def _show(self) -> None:
        """As it is."""

    def _ask(self) -> None:
        kept = self.proposal.kept if self.proposal else frozenset()
        self._remember()
        problem = keeping(self.question.problem, tuple(sorted(kept)))
        self.proposal = Proposal.of(solve(problem), kept)

    def _edit(self, number: int) -> None:
        self.editing = number
        self.form = SessionForm(question=self.question, session=self.proposal.placed[number])

    def _set(self) -> None:
        number = self._row(self.request.POST.get("editing", ""))
        if number is None:
            return
        form = SessionForm(
            self.request.POST, question=self.question, session=self.proposal.placed[number]
        )
        if form.is_valid():
            self._remember()
            self.proposal = self.proposal.with_changed(number, form.changed)
        else:
            self.editing, self.form = number, form

    def _undo(self) -> None:
        while self.before:
            earlier = Proposal.read(self.before.pop(), self.cohort.pk)
            if earlier is not None and earlier.fits(knows(self.question)):
                self.proposal = earlier
                return

    def _remember(self) -> None:
        if self.proposal is not None:
            self.before = [*self.before, self.proposal.signed(self.cohort.pk)][-MOST_STEPS:]

    def _accept(self) -> None:
        """Plan what was shown, or say why it cannot be."""
        if not self.proposal.placed:
            self.refusal = _("There is nothing in it to be planned.")
            return
        try:
            made = accept_timetable(
                self.request.user,
                self.cohort,
                self._sessions(),
                replaced=self.question.replaced,
                reason=self.request.POST.get("reason", ""),
                seen=self.proposal.seen,
            )
        except ValidationError as error:
            self.refusal = " ".join(error.messages)
            return
        lessons = sum(one.is_lesson for one in made)
        drills = len(made) - lessons
        told = [ngettext("%s drill is planned.", "%s drills are planned.", drills) % drills]
        if lessons:
            words = ngettext("%s lesson is planned.", "%s lessons are planned.", lessons)
            told.insert(0, words % lessons)
        messages.success(self.request, " ".join(told))
        self.done = True

    def _sessions(self) -> list[Session]:
        sessions = sessions_of(self.question, self.proposal.placed)
        return [
            replace(session, pinned=one in self.proposal.kept)
            for one, session in zip(self.proposal.placed, sessions, strict=True)
        ]

    def shown(self) -> dict:
        sessions = self._sessions()
        against: list[tuple[str, ...]] = [()] * len(sessions)
        if self.proposal.kept:
            against = rehearse_timetable(
                self.request.user,
                self.cohort,
                sessions,
                replaced=self.question.replaced,
                lessons_held=self.question.asked.lessons == LessonsBy.HELD,
            )
        seen = tuple(dict.fromkeys(sentence for some in against for sentence in some))
        self.proposal = replace(self.proposal, seen=seen)
        lessons = sum(session.lesson is not None for session in sessions)
        drills = len(sessions) - lessons
        placed = [ngettext("%s drill is placed.", "%s drills are placed.", drills) % drills]
        if lessons:
            words = ngettext("%s lesson is placed.", "%s lessons are placed.", lessons)
            placed.insert(0, words % lessons)
        return {
            "rows": [
                Row(
                    number=number,
                    kept=session.pinned,
                    session=session,
                    against=against[number],
                    form=self.form if number == self.editing else None,
                )
                for number, session in enumerate(sessions)
            ],
            "refusal": self.refusal,
            "reason": self.request.POST.get("reason", ""),
            "answer": self.proposal,
            "placed_words": " ".join(placed),
            "missing": self.question.answer_lines(self.proposal),
            "replaced": self.question.replaced,
            "untaught": [lesson.title for lesson in self.question.untaught],
            "proposal": self.proposal.signed(self.cohort.pk),
            "before": self.before,
            "editing": self.editing,
        }


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
        today=timezone.localdate(now),
    )
    context = {"cohort": cohort, "form": form, "cancel": reverse("cohort-detail", args=[pk])}
    if request.method == "POST" and form.is_valid():
        page = _page(request, question_of(form.asked(now)))
        page.act(request.POST.get("act", "ask"))
        if page.done:
            return redirect("cohort-detail", pk)
        context |= page.shown()
    return render(request, "coursework/timetable.html", context)


def _page(request: HttpRequest, question: Question) -> _Page:
    proposal = Proposal.read(request.POST.get("proposal", ""), question.asked.cohort.pk)
    refusal = ""
    if proposal is not None and not proposal.fits(knows(question)):
        proposal, refusal = None, _("The question was changed after the proposal. Ask again.")
    if proposal is not None:
        proposal = proposal.keeping(set(request.POST.getlist("keep")))
    before = request.POST.getlist("before")[-MOST_STEPS:]
    return _Page(
        request=request, question=question, proposal=proposal, before=before, refusal=refusal
    )
