"""The schema of course files follows the tables."""

import pytest
from jsonschema import Draft202012Validator

from coursework.exchange.schema import LEFT_OUT, fields_of, schema
from coursework.models import Course, Exercise, Lesson


def test_it_is_a_schema():
    Draft202012Validator.check_schema(schema())


@pytest.mark.parametrize(("model", "rows"), [(Lesson, "lessons"), (Exercise, "exercises")])
def test_every_field_that_is_not_left_out_is_in_the_file(model, rows):
    names = {field.name for field in model._meta.get_fields() if field.concrete}
    properties = schema()["properties"][rows]["items"]["properties"]
    assert names - LEFT_OUT <= set(properties)


def test_of_a_course_its_texts_are_in_the_file():
    assert [field.name for field in fields_of(Course)] == ["title", "summary"]
