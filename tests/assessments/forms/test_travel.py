"""The form of results without a line: what each asks for, and where each refusal stands."""

import uuid

import pytest

from assessments.forms import correction_form, log_form
from assessments.forms.setting import Setting
from assessments.refusals import Refused
from tests import builders
from tests.assessments import results

pytestmark = pytest.mark.django_db

COMMON = {"date": "2025-06-20", "done_at": "10:30"}
TYPED = {
    "pace-count": {"paces": "268", "paces_per_100_m": "65", "measured_m": "400"},
    "distance": {
        "told_m": "350",
        "measured_m": "400",
        "measured_u": "2",
        "measured_u_unit": "m",
    },
    "compass-leg": {
        "start": "46.72, 8.18",
        "goal": "46.7254, 8.18",
        "arrival": "46.7252, 8.1803",
    },
    "position": {"true": "46.72, 8.18", "plotted": "46.7205, 8.1793", "point_u_m": "3"},
    "checklist": {},
}
REQUIRED = {
    "pace-count": {"paces", "measured_m"},
    "distance": {"told_m", "measured_m"},
    "compass-leg": {"start", "goal", "arrival"},
    "position": {"true", "plotted"},
    "checklist": set(),
}


def setting_of(method) -> Setting:
    drill = results.drill(method)
    return Setting.of_drill(drill, builders.student(drill.cohort))


def filled(method, **typed):
    data = COMMON | {"key": str(uuid.uuid4())} | TYPED[method] | typed
    return log_form(method)(data, setting=setting_of(method))


@pytest.mark.parametrize("method", results.TRAVEL)
def test_what_is_typed_is_what_is_scored(method):
    form = filled(method)
    assert form.is_valid(), form.errors
    given = {name: text for name, text in form.observation.columns.items() if text}
    assert given == results.observation(method).columns


@pytest.mark.parametrize("method", results.TRAVEL)
def test_a_blank_form_names_what_is_missing(method):
    form = log_form(method)({"key": str(uuid.uuid4())}, setting=setting_of(method))
    assert set(form.errors) == REQUIRED[method] | {"date", "done_at"}


def test_a_leg_can_be_typed_as_a_grid_reference():
    form = filled("compass-leg", arrival="32T MS 37386 74680")
    assert form.is_valid(), form.errors
    assert form.observation.columns["arrival_lat"].startswith("46.7")


def test_what_is_no_position_has_its_sentence_at_its_field():
    form = filled("position", plotted="by the beck")
    assert set(form.errors) == {"plotted"}


@pytest.mark.parametrize(
    ("method", "column", "name"),
    [
        ("compass-leg", "goal_lat", "goal"),
        ("compass-leg", "arrival_lon", "arrival"),
        ("distance", "measured_u_m", "measured_u"),
        ("pace-count", "paces", "paces"),
        ("checklist", "steps_met", "steps_met"),
        ("position", "times", "done_at"),
        ("position", "", "__all__"),
    ],
)
def test_a_refusal_stands_at_the_field_it_is_about(method, column, name):
    form = filled(method)
    assert form.is_valid(), form.errors
    form.refuse(Refused(column, "No."))
    assert form.errors[name] == ["No."]


@pytest.mark.parametrize("method", results.TRAVEL)
def test_a_record_opened_for_correction_and_sent_back_is_the_same(method):
    revision = results.attempt(method).current
    setting = Setting.of_revision(revision)
    form_class = correction_form(method)
    empty = form_class(initial=form_class.initial_of(setting, revision), setting=setting)
    data = {name: empty[name].value() for name in empty.fields}
    data = {name: value for name, value in data.items() if value is not None}
    form = form_class(data | {"reason": "None."}, setting=setting)
    assert form.is_valid(), form.errors
    for name, text in form.observation.filled(method).items():
        assert text == revision.inputs[name], name


@pytest.mark.parametrize("method", results.TRAVEL)
def test_the_next_result_starts_with_the_task_of_the_last(method):
    drill = results.drill(method)
    attempt = results.attempt(method, of=drill, sky="haze")
    form_class = log_form(method)
    carried = form_class.carried(Setting.of_drill(drill, attempt.student), attempt.current)
    own = {"paces", "paces_per_100_m", "told_m", "arrival", "plotted", "steps_met"}
    assert carried["sky"] == "haze"
    assert not own & set(carried)
    assert (REQUIRED[method] - own) <= set(carried)


def test_the_first_result_of_a_drill_starts_with_nothing():
    assert log_form("distance").carried(setting_of("distance"), None) == {}


def test_the_form_starts_with_the_students_own_paces():
    drill = results.drill("pace-count")
    student = builders.student(drill.cohort, paces_per_100_m=64.5)
    initial = log_form("pace-count").carried(Setting.of_drill(drill, student), None)
    assert initial["paces_per_100_m"] == "64.5"
