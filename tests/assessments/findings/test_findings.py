"""Each fault is found in a student who has exactly that one, and in no careful student."""

from dataclasses import replace
from datetime import timedelta

import pytest

from assessments.findings import Certainty, look
from tests.assessments.findings.students import START, attempt, careful, scatter


def names(evidence) -> list[str]:
    return [finding.name for finding in look(evidence).findings]


def pulled(count=8, pull=7.0):
    return [attempt(i, own_error_deg=pull + own) for i, own in enumerate(scatter(count))]


def small_hand(count=4, **facts):
    return [
        attempt(i, own_error_deg=own, method="hands", hands=3.0, rule_deg_per_hand=15.0, **facts)
        for i, own in enumerate(scatter(count))
    ]


def close_marks(count=4):
    return [
        attempt(i, own_error_deg=own, minutes_between_marks=5.0, marking_scatter_deg=7.0)
        for i, own in enumerate(scatter(count, size=6.0))
    ]


def lucky():
    return [
        *careful(6),
        attempt(20, own_error_deg=18.5, method_error_deg=-17.0),
    ]


def wrong_declination(factor=1.0, places=(14.0, -8.0, 14.0, -8.0, 14.0)):
    return [
        attempt(i, own_error_deg=factor * declination + own, site_declination_deg=declination)
        for i, (declination, own) in enumerate(zip(places, scatter(len(places)), strict=True))
    ]


def summer_watch(count=4, *, northern=True):
    side = -15.0 if northern else 15.0
    return [
        attempt(i, method="watch", northern=northern, own_error_deg=side + own)
        for i, own in enumerate(scatter(count))
    ]


def swapped_once():
    return [*careful(6), attempt(20, own_error_deg=176.0)]


@pytest.mark.parametrize(
    ("student", "name"),
    [
        (pulled(), "pull"),
        (pulled(pull=-7.0), "pull"),
        (small_hand(measured_deg_per_hand=10.0), "hand"),
        (small_hand(sun_height_deg=30.0), "hand"),
        (close_marks(), "marks"),
        (lucky(), "cancelled"),
        (wrong_declination(1.0), "declination"),
        (wrong_declination(-1.0), "declination"),
        (wrong_declination(2.0), "declination"),
        (wrong_declination(-2.0), "declination"),
        (summer_watch(), "summer-time"),
        (summer_watch(northern=False), "summer-time"),
        (swapped_once(), "swapped"),
    ],
)
def test_a_student_with_one_fault_is_told_that_one_and_no_other(student, name):
    assert names(student) == [name]


@pytest.mark.parametrize(
    "student",
    [
        careful(12),
        careful(12, site_declination_deg=14.0),
        careful(8, method="watch"),
        careful(8, method="hands", hands=3.0, rule_deg_per_hand=15.0, measured_deg_per_hand=14.5),
        careful(8, method="hands", hands=3.0, rule_deg_per_hand=15.0, sun_height_deg=45.5),
        careful(8, declared_deg=17.0, method_error_deg=-17.0),
    ],
)
def test_a_careful_student_is_told_nothing(student):
    assert names(student) == []


def test_too_few_attempts_say_how_many_more_are_needed():
    found = look(pulled(count=3))
    assert found.findings == ()
    assert "2 more attempts" in " ".join(note.says for note in found.not_yet)


def test_one_attempt_short_says_one_more():
    notes = [note.says for note in look(pulled(count=4)).not_yet]
    assert any("one more attempt is needed" in says for says in notes)


def test_nothing_at_all_is_neither_found_nor_asked_for():
    found = look([])
    assert (found.findings, found.not_yet) == ((), ())


def test_a_method_never_tried_asks_for_no_more_attempts():
    assert all("watch" not in note.says for note in look(careful(6)).not_yet)


def test_the_sentence_of_a_pull_carries_side_size_interval_and_count():
    (finding,) = look(pulled()).findings
    assert "to the right" in finding.says
    assert "7.0°" in finding.says
    assert "±" in finding.says
    assert "8 attempts" in finding.says


def test_a_measured_hand_is_a_clear_finding_and_an_implied_one_is_not():
    (measured,) = look(small_hand(measured_deg_per_hand=10.0)).findings
    counts = [replace(one, hands=one.hands + i % 2) for i, one in enumerate(small_hand(6))]
    implied = look([replace(one, sun_height_deg=33.0) for one in counts]).findings
    assert measured.certainty is Certainty.CLEAR
    assert [finding.certainty for finding in implied] != [Certainty.CLEAR]
    assert "10.0°" in measured.change


def test_a_declared_correction_makes_no_lucky_line():
    line = attempt(20, own_error_deg=18.5, method_error_deg=-17.0, declared_deg=2.0)
    assert "cancelled" not in names([*careful(6), line])


def test_a_line_judged_on_the_own_error_is_never_lucky():
    line = attempt(20, own_error_deg=18.5, method_error_deg=-17.0, judged_on="own")
    assert "cancelled" not in names([*careful(6), line])


def test_a_swapped_line_takes_no_part_in_the_mean():
    (finding,) = [f for f in look([*pulled(), attempt(30, own_error_deg=-178.0)]).findings
                  if f.name == "pull"]  # fmt: skip
    assert "7.0°" in finding.says


@pytest.mark.parametrize(
    ("declination", "certainty"), [(14.0, Certainty.LIKELY), (4.0, Certainty.HINT)]
)
def test_at_one_place_alone_the_size_of_the_declination_has_to_speak(declination, certainty):
    places = tuple(declination + value for value in (0.0, 0.2, 0.1, 0.0))
    found = look(wrong_declination(places=places)).findings
    assert {one.name: one.certainty for one in found}["declination"] is certainty


def test_what_shows_in_the_last_lines_comes_before_what_is_long_past():
    once = [replace(one, key=f"l{i}") for i, one in enumerate(lucky())]
    later = START + timedelta(days=400)
    since = [
        replace(one, key=f"p{i}", observed_at=later + timedelta(days=i))
        for i, one in enumerate(pulled(count=12))
    ]
    assert names(once)[0] == "cancelled"
    assert names([*once, *since])[:2] == ["pull", "cancelled"]


def test_no_more_than_three_findings_are_told_at_once():
    everything = [
        *close_marks(4),
        *[replace(one, key=f"w{i}") for i, one in enumerate(summer_watch(3))],
        *[replace(one, key=f"l{i}") for i, one in enumerate(lucky())],
        attempt(40, own_error_deg=179.0),
    ]
    found = look(everything)
    assert len(found.findings) > 3
    assert len(found.told) == 3


def test_every_finding_names_the_attempts_it_rests_on():
    for student in (pulled(), close_marks(), lucky(), summer_watch(), swapped_once()):
        for finding in look(student).findings:
            assert finding.rests_on
            assert set(finding.rests_on) <= set(student)
