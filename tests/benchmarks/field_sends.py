"""What devices send through a bad connection, counted: sent, stored, doubled, lost.

Not part of `python -m tests.benchmarks`, since it needs a database of its own:

    .venv/bin/python -m pytest tests/benchmarks/field_sends.py -q -s
"""

import random
from collections import Counter

import pytest

from assessments.models import Attempt
from tests import builders
from tests.assessments import results
from tests.assessments.field.devices import Device

RESULTS = 400
SEED = 5


@pytest.mark.django_db
def test_a_season_of_bad_signal():
    chance = random.Random(SEED)
    drill = results.drill()
    students = [builders.student(drill.cohort) for _ in range(12)]
    people = [builders.lead(drill.cohort), builders.assistant(drill.cohort)]
    devices = [Device(person, drill, students) for person in people for _ in range(2)]
    faults = Counter()
    logged = 0
    while logged < RESULTS or any(len(each.stored) < len(each.kept) for each in devices):
        device = chance.choice(devices)
        if logged < RESULTS and chance.random() < 0.5:
            device.log(logged)
            logged += 1
            continue
        device.put_on_the_way(chance.randint(1, 6), backwards=chance.random() < 0.5)
        happens = chance.choices(
            ["answered", "answer lost", "never arrives", "arrives twice", "late", "killed"],
            weights=[30, 30, 15, 10, 10, 5],
        )[0]
        faults[happens] += 1
        which = chance.randrange(6)
        if happens == "answered":
            device.arrive(which, answered=True)
        elif happens == "answer lost":
            device.arrive(which, answered=False)
        elif happens == "never arrives":
            device.lose(which)
        elif happens == "arrives twice":
            device.arrive(which, answered=chance.random() < 0.5, twice=True)
        elif happens == "killed":
            device.crash()
    keys = [key for device in devices for key in device.kept]
    stored = Counter(str(key) for key in Attempt.objects.values_list("key", flat=True))
    doubled = sum(number - 1 for number in stored.values()) + len(set(stored) - set(keys))
    lost = len(set(keys) - set(stored))
    sent = sum(device.sent for device in devices)
    print(
        f"\n{len(devices)} devices, {logged} results logged, {sent} sent, {len(stored)} stored, "
        f"{doubled} doubled, {lost} lost; messages: {dict(faults)}"
    )
    assert (sent >= 1000, doubled, lost) == (True, 0, 0)
