"""Checks that several forms share."""

from django.db.models import QuerySet


def taken(form, field: str, among: QuerySet) -> bool:
    """Whether another row of `among` has the text of `field`, capitals aside."""
    value = form.cleaned_data.get(field)
    if not value:
        return False
    return among.filter(**{f"{field}__iexact": value}).exclude(pk=form.instance.pk).exists()
