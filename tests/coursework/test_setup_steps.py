"""What a new school still lacks, and where it is done."""

import pytest
from django.urls import reverse

from coursework.setup_steps import next_step, setup_steps
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def administrator():
    return builders.administrator()


def test_the_steps_of_an_empty_school_lead_where_something_can_be_done(administrator):
    steps = setup_steps(administrator)
    assert not any(step.done for step in steps)
    assert [step.name for step in steps if step.address] == ["site", "course"]
    assert next_step(administrator).address == reverse("site-add")


def test_each_step_leads_to_the_thing_that_is_there(administrator):
    school = administrator.school
    builders.site(school=school)
    draft = builders.draft(school=school)
    assert next_step(administrator).address == reverse("course-detail", args=[draft.pk])
    builders.exercise(course=draft)
    assert next_step(administrator).address == reverse("course-publish", args=[draft.pk])
    draft.published_at = builders.SPRING
    draft.save()
    assert next_step(administrator).address == f"{reverse('cohort-add')}?course={draft.pk}"
    cohort = builders.cohort(course=draft)
    assert next_step(administrator).address == reverse("roster-import", args=[cohort.pk])
    builders.student(cohort)
    assert next_step(administrator).address == reverse("drill-add", args=[cohort.pk])
    builders.drill(cohort=cohort)
    assert next_step(administrator) is None


def test_another_schools_things_are_not_this_ones(administrator):
    builders.drill(cohort=builders.cohort())
    assert next_step(administrator).name == "site"


def test_the_next_step_stands_where_something_was_saved_for_administrators_only(client):
    cohort = builders.cohort()
    for person, told in (
        (builders.administrator(school=cohort.course.school), True),
        (builders.lead(cohort), False),
    ):
        client.force_login(person)
        page = client.post(
            reverse("course-add"), {"title": f"Course of {person.pk}"}, follow=True
        ).content.decode()
        assert "is saved" in page or "is added" in page or "draft" in page
        assert ("Setting up the school, next:" in page) is told
