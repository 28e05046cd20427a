"""Choosing a file of attempts, and saying that what it holds is to be stored."""

from django import forms
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from assessments.bringing.reading import LARGEST_BYTES
from coursework.forms.look import CrispyLook


class AttemptFileForm(CrispyLook, forms.Form):
    attempts = forms.FileField(
        label=_("CSV file"),
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,text/csv,text/plain"}),
        error_messages={"empty": _("The file is empty.")},
        help_text=format_lazy(_("At most {size} kB."), size=LARGEST_BYTES // 1024),
    )


class AttemptFileConfirmForm(CrispyLook, forms.Form):
    """Carries the file's text from the preview to the confirmation: it is stored nowhere."""

    content = forms.CharField(widget=forms.HiddenInput, strip=False, max_length=LARGEST_BYTES)
