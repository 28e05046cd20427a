"""Sentences that remember what they were made from."""

import copy
import pickle

from solar.clock import ClockError, zone_of
from solar.sentences import Sentence, SentenceError

HEIGHT = Sentence("the sun stood at %(height).1f %(unit)s.", height=2.25, unit=Sentence("degrees"))


def test_a_sentence_is_its_english_text():
    assert HEIGHT == "the sun stood at 2.2 degrees."
    assert f"{HEIGHT}" == "the sun stood at 2.2 degrees."


def test_a_sentence_keeps_its_template_and_its_values():
    assert HEIGHT.template == "the sun stood at %(height).1f %(unit)s."
    assert HEIGHT.values == {"height": 2.25, "unit": "degrees"}


def test_a_sentence_survives_copying_and_pickling():
    for again in (copy.deepcopy(HEIGHT), pickle.loads(pickle.dumps(HEIGHT))):
        assert (again, again.template, again.values) == (HEIGHT, HEIGHT.template, HEIGHT.values)


def test_an_error_of_a_sentence_is_told_as_that_sentence():
    error = SentenceError(HEIGHT)
    assert str(error) == HEIGHT
    assert error.sentence is HEIGHT


def test_a_zone_that_there_is_not_is_told_with_its_template():
    try:
        zone_of("Nowhere/At_All")
    except ClockError as error:
        assert error.sentence.template == "“%(name)s” is not an IANA time zone."
        assert str(error) == "“Nowhere/At_All” is not an IANA time zone."
    else:
        raise AssertionError("a zone was found")
