"""A point or a comma before the decimals, in every number field."""

import pytest
from django import forms
from django.core.exceptions import ValidationError
from hypothesis import given
from hypothesis import strategies as st

from coursework.decimals import with_point
from coursework.forms.look import CrispyLook


class Made(CrispyLook, forms.Form):
    metres = forms.FloatField(min_value=-100, max_value=5000)


@given(st.decimals(-4000, 4000, places=2))
def test_a_comma_and_a_point_are_the_same_number(number):
    for text in (f"{number}", f"{number}".replace(".", ","), f" {number} ".replace("-", "−")):
        assert float(with_point(text)) == float(number)


@pytest.mark.parametrize("typed", ["1,500", "-12,345", "999,000", "−1,000"])
def test_what_may_be_thousands_or_decimals_is_not_guessed(typed):
    with pytest.raises(ValidationError, match="in two ways"):
        with_point(typed)


@pytest.mark.parametrize(("typed", "number"), [("0,500", 0.5), ("1,50", 1.5), ("1500,25", 1500.25)])
def test_other_commas_can_only_be_decimal(typed, number):
    assert float(with_point(typed)) == number


def test_the_sentence_says_both_ways():
    form = Made({"metres": "1,500"})
    assert form.errors["metres"] == ["“1,500” can be read in two ways: write 1500 or 1.500."]


def test_a_form_takes_a_comma_and_keeps_its_limits():
    assert Made({"metres": "12,5"}).is_valid()
    assert not Made({"metres": "5000,1"}).is_valid()


@pytest.mark.parametrize("typed", ["1,2,3", "1.5,2", ",", "abc", "12,5,"])
def test_what_is_no_number_is_refused(typed):
    assert Made({"metres": typed}).errors["metres"] == ["Enter a number."]


def test_the_field_offers_a_keypad_with_a_decimal_sign_and_leaves_the_reading_to_the_site():
    page = str(Made()["metres"])
    assert 'type="text"' in page
    assert 'inputmode="decimal"' in page
    assert "max=" not in page
