"""What `solar` says, in the reader's language."""

import ast
import inspect
import re
from pathlib import Path

import pytest
from django.utils import translation

import solar
from coursework.solar_words import TEMPLATES, in_words
from solar.faults import Faults
from solar.sentences import Sentence
from tests.solar import rows

PLACE = re.compile(r"%\((\w+)\)(s?)")
CALLS = [
    node
    for path in sorted(Path(inspect.getfile(solar)).parent.rglob("*.py"))
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
    if isinstance(node, ast.Call)
]
MADE = [call for call in CALLS if isinstance(call.func, ast.Name) and call.func.id == "Sentence"]


def test_every_template_is_written_out_where_its_sentence_is_made():
    assert MADE
    assert [ast.unparse(one) for one in MADE if not isinstance(one.args[0], ast.Constant)] == []


def test_the_templates_are_those_of_solar_and_no_others():
    assert {call.args[0].value for call in MADE} == set(TEMPLATES)
    assert len(set(TEMPLATES)) == len(TEMPLATES)


@pytest.mark.parametrize("name", ["put", "put_where", "refuse"])
def test_what_is_said_of_a_row_is_a_sentence_and_no_bare_text(name):
    said = [
        call.args[-1].body if isinstance(call.args[-1], ast.Lambda) else part
        for call in CALLS
        if isinstance(call.func, ast.Attribute) and call.func.attr == name
        for part in call.args[2:]
    ]
    assert said
    assert [ast.unparse(p) for p in said if isinstance(p, ast.Constant | ast.JoinedStr)] == []
    assert Faults.put.__annotations__["what"] is Sentence


@pytest.mark.parametrize("template", TEMPLATES)
def test_a_template_has_a_french_text_that_can_be_filled_in(template):
    values = {name: "shadow-tip" if is_text else 1.5 for name, is_text in PLACE.findall(template)}
    sentence = Sentence(template, **values)
    with translation.override("fr"):
        french = in_words(sentence)
    assert french != in_words(sentence)
    assert "%(" not in french


def test_numbers_are_written_as_the_language_writes_them():
    problem = rows.scores_of(rows.row(**rows.SHADOW | {"check_time": "2026-05-10T06:10"}))
    problem = problem.columns["problem"][0].values["what"]
    assert re.search(r"at \d\.\d degrees", in_words(problem))
    with translation.override("fr"):
        assert re.search(r"à \d,\d°", in_words(problem))


def test_a_refused_row_is_told_in_french_with_its_column_and_value():
    problem = rows.problem(method="hands", hands="13")
    assert problem == "hands “13”: it must be more than 0 and at most 12 hands."
    with translation.override("fr"):
        french = in_words(problem).replace("\N{NO-BREAK SPACE}", " ")
        assert french == "hands « 13 » : doit être supérieur à 0 et d’au plus 12 mains."


def test_a_method_is_called_by_its_name():
    problem = rows.problem(method="watch", times="2026-05-10T10:00;2026-05-10T10:30")
    assert problem.endswith("exactly one time is needed for watch.")
    assert in_words(problem).endswith("exactly one time is needed for watch face.")


def test_text_that_was_made_elsewhere_is_left_alone():
    with translation.override("fr"):
        assert in_words("degrees") == "degrees"
