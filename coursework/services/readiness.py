"""What a draft of a course still lacks, said before it is published."""

from collections.abc import Iterator

from django.utils.translation import gettext as _

from coursework.models import Course, Exercise, Lesson, Method


def missing_to_publish(course: Course) -> list[str]:
    """Sentences on what a version must have before it can be published."""
    missing = []
    if not course.exercises.exists() and not course.lessons.exists():
        missing.append(_("There is neither a lesson nor an exercise in it yet."))
    if course.number > 1 and not course.change_note.strip():
        missing.append(
            _("It does not say yet what changed since version %(number)s.")
            % {"number": course.number - 1}
        )
    return missing


def remarks_to_publish(course: Course) -> list[str]:
    """Sentences on what a version may lack, but should not without a thought."""
    lessons = list(course.lessons.order_by("position", "id").prefetch_related("prerequisites"))
    places = {lesson.pk: place for place, lesson in enumerate(lessons)}
    found = []
    if not lessons:
        found.append(_("There is no lesson in it."))
    if not course.exercises.exists():
        found.append(_("There is no exercise in it, so nothing can be drilled or judged."))
    for lesson in lessons:
        said = {"title": lesson.title}
        if lacks := list(_lacks(lesson)):
            sentence = _("The lesson “%(title)s” has no %(parts)s.")
            found.append(sentence % (said | {"parts": ", ".join(lacks)}))
        if lesson.untimed_min < 0:
            said["minutes"] = -lesson.untimed_min
            sentence = _("The parts of “%(title)s” take %(minutes)s min more than the lesson.")
            found.append(sentence % said)
        for other in lesson.prerequisites.all():
            if places[other.pk] > places[lesson.pk]:
                sentence = _("“%(other)s” comes before “%(title)s”, but stands after it.")
                found.append(sentence % (said | {"other": other.title}))
    found += [
        _("The exercise “%(title)s” has no performance steps.") % {"title": exercise.title}
        for exercise in course.exercises.order_by("position", "id")
        if _wants_steps(exercise)
    ]
    return found


def _lacks(lesson: Lesson) -> Iterator[str]:
    names = {
        "objectives": _("objectives"),
        "outline": _("outline"),
        "kit": _("kit list"),
        "cautions": _("cautions"),
    }
    return (name for field, name in names.items() if not getattr(lesson, field).strip())


def _wants_steps(exercise: Exercise) -> bool:
    # A checklist without steps is refused where it is entered.
    return exercise.method != Method.CHECKLIST and not exercise.step_list
