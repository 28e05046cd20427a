"""Removing what nothing of record hangs on."""

import pytest
from django.core.exceptions import PermissionDenied
from django.db import models

from coursework import services
from coursework.models import Cohort, Course, Drill, Exercise, ReferenceMark, Site
from coursework.services import removal
from tests import builders

pytestmark = pytest.mark.django_db


def test_a_drill_without_results_goes():
    drill = builders.drill()
    services.remove(builders.lead(drill.cohort), drill)
    assert not Drill.objects.exists()


def test_a_cohort_goes_with_its_drills_and_not_with_its_people():
    drill = builders.drill()
    lead = builders.lead(drill.cohort)
    services.remove(lead, drill.cohort)
    assert not Cohort.objects.exists()
    assert not Drill.objects.exists()
    lead.refresh_from_db()


def test_what_a_drill_stands_on_stays_and_the_reason_is_told():
    drill = builders.drill()
    with pytest.raises(services.HeldError, match=r"Drills .* so it stays"):
        services.remove(builders.lead(drill.cohort), drill.site)
    assert Site.objects.filter(pk=drill.site_id).exists()


@pytest.mark.parametrize("make", [builders.exercise, builders.lesson])
def test_a_part_of_a_published_version_stays_and_one_of_a_draft_goes(make):
    admin = builders.administrator()
    frozen = make(course=builders.course(school=admin.school))
    with pytest.raises(services.HeldError, match="is published and stays as it is"):
        services.remove(admin, frozen)
    free = make(course=builders.draft(school=admin.school))
    services.remove(admin, free)
    assert list(type(frozen).objects.all()) == [frozen]


def test_a_course_goes_with_all_its_versions():
    admin = builders.administrator()
    course = builders.exercise(course=builders.course(school=admin.school)).course
    services.next_version(admin, course)
    services.remove(admin, course)
    assert not Course.objects.exists()


def test_a_course_stays_where_a_cohort_takes_another_version_of_it():
    old = builders.cohort().course
    new = builders.course(school=old.school, title=old.title, lineage=old.lineage, number=2)
    assert services.is_held(new)
    with pytest.raises(services.HeldError, match="cohorts of this course"):
        services.remove(builders.administrator(school=old.school), new)


def test_a_course_with_a_cohort_stays_with_its_exercises():
    drill = builders.drill()
    with pytest.raises(services.HeldError, match="cohorts of this course"):
        services.remove(builders.lead(drill.cohort), drill.cohort.course)
    assert Exercise.objects.exists()


def test_a_site_goes_with_its_marks():
    mark = builders.mark()
    services.remove(builders.administrator(school=mark.site.school), mark.site)
    assert not Site.objects.exists()
    assert not ReferenceMark.objects.exists()


def test_a_reader_removes_nothing():
    drill = builders.drill()
    with pytest.raises(PermissionDenied):
        services.remove(builders.assistant(drill.cohort), drill)
    assert Drill.objects.exists()


def test_a_site_is_held_by_its_drills_and_not_by_its_marks():
    mark = builders.mark()
    assert not services.is_held(mark.site)
    builders.drill(site=mark.site)
    assert services.is_held(mark.site)


def test_every_kind_of_thing_that_can_be_held_has_a_reason_of_its_own():
    held = {
        relation.model
        for model in (Drill, Cohort, Site, Exercise, ReferenceMark, *removal.REASONS)
        for relation in model._meta.related_objects
        if relation.on_delete is models.PROTECT
    }
    assert held <= set(removal.REASONS)


def test_a_cohort_whose_drills_are_held_says_so_before_anyone_tries():
    drill = builders.drill()
    assert removal.reason_to_stay(drill.cohort) is None
    builders.decision(drill=drill)
    assert "is on record, so it stays" in removal.reason_to_stay(drill.cohort)
