"""Whatever happens between devices and server, what was logged is stored, once."""

from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from assessments.models import Arrival, Attempt
from tests import builders
from tests.assessments import results
from tests.assessments.field.devices import Device

STEP = st.one_of(
    st.tuples(st.just("log"), st.integers(0, 3)),
    st.tuples(st.just("send"), st.integers(1, 4), st.booleans()),
    st.tuples(st.just("arrive"), st.integers(0, 5), st.booleans(), st.booleans()),
    st.tuples(st.just("lose"), st.integers(0, 5)),
    st.tuples(st.just("crash")),
)


def take(device: Device, step: tuple) -> None:
    match step:
        case ("log", number):
            device.log(number)
        case ("send", some, backwards):
            device.put_on_the_way(some, backwards=backwards)
        case ("arrive", which, answered, twice):
            device.arrive(which, answered=answered, twice=twice)
        case ("lose", which):
            device.lose(which)
        case ("crash",):
            device.crash()


class Interleaving(TestCase):
    def setUp(self):
        self.drill = results.drill()
        students = [builders.student(self.drill.cohort) for _ in range(3)]
        people = [builders.lead(self.drill.cohort), builders.assistant(self.drill.cohort)]
        self.crew = [(person, self.drill, students) for person in people]

    @settings(max_examples=25)
    @given(st.lists(st.tuples(st.integers(0, 1), STEP), max_size=25))
    def test_exactly_what_was_logged_is_stored(self, steps):
        devices = [Device(*crew) for crew in self.crew]
        for which, step in steps:
            take(devices[which], step)
        for device in devices:
            device.finish()
        logged = sorted(key for device in devices for key in device.kept)
        assert sorted(str(key) for key in Attempt.objects.values_list("key", flat=True)) == logged
        assert all(device.stored == set(device.kept) for device in devices)
        assert Arrival.objects.count() == len(logged)


def test_a_step_does_what_its_name_says():
    """The steps above would prove nothing if they did nothing."""
    device = Device(None, None, [])
    device.kept = {"a": {"key": "a"}, "b": {"key": "b"}}
    take(device, ("send", 1, True))
    assert device.on_the_way == [[{"key": "b"}]]
    take(device, ("lose", 3))
    assert device.on_the_way == []
