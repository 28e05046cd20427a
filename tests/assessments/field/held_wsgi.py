"""The application behind a gate, so that a test can stop its process in the midst of a send.

The file named by HELD_AT says where the next message from a device is held: `before` it reaches
the application, or `half` way through the answer, when all of it is stored. Once it is held there
the file `<HELD_AT>.held` appears; it is held until the process ends.
"""

import os
import threading
from pathlib import Path

from coursework.wsgi import application as real

GATE = Path(os.environ["HELD_AT"])
HELD = GATE.with_suffix(".held")


def hold():
    HELD.touch()
    threading.Event().wait()


def application(environ, start_response):
    where = GATE.read_text() if GATE.exists() else ""
    if environ["PATH_INFO"] != "/field/send/" or not where:
        return real(environ, start_response)
    if where == "before":
        hold()
    return half(b"".join(real(environ, start_response)))


def half(answer):
    yield answer[: len(answer) // 2]
    hold()
