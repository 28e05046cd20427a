"""Small forms that every kind of page uses."""

from django import forms
from django.utils.translation import gettext_lazy as _

from coursework.forms.look import CrispyLook


class SearchForm(CrispyLook, forms.Form):
    q = forms.CharField(label=_("Find"), required=False, max_length=100, strip=True)

    def __init__(self, *args, label=None, **kwargs):
        super().__init__(*args, **kwargs)
        if label is not None:
            self.fields["q"].label = label
        self.fields["q"].widget = forms.TextInput(attrs={"type": "search"})

    @property
    def words(self) -> str:
        """What was asked for; blank where nothing was, or nothing that can be looked for."""
        # NUL is refused by the field (and by PostgreSQL).
        return self.cleaned_data["q"] if self.is_valid() else ""


class ConfirmForm(CrispyLook, forms.Form):
    """Nothing to fill in: sending it is the confirmation."""
