"""That nothing is held about a person without saying what becomes of it."""

import pytest
from django.apps import apps
from django.db import models

from coursework import traces
from coursework.models import Person


def fields_to_person(among) -> set[str]:
    return {
        f"{model._meta.label}.{field.name}"
        for model in among
        for field in model._meta.get_fields()
        if isinstance(field, models.ForeignKey) and field.related_model is Person
    }


def test_every_field_that_points_to_a_person_is_declared():
    assert fields_to_person(apps.get_models()) == {trace.field for trace in traces.declared()}


def test_a_field_that_is_not_declared_would_be_found():
    assert "coursework.Enrolment.person" in fields_to_person(apps.get_models())
    assert fields_to_person([]) == set()


@pytest.mark.django_db
def test_every_declaration_can_be_carried_out():
    person = Person.objects.create(username="nobody")
    for trace in traces.declared():
        assert list(trace.rows(person).values(*trace.columns)) == []
        assert trace.going(trace.rows(person)).count() == 0


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Al fell.", "X fell."),
        ("Also Al, and Alma.", "Also X, and Alma."),
        ("al", "al"),
        ("(Al)", "(X)"),
    ],
)
def test_a_name_is_replaced_as_whole_words_only(text, found):
    assert traces.without_name(text, "Al", "X") == found


def test_a_name_is_taken_as_it_is_written_not_as_a_pattern():
    assert traces.without_name("A.B and AxB", "A.B", r"\1") == r"\1 and AxB"
