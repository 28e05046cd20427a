"""How forms are drawn: the words for the choice of nothing."""

from django import forms
from django.db.models.fields import BLANK_CHOICE_DASH

from coursework.forms.look import CrispyLook
from coursework.models import Site

KINDS = [*BLANK_CHOICE_DASH, ("compass", "compass")]


class Asked(CrispyLook, forms.Form):
    needed = forms.ChoiceField(choices=KINDS)
    free = forms.ChoiceField(choices=KINDS, required=False)
    place = forms.ModelChoiceField(Site.objects.none(), required=False)
    own_words = forms.ModelChoiceField(Site.objects.none(), empty_label="anywhere")


def test_the_choice_of_nothing_is_said_in_words():
    fields = Asked().fields
    assert fields["needed"].choices == [("", "Choose one"), ("compass", "compass")]
    assert fields["free"].choices[0] == ("", "none")
    assert fields["place"].empty_label == "none"


def test_words_of_a_field_of_its_own_stay():
    assert Asked().fields["own_words"].empty_label == "anywhere"
