"""Eight people log 2,000 results while workers are killed and the server is restarted: counted."""

import tempfile
from pathlib import Path

from tests.benchmarks.timing import show_table
from tests.engines import servers
from tests.engines.writing import Outcome, write

RESULTS = 2000


def eight_writers() -> None:
    rows = [_row(engine, _measured(engine)) for engine in servers.ENGINES]
    header = (
        f"{RESULTS} results by 8 writers",
        *("seconds", "killed", "reloaded", "tries", "no answer", "other than 200"),
        *("lost", "doubled", "half written", "sums true"),
    )
    show_table("Workers killed under eight writers", header, rows)


def _measured(engine: str) -> Outcome:
    more = {"REDIS_URL": servers.empty_redis()} if engine == "postgresql" else {}
    with (
        tempfile.TemporaryDirectory(prefix="plumbshadow-writers-") as folder,
        servers.site(engine, Path(folder), **more) as site,
    ):
        world = site.ask("prepare", "8")
        return write(site, [site.serve()], world, results=RESULTS)


def _row(engine: str, outcome: Outcome) -> tuple[str, ...]:
    tries, silent = outcome.statuses.total(), outcome.statuses["no answer"]
    numbers = (
        *(round(outcome.seconds), outcome.killed, outcome.reloaded, tries, silent),
        tries - silent - outcome.statuses[200],
        *(outcome.lost, outcome.doubled, outcome.half_written),
    )
    truth = "yes" if outcome.sums_are_true and not outcome.faults else "NO"
    return (engine, *(str(number) for number in numbers), truth)
