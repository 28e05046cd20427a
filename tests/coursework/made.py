"""The world that the tests of coursework share."""

from types import SimpleNamespace

from tests import builders


def one_of_everything() -> SimpleNamespace:
    """One of everything at one school, and people in every role."""
    cohort = builders.cohort()
    course, school = cohort.course, cohort.course.school
    site = builders.site(school=school)
    exercise = builders.exercise(course=course)
    enrolment = builders.enrolment(cohort=cohort)
    incident = builders.incident(school=school, site=site)
    draft = builders.draft(school=school)
    lesson = builders.lesson(course=course)
    return SimpleNamespace(
        cohort=cohort,
        course=course,
        exercise=exercise,
        lesson=lesson,
        planned=builders.planned_lesson(cohort=cohort, lesson=lesson, site=site),
        cancelled_lesson=builders.planned_lesson(
            cohort=cohort, lesson=lesson, cancelled_at=builders.SPRING
        ),
        draft=draft,
        draft_exercise=builders.exercise(course=draft),
        draft_lesson=builders.lesson(course=draft),
        site=site,
        mark=builders.mark(site=site),
        incident=incident,
        follow_up=builders.follow_up(incident=incident),
        instrument=builders.instrument(school=school),
        enrolment=enrolment,
        approval=builders.approval(person=enrolment.person),
        invitation=builders.invitation(cohort=cohort),
        person=enrolment.person,
        group=builders.group(cohort=cohort),
        cancelled=builders.drill(
            cohort=cohort, site=site, exercise=exercise, cancelled_at=builders.SPRING
        ),
        drill=builders.drill(cohort=cohort, site=site, exercise=exercise),
        student=builders.student(cohort),
        assistant=builders.assistant(cohort),
        lead=builders.lead(cohort),
        administrator=builders.administrator(school=school),
        other_lead=builders.lead(builders.cohort(school=school)),
        stranger=builders.administrator(),
    )
