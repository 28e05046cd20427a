"""How every form of the site is drawn."""

from functools import cached_property, lru_cache

from crispy_forms.helper import FormHelper
from crispy_forms.utils import render_crispy_form
from django import forms
from django.db.models.fields import BLANK_CHOICE_DASH
from django.utils.safestring import SafeString
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from coursework.decimals import take_comma


class CrispyLook:
    """Mixin for forms: fields drawn by crispy-forms inside the page's own <form> tag.

    `layout` may be overridden by a method that returns a crispy Layout.
    """

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        for name, value in self.initial.items():
            # "15" reads better in a field than "15.0".
            if isinstance(value, float) and value.is_integer():
                self.initial[name] = int(value)
        for field in self.fields.values():
            take_comma(field)
            _say_blank(field)

    @cached_property
    def helper(self) -> FormHelper:
        """How crispy-forms draws the form; a form that is only read from needs none."""
        helper = FormHelper()
        helper.form_tag = False
        # The page's <form> has the token and the buttons.
        helper.disable_csrf = True
        layout = self.layout()
        if layout is not None:
            helper.layout = layout
        return helper

    def layout(self):
        """The order and grouping of the fields; None for one below the other."""
        return


def _say_blank(field: forms.Field) -> None:
    """Words for the choice of nothing, where Django would draw a row of dashes."""
    dashes = BLANK_CHOICE_DASH[0][1]
    words = _("Choose one") if field.required else _("none")
    if isinstance(field, forms.ModelChoiceField):
        if field.empty_label == dashes:
            field.empty_label = words
    elif isinstance(field, forms.ChoiceField) and ("", dashes) in list(field.choices):
        field.choices = [(key, words if said == dashes else said) for key, said in field.choices]


def untouched(form_class: type) -> SafeString:
    """A form as it stands before anyone filled it in, which is the same for everyone."""
    return _untouched(form_class, get_language())


@lru_cache(maxsize=64)
def _untouched(form_class: type, _language: str | None) -> SafeString:
    return render_crispy_form(form_class())
