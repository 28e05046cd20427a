"""Which tables a backup holds, and a row of one as plain JSON and back."""

import base64
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from uuid import UUID

from django.apps.registry import Apps
from django.db import models

# Whoever was signed in signs in again: a session restored would be one that was ended since.
LEFT_OUT = {"sessions.session"}


def models_of(apps: Apps) -> list[type[models.Model]]:
    """All models with a table of their own, those between two others included, in a fixed order."""
    found = [
        model
        for model in apps.get_models(include_auto_created=True)
        if model._meta.managed and not model._meta.proxy
    ]
    kept = [model for model in found if model._meta.label_lower not in LEFT_OUT]
    return sorted(kept, key=lambda model: model._meta.label_lower)


def columns_of(model: type[models.Model]) -> list[str]:
    return [field.attname for field in model._meta.concrete_fields]


def plain_rows(model: type[models.Model]) -> Iterator[list]:
    """Every row of a table, by its key, as values that JSON has."""
    rows = model._base_manager.order_by("pk").values_list(*columns_of(model))
    for row in rows.iterator(chunk_size=1000):
        yield [_plain(value) for value in row]


def _plain(value):
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    if isinstance(value, Decimal | UUID):
        return str(value)
    if isinstance(value, timedelta):
        return str(value.total_seconds())
    if isinstance(value, bytes | memoryview):
        return base64.b64encode(bytes(value)).decode("ascii")
    # JSON itself: texts, numbers, lists and objects of JSON fields.
    return value


def object_of(model: type[models.Model], columns: list[str], row: list) -> models.Model:
    """The row as an object that is not saved yet."""
    fields = {field.attname: field for field in model._meta.concrete_fields}
    return model(
        **{name: _value(fields[name], value) for name, value in zip(columns, row, strict=True)}
    )


def _value(field: models.Field, value):
    if value is None or isinstance(field, models.JSONField):
        return value
    if isinstance(field, models.DurationField):
        return timedelta(seconds=float(value))
    if isinstance(field, models.BinaryField):
        return base64.b64decode(value)
    return field.to_python(value)
