"""What the tests of coursework share."""

import pytest
from django.db import connection

from tests.coursework.made import one_of_everything


@pytest.fixture
def connection_of_tests(db):
    return connection


@pytest.fixture
def world(db):
    return one_of_everything()
