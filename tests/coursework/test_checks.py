"""What manage.py check --deploy says about workers and cache."""

import pytest

from coursework import environment
from coursework.checks import check_cache_is_shared

REDIS = "redis://127.0.0.1:6379/0"


@pytest.mark.parametrize(
    ("workers", "url", "warned"), [(1, None, []), (2, None, ["coursework.W001"]), (2, REDIS, [])]
)
def test_several_workers_without_a_shared_cache_are_warned_of(settings, workers, url, warned):
    settings.WORKERS = workers
    settings.CACHES = {"default": environment.cache(url)}
    assert [warning.id for warning in check_cache_is_shared()] == warned
