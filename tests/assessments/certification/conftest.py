"""Smaller keys than a school gets: making them is most of the time."""

import pytest

from assessments.certification import keys


@pytest.fixture(autouse=True)
def small_keys(monkeypatch):
    monkeypatch.setattr(keys, "BITS", 2048)
