"""People who log results at the same time, at servers that are killed under their hands."""

import random
import signal
import threading
import time
from collections import Counter
from dataclasses import dataclass, field

import requests

from tests.engines.inside import PASSWORD
from tests.engines.servers import Server, Site

PATIENCE_S = 120.0
DEVICE = "5a1f6c3e-0f0e-4c39-9f51-1f2a6f6f0008"
CLOCK = "2025-06-20T08:30:00+00:00"


class Writer:
    """One instructor: signs in once, then sends results until each is answered as stored."""

    def __init__(self, world: dict, username: str, servers: list[Server]):
        self.world = world
        self.username = username
        self.servers = servers
        self.session = requests.Session()
        self.statuses: Counter = Counter()
        self.states: Counter = Counter()

    def address(self, path: str, *, turn: int = 0) -> str:
        return self.servers[turn % len(self.servers)].address + path

    def sign_in(self, turn: int = 0) -> None:
        page = self.address("/sign-in/", turn=turn)
        self.session.get(page, timeout=60)
        fields = {
            "username": self.username,
            "password": PASSWORD,
            "csrfmiddlewaretoken": self.session.cookies["csrftoken"],
        }
        answer = self.session.post(page, fields, allow_redirects=False, timeout=60)
        assert answer.status_code == 302, answer.status_code

    def opened(self, path: str) -> int:
        """The status of a page."""
        answer = self.session.get(self.address(path), allow_redirects=False, timeout=60)
        return answer.status_code

    def add_course(self, title: str, summary: str = "") -> requests.Response:
        """As a person does it, by the form; 302 leads to the page of the new course."""
        token = self.session.cookies["csrftoken"]
        fields = {"title": title, "summary": summary, "csrfmiddlewaretoken": token}
        page = self.address("/courses/new/")
        return self.session.post(page, fields, allow_redirects=False, timeout=60)

    def send(self, key: str, student: int, turn: int = 0) -> None:
        """One result, again and again until the server says that it has it."""
        until = time.monotonic() + PATIENCE_S
        while time.monotonic() < until:
            status, state = self.send_once(key, student, turn)
            self.statuses[status] += 1
            if state in ("stored", "already"):
                self.states[state] += 1
                return
            turn += 1
            time.sleep(0.05)
        raise AssertionError(f"{key} was never taken.")

    def send_once(self, key: str, student: int, turn: int = 0) -> tuple[int | str, str]:
        """Status of the answer and what it says of the result; blank where there was no answer."""
        item = {
            "kind": "results",
            "key": key,
            "drill": self.world["drill"],
            "student": student,
            "fields": self.world["fields"],
            "standard": self.world["standard"],
            "accepted": [],
            "made_at": CLOCK,
            "offset_ms": 0,
        }
        person = self.world["writers"][self.username]
        body = {"device": DEVICE, "clock": CLOCK, "waiting": 1, "person": person, "results": [item]}
        headers = {
            "X-CSRFToken": self.session.cookies.get("csrftoken", ""),
            "Accept": "application/json",
        }
        try:
            answer = self.session.post(
                self.address("/field/send/", turn=turn), json=body, headers=headers, timeout=60
            )
        except (requests.ConnectionError, requests.exceptions.ChunkedEncodingError):
            return "no answer", ""
        if answer.status_code != 200:
            return answer.status_code, ""
        return 200, answer.json()["answers"][key]["state"]


@dataclass
class Outcome:
    """What came of it all."""

    sent: int = 0
    seconds: float = 0.0
    killed: int = 0
    reloaded: int = 0
    statuses: Counter = field(default_factory=Counter)
    states: Counter = field(default_factory=Counter)
    lost: int = 0
    doubled: int = 0
    half_written: int = 0
    sums_are_true: bool = False
    faults: list[str] = field(default_factory=list)


def write(
    site: Site,
    servers: list[Server],
    world: dict,
    *,
    results: int,
    every_s: float = 0.7,
    seed: int = 8,
) -> Outcome:
    """All writers of `world` log `results` results together; meanwhile workers are restarted."""
    keys = [f"00000000-0000-4000-8000-{n:012d}" for n in range(results)]
    waiting = list(enumerate(keys))
    outcome = Outcome(sent=results)
    guard, over = threading.Lock(), threading.Event()
    writers = [Writer(world, name, servers) for name in world["writers"]]

    def work(writer: Writer) -> None:
        students = world["students"]
        try:
            while True:
                with guard:
                    if not waiting:
                        return
                    number, key = waiting.pop()
                writer.send(key, students[number % len(students)], turn=number)
        except Exception as fault:  # a thread's own fault must fail the test
            with guard:
                outcome.faults.append(repr(fault))

    def restart() -> None:
        chance = random.Random(seed)
        while not over.wait(every_s):
            server = chance.choice(servers)
            if server.process.poll() is not None:
                continue
            if outcome.killed % 4 == 3 and not outcome.reloaded:
                server.process.send_signal(signal.SIGHUP)
                outcome.reloaded += 1
            outcome.killed += server.kill_a_worker(chance)

    for turn, writer in enumerate(writers):
        writer.sign_in(turn)
    started = time.monotonic()
    threads = [threading.Thread(target=work, args=[writer]) for writer in writers]
    restarts = threading.Thread(target=restart)
    for thread in [restarts, *threads]:
        thread.start()
    for thread in threads:
        thread.join()
    outcome.seconds = time.monotonic() - started
    over.set()
    restarts.join()
    for writer in writers:
        outcome.statuses += writer.statuses
        outcome.states += writer.states
    found = site.ask("count")
    stored = Counter(found["keys"])
    outcome.lost = len(set(keys) - set(stored))
    outcome.doubled = sum(stored.values()) - len(stored)
    outcome.half_written = (
        abs(found["revisions"] - len(stored))
        + abs(found["arrivals"] - len(stored))
        + found["without_revision"]
    )
    outcome.sums_are_true = found["sums_are_true"]
    return outcome
