"""How long the planner's page takes: run `pytest tests/benchmarks/planner_page.py -q -s`.

The first answer of a process computes the year; the others find it kept.
"""

import time
from statistics import median

import pytest
from django.core.cache import cache
from django.urls import get_resolver, reverse

from tests import builders

TIMES = 15


@pytest.mark.django_db
def test_the_page_is_timed(client):
    site = builders.site()
    client.force_login(builders.lead(builders.cohort(school=site.school)))
    assert get_resolver().url_patterns  # as the server does before its first answer
    address = reverse("planner", args=[site.pk])
    cache.clear()

    def took_ms(**asked) -> float:
        begin = time.perf_counter()
        response = client.get(address, asked)
        assert response.status_code == 200
        assert b"<svg" in response.content
        return (time.perf_counter() - begin) * 1000.0

    first = took_ms()
    warm = [took_ms() for _number in range(TIMES)]
    other = [took_ms(method=method) for method in ("watch", "hands", "equal-shadow")]
    print(
        f"\nplanner: first {first:.0f} ms, warm {median(warm):.0f} ms "
        f"(longest {max(warm):.0f}), another method {median(other):.0f} ms"
    )
