"""Eight people log at the same time while the workers of the server are killed and restarted.

The same with 2,000 results: `.venv/bin/python -m tests.benchmarks writers`.
"""

import pytest

from tests.engines import servers
from tests.engines.writing import write

RESULTS = 200


@pytest.mark.engines
@pytest.mark.parametrize("engine", servers.ENGINES)
def test_nothing_is_lost_nor_doubled_by_eight_writers_and_killed_workers(engine, tmp_path):
    more = {"REDIS_URL": servers.empty_redis()} if engine == "postgresql" else {}
    with servers.site(engine, tmp_path, **more) as site:
        world = site.ask("prepare", "8")
        outcome = write(site, [site.serve()], world, results=RESULTS)
        assert outcome.faults == []
        assert (outcome.lost, outcome.doubled, outcome.half_written) == (0, 0, 0)
        assert outcome.sums_are_true
        # No answer came from killed workers; every answer that came was one.
        assert set(outcome.statuses) <= {200, "no answer"}
        assert outcome.killed > 0
