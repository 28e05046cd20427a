"""The plan of a lesson for the pocket: timing, kit and cautions first, then how it runs."""

from dataclasses import dataclass

from django.utils.translation import gettext as _
from reportlab.platypus import Flowable, KeepTogether

from assessments.sheets.cautions import cautions
from assessments.sheets.markdown_parts import outline_parts
from assessments.sheets.pages import missing_note
from assessments.sheets.pocket import PocketComposer
from coursework.models import Lesson
from coursework.templatetags.coursework import running_time


@dataclass(frozen=True, kw_only=True)
class LessonPlan:
    """What the plan says; `timing` are rows of (starts after, part, minutes), minutes whole."""

    title: str
    minutes: int
    course: str = ""
    version: str = ""
    school: str = ""
    timing: tuple[tuple[int, str, int], ...] = ()
    untimed_min: int = 0
    objectives: tuple[str, ...] = ()
    kit: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    outline: str = ""
    references: tuple[str, ...] = ()
    before: tuple[str, ...] = ()


def plan_of(lesson: Lesson) -> LessonPlan:
    """The plan of a stored lesson; its course and school are read."""
    return LessonPlan(
        title=lesson.title,
        minutes=lesson.minutes,
        course=lesson.course.title,
        version=lesson.course.version_in_words,
        school=lesson.course.school.name,
        timing=tuple((part.starts_min, part.title, part.minutes) for part in lesson.timing),
        untimed_min=lesson.untimed_min,
        objectives=tuple(lesson.objective_list),
        kit=tuple(lesson.kit_list),
        cautions=tuple(lesson.caution_list),
        outline=lesson.outline,
        references=tuple(lesson.reference_list),
        before=tuple(other.title for other in lesson.prerequisites.order_by("position", "id")),
    )


def render_pdf(plan: LessonPlan, *, paper: str = "a4") -> bytes:
    """Small pages on `paper` ("a4" or "letter"); ValueError for another paper."""
    composer = PocketComposer(paper)
    story = _story(plan, composer)
    return composer.pdf(
        story, title=plan.title, author=plan.school, footer=f"{plan.course}, {plan.version}"
    )


def _story(plan: LessonPlan, composer: PocketComposer) -> list[Flowable]:
    head = [
        composer.paragraph(plan.title, "small-title"),
        composer.paragraph(f"{plan.course} · {plan.version} · {plan.school}", "small"),
    ]
    body = [KeepTogether(composer.section(_("Timing"), *_timing(plan, composer)))]
    if plan.before:
        after = _("Comes after: %(lessons)s.") % {"lessons": ", ".join(plan.before)}
        body.append(composer.paragraph(after, "small"))
    body += composer.section(_("Kit"), _kit(plan, composer))
    body += composer.section(_("Cautions"), *composer.items([*plan.cautions, *cautions("")]))
    if plan.objectives:
        body += composer.section(_("Objectives"), *composer.items(plan.objectives))
    body += composer.section(_("Outline"), *_outline(plan, composer))
    if plan.references:
        body += composer.section(_("References"), *composer.items(plan.references))
    return [*head, *missing_note(composer), *body]


def _timing(plan: LessonPlan, composer: PocketComposer) -> list[Flowable]:
    total = _("%(minutes)s min in all") % {"minutes": plan.minutes}
    if not plan.timing:
        return [composer.paragraph(total)]
    rows = [
        [running_time(starts), part, _("%(minutes)s min") % {"minutes": minutes}]
        for starts, part, minutes in plan.timing
    ]
    header = [_("Begins"), _("Part"), _("Takes")]
    if plan.untimed_min > 0:
        left = _("%(minutes)s min left for breaks and the way") % {"minutes": plan.untimed_min}
        total = f"{total}; {left}"
    elif plan.untimed_min < 0:
        over = _("the parts take %(minutes)s min more") % {"minutes": -plan.untimed_min}
        total = f"{total}; {over}"
    return [composer.table(header, rows, [1.1, 5, 1.5]), composer.paragraph(total, "small")]


def _kit(plan: LessonPlan, composer: PocketComposer) -> Flowable:
    if not plan.kit:
        return composer.paragraph(_("No kit is written down."), "small")
    return composer.steps([(line, False) for line in plan.kit], to_tick=True)


def _outline(plan: LessonPlan, composer: PocketComposer) -> list[Flowable]:
    if not plan.outline.strip():
        return [composer.paragraph(_("No outline is written down."), "small")]
    return outline_parts(plan.outline, composer)
