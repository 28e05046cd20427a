"""A database that goes away, a process that is killed half way: what is said, what is kept."""

import contextlib
import json
import os
import signal
import socket
import threading
import uuid

import pytest
import requests

from tests.engines import servers
from tests.engines.servers import Server
from tests.engines.writing import Writer

pytestmark = pytest.mark.engines
CONNECTION = 65536


class Wire:
    """The line between a site and its PostgreSQL, which can be cut and mended."""

    def __init__(self):
        self.port = servers.free_port()
        self.listener: socket.socket | None = None
        self.open: list[socket.socket] = []
        self.mend()

    def mend(self) -> None:
        self.listener = socket.create_server(("127.0.0.1", self.port))
        threading.Thread(target=self._accept, args=[self.listener], daemon=True).start()

    def cut(self) -> None:
        """As when the database is stopped: what is open breaks off, nobody listens any more."""
        self._close(self.listener)
        for each in self.open:
            self._close(each)
        self.open.clear()

    def _accept(self, listener: socket.socket) -> None:
        while True:
            try:
                near, _address = listener.accept()
            except OSError:
                return
            far = socket.create_connection(("127.0.0.1", 5432))
            self.open += [near, far]
            for one, other in ((near, far), (far, near)):
                threading.Thread(target=self._carry, args=[one, other], daemon=True).start()

    def _carry(self, one: socket.socket, other: socket.socket) -> None:
        try:
            while data := one.recv(CONNECTION):
                other.sendall(data)
        except OSError:
            pass
        self._close(other)

    @staticmethod
    def _close(each: socket.socket) -> None:
        with contextlib.suppress(OSError):
            each.shutdown(socket.SHUT_RDWR)
        each.close()


def test_while_the_database_is_gone_people_are_told_and_results_wait(tmp_path):
    wire = Wire()
    with servers.site("postgresql", tmp_path, PLUMBSHADOW_WORKERS="1") as site:
        world = site.ask("prepare", "1")
        straight = site.environment["DATABASE_URL"]
        through = straight.replace(":5432", f":{wire.port}")
        server = site.serve(DATABASE_URL=through)
        writer = Writer(world, "writer0", [server])
        writer.sign_in()
        keys = [str(uuid.uuid4()) for _ in range(3)]
        writer.send(keys[0], world["students"][0])
        wire.cut()
        page = writer.session.get(f"{server.address}/profile/", timeout=60)
        assert (page.status_code, page.headers["Retry-After"]) == (503, "30")
        assert "The server cannot reach its records" in page.text
        # The device keeps what is answered so, and the field log itself still opens.
        assert writer.send_once(keys[1], world["students"][1]) == (503, "")
        assert requests.get(f"{server.address}/field/", timeout=60).status_code == 200
        assert parts_of(server) == (503, "cannot be reached")
        wire.mend()
        for key in keys:
            writer.send(key, world["students"][0 if key == keys[0] else 1])
        assert parts_of(server) == (200, "ok")
        assert sorted(site.ask("count")["keys"]) == sorted(keys)
        assert "OperationalError" in json.dumps(site.logged())
    wire.cut()


def parts_of(server: Server) -> tuple[int, str]:
    answer = requests.get(f"{server.address}/healthz", timeout=60)
    return answer.status_code, answer.json()["parts"]["database"]


@pytest.mark.parametrize("engine", servers.ENGINES)
def test_of_a_process_killed_within_a_transaction_nothing_is_left(engine, tmp_path):
    with servers.site(engine, tmp_path) as site:
        site.ask("prepare", "1")
        process = site.start_inside("begin_and_hang")
        # Within its own transaction it sees its result; it is killed before the end of that.
        assert json.loads(process.stdout.readline()) == {"stored": 1}
        os.kill(process.pid, signal.SIGKILL)
        process.wait()
        after = site.ask("count")
        assert (after["keys"], after["revisions"], after["sums_are_true"]) == ([], 0, True)


def test_when_the_disk_is_full_nothing_is_half_stored_and_the_pages_still_open(tmp_path):
    with servers.site("sqlite", tmp_path) as site:
        site.ask("prepare", "1")
        found = site.ask("fill_the_disk")
        status, sentence = found["refused"]
        assert (status, sentence[:17]) == (503, "Its disk is full.")
        assert found["kept"] == found["stored_before"] > 0
        assert found["page"] == 200
        assert found["again"] == [200, "stored"]
        assert found["stored"] == found["kept"] + 1
        assert site.ask("count")["sums_are_true"]
