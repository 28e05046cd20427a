"""Several things of the database, chosen in one field."""

from django import forms


class SeveralField(forms.ModelMultipleChoiceField):
    """Takes a number that no key of the database can have for one that does not exist.

    Django's own field lets the database refuse it, and SQLite does so with an OverflowError.
    """

    def _check_values(self, value):
        try:
            return super()._check_values(value)
        except OverflowError:
            raise forms.ValidationError(
                self.error_messages["invalid_list"], code="invalid_list"
            ) from None
