"""What a new school still lacks, in the order in which it is needed."""

from dataclasses import dataclass

from django.urls import reverse
from django.utils.translation import gettext as _

from coursework.models import Cohort, Course, Drill, Enrolment, Exercise, Person, Role, Site


@dataclass(frozen=True)
class Step:
    """One thing to set up. `address` is blank where an earlier step has to come first."""

    name: str
    action: str
    why: str
    address: str
    done: bool


def setup_steps(person: Person) -> list[Step]:
    """All steps for the school of an administrator; none where all is there.

    Each leads straight to the page on which it is done, of the thing that is there already.
    """
    school = person.school_id
    courses = Course.objects.filter(school=school).order_by("-pk")
    cohort = Cohort.objects.filter(course__school=school).order_by("-pk").first()
    students = Enrolment.objects.filter(cohort__course__school=school, role=Role.STUDENT)
    has_students = students.exists()
    has_drill = Drill.objects.filter(cohort__course__school=school).exists()
    if has_students and has_drill:
        return []
    draft = courses.filter(published_at=None).first()
    published = courses.published().first()
    of_draft = {
        "course": reverse("course-detail", args=[draft.pk]) if draft else "",
        "publish": reverse("course-publish", args=[draft.pk]) if draft else "",
    }
    return [
        Step(
            "site",
            _("Add a site"),
            _("where drills are held, with position, time zone and skyline."),
            reverse("site-add"),
            Site.objects.filter(school=school).exists(),
        ),
        Step(
            "course",
            _("Add a course"),
            _("or import one from a file; it holds lessons and exercises."),
            reverse("course-add"),
            draft is not None or published is not None,
        ),
        Step(
            "exercise",
            _("Add lessons and exercises to it"),
            _("an exercise is a method, a task and a standard."),
            of_draft["course"],
            Exercise.objects.filter(course__school=school).exists(),
        ),
        Step(
            "published",
            _("Publish the course"),
            _("so that a cohort can take it."),
            of_draft["publish"],
            published is not None,
        ),
        Step(
            "cohort",
            _("Add a cohort"),
            _("who takes the course, and when."),
            f"{reverse('cohort-add')}?course={published.pk}" if published else "",
            cohort is not None,
        ),
        Step(
            "people",
            _("Bring in its people"),
            _("as a roster from a spreadsheet, or by links from the page of the cohort."),
            reverse("roster-import", args=[cohort.pk]) if cohort else "",
            has_students,
        ),
        Step(
            "drill",
            _("Plan a drill for the cohort"),
            _("results are then logged at the drill."),
            reverse("drill-add", args=[cohort.pk]) if cohort else "",
            has_drill,
        ),
    ]


def next_step(person: Person) -> Step | None:
    """What comes next for a school that is being set up."""
    return next((step for step in setup_steps(person) if not step.done), None)
