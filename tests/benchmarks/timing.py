"""Clocks for the benchmarks: best of several, in this process or in a fresh one."""

import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent


def best_of(work: Callable[[], object], *, times: int = 5) -> float:
    """Least wall time of `work` in seconds; the least is the one least disturbed."""
    spent = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        spent.append(time.perf_counter() - start)
    return min(spent)


def best_of_fresh(setup: str, statement: str, *, times: int = 5) -> tuple[float, float]:
    """Seconds of the first run of `statement` in a new interpreter, without and with `setup`.

    Both are the least of several interpreters.
    """
    code = (
        "import time\n_start = time.perf_counter()\n"
        f"{setup}\n_ready = time.perf_counter()\n{statement}\n_end = time.perf_counter()\n"
        "print(_end - _ready, _end - _start)"
    )
    runs = []
    for _ in range(times):
        done = subprocess.run(
            [sys.executable, "-W", "ignore", "-c", code],
            cwd=ROOT, check=True, capture_output=True, text=True,
        )  # fmt: skip
        runs.append([float(word) for word in done.stdout.split()])
    return min(run[0] for run in runs), min(run[1] for run in runs)


def run_measured(command: list[str], environment: dict[str, str]) -> tuple[float, float, int]:
    """Wall seconds, peak memory in MB and exit status of a command."""
    start = time.perf_counter()
    process = subprocess.Popen(
        command, cwd=ROOT, env=os.environ | environment, stderr=subprocess.DEVNULL
    )
    _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    return time.perf_counter() - start, usage.ru_maxrss / 1024.0, process.returncode


def show_table(title: str, header: tuple[str, ...], rows: list[tuple[str, ...]]) -> None:
    """Print rows of texts in columns, the first to the left, the others to the right."""
    widths = [max(len(line[i]) for line in (header, *rows)) for i in range(len(header))]
    print(f"\n{title}")
    for line in (header, *rows):
        cells = [line[0].ljust(widths[0])]
        cells += [cell.rjust(width) for cell, width in zip(line[1:], widths[1:], strict=True)]
        print("  " + "  ".join(cells), flush=True)


def short(seconds: float) -> str:
    """A time with a fitting unit."""
    for unit, scale in (("s", 1.0), ("ms", 1e-3), ("µs", 1e-6)):
        if seconds >= scale:
            return f"{seconds / scale:.3g} {unit}"
    return f"{seconds / 1e-9:.3g} ns"


def ratio(theirs: float, ours: float) -> str:
    """How many times longer the other took."""
    return f"{theirs / ours:.1f}x"
