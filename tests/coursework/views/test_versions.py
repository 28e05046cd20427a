"""Publishing, changing, copying and discarding in the browser's terms; moving a cohort."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from coursework import services
from coursework.models import Course
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def lead(client):
    person = builders.lead(builders.cohort())
    client.force_login(person)
    return person


def page_of(client, name, *args) -> str:
    return client.get(reverse(name, args=args)).content.decode()


def second_version(lead, course) -> Course:
    draft = services.next_version(lead, course)
    draft.change_note = "Tighter."
    draft.published_at = timezone.now()
    draft.save()
    return draft


def test_an_empty_draft_says_before_that_it_cannot_be_published(client, lead):
    draft = builders.draft(school=lead.school)
    page = page_of(client, "course-publish", draft.pk)
    assert "neither a lesson nor an exercise" in page
    assert "Publish version 1</button>" not in page


def test_remarks_are_said_before_and_do_not_hinder(client, lead):
    draft = builders.lesson(course=builders.draft(school=lead.school)).course
    address = reverse("course-publish", args=[draft.pk])
    assert "has no objectives, outline, kit list, cautions" in client.get(address).content.decode()
    assert client.post(address).url == reverse("course-detail", args=[draft.pk])
    draft.refresh_from_db()
    assert draft.published_by == lead


def test_a_second_version_asks_what_changed_and_shows_it(client, lead):
    course = builders.exercise(course=builders.course(school=lead.school)).course
    draft = services.next_version(lead, course)
    draft.exercises.update(tolerance=7.5)
    address = reverse("course-publish", args=[draft.pk])
    page = client.get(address).content.decode()
    assert "<del>15°</del> → <ins>7.5°</ins>" in page
    client.post(address, {"change_note": " "})
    draft.refresh_from_db()
    assert draft.is_draft
    client.post(address, {"change_note": "Tighter."})
    draft.refresh_from_db()
    assert (draft.is_draft, draft.change_note) == (False, "Tighter.")


def test_changing_a_course_leads_to_its_draft_and_back_to_it_later(client, lead):
    course = builders.exercise(course=builders.course(school=lead.school)).course
    address = reverse("course-change", args=[course.pk])
    assert "A draft of version 2 is made" in client.get(address).content.decode()
    assert course.versions.count() == 1
    client.post(address)
    draft = course.versions.drafts().get()
    assert client.get(address).url == reverse("course-detail", args=[draft.pk])


def test_a_draft_is_asked_about_before_it_is_discarded(client, lead):
    course = builders.course(school=lead.school)
    draft = services.next_version(lead, course)
    address = reverse("course-discard", args=[draft.pk])
    assert "Everything changed since version 1 is lost" in client.get(address).content.decode()
    assert course.versions.count() == 2
    assert client.post(address).url == reverse("course-detail", args=[course.pk])
    assert list(course.versions) == [course]


def test_a_copy_needs_a_title_of_its_own(client, lead):
    course = builders.course(school=lead.school, title="Sun")
    address = reverse("course-copy", args=[course.pk])
    response = client.post(address, {"title": "SUN"})
    assert "already has a course of this title" in response.content.decode()
    client.post(address, {"title": "Sun, short"})
    assert Course.objects.get(title="Sun, short").is_draft


def test_the_page_of_a_cohort_says_that_a_newer_version_is_there(client, lead):
    cohort = lead.enrolments.get().cohort
    assert "See what version" not in page_of(client, "cohort-detail", cohort.pk)
    second_version(lead, cohort.course)
    assert "See what version 2 changes" in page_of(client, "cohort-detail", cohort.pk)


def test_a_cohort_on_the_newest_version_has_nowhere_to_move(client, lead):
    cohort = lead.enrolments.get().cohort
    assert "there is no newer one" in page_of(client, "cohort-move", cohort.pk)


def test_moving_a_cohort_shows_changes_and_drills_before_it_does_anything(client, lead):
    cohort = lead.enrolments.get().cohort
    stays, goes = (
        builders.drill(cohort=cohort, starts_at=timezone.now() + timedelta(days=days))
        for days in (2, 3)
    )
    builders.drill(cohort=cohort)
    new = second_version(lead, cohort.course)
    new.exercises.filter(key=goes.exercise.key).delete()
    builders.lesson(course=new, title="Brand new")
    address = reverse("cohort-move", args=[cohort.pk])
    page = client.get(address).content.decode()
    assert "<strong>Added:</strong> Brand new" in page
    assert f"<strong>Removed:</strong> {goes.exercise.title}" in page
    assert "the new version lacks their exercise" in page
    assert "1 drill has begun or has results" in page
    cohort.refresh_from_db()
    assert cohort.course != new
    client.post(f"{address}?version=2")
    cohort.refresh_from_db()
    stays.refresh_from_db()
    goes.refresh_from_db()
    assert (cohort.course, stays.exercise.course) == (new, new)
    assert goes.exercise.course != new


def test_the_version_that_was_looked_at_is_the_one_moved_to(client, lead):
    cohort = lead.enrolments.get().cohort
    second = second_version(lead, cohort.course)
    second_version(lead, cohort.course)
    address = reverse("cohort-move", args=[cohort.pk])
    assert 'action="?version=2"' in client.get(f"{address}?version=2").content.decode()
    client.post(f"{address}?version=2")
    cohort.refresh_from_db()
    assert cohort.course == second


def test_a_cohort_is_offered_newest_published_versions_only(client, lead):
    cohort = lead.enrolments.get().cohort
    second_version(lead, cohort.course)
    builders.draft(school=lead.school)
    form = client.get(reverse("cohort-add")).context["form"]
    assert [course.number for course in form.fields["course"].queryset] == [2]


def test_a_drill_left_behind_can_still_be_edited(client, lead):
    cohort = lead.enrolments.get().cohort
    drill = builders.drill(cohort=cohort, starts_at=timezone.now() + timedelta(days=2))
    new = second_version(lead, cohort.course)
    new.exercises.all().delete()
    services.move_cohort(lead, cohort, new)
    form = client.get(reverse("drill-edit", args=[drill.pk])).context["form"]
    assert list(form.fields["exercise"].queryset) == [drill.exercise]


def test_a_move_says_of_planned_lessons_what_stays_as_it_was(client, lead):
    cohort = lead.enrolments.get().cohort
    lesson = builders.lesson(course=cohort.course, minutes=60)
    starts_at = timezone.now() + timedelta(days=3)
    builders.planned_lesson(cohort=cohort, lesson=lesson, minutes=60, starts_at=starts_at)
    builders.planned_lesson(
        cohort=cohort,
        lesson=lesson,
        starts_at=starts_at + timedelta(days=1),
        cancelled_at=timezone.now(),
    )
    new = second_version(lead, cohort.course)
    new.lessons.filter(key=lesson.key).update(minutes=90)
    shown = page_of(client, "cohort-move", cohort.pk)
    assert shown.count("stays 60 min long; the new plan says 90 min") == 1
    assert shown.count('<span class="row-note">cancelled</span>') == 1
