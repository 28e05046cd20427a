"""Forms of results: what each method and each check asks for, and nothing else."""

from assessments.forms.attempt import CorrectionForm, LogForm
from assessments.forms.travel import TravelCorrectionForm, TravelLogForm
from coursework.models.methods import is_travel

__all__ = ["correction_form", "log_form"]


def log_form(method: str) -> type[LogForm] | type[TravelLogForm]:
    """The form in which a result by a method is entered."""
    return TravelLogForm if is_travel(method) else LogForm


def correction_form(method: str) -> type[CorrectionForm] | type[TravelCorrectionForm]:
    """The form in which a result by a method is corrected."""
    return TravelCorrectionForm if is_travel(method) else CorrectionForm
