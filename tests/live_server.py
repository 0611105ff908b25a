"""A live server in a thread, at a free port, for tests and benchmarks in a browser."""

from __future__ import annotations

import socket
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from turnstill.scenes.live.app import Serving, application
from turnstill.scenes.live.drawn import Figures
from turnstill.scenes.live.messages import SwingMessage
from turnstill.scenes.live.safety import Door
from turnstill.scenes.live.studio import Studio
from turnstill.scenes.setups.presets import Setup, load

FIGURES = Figures()
"""Of all servers: shaping a golfer takes a second or two, and most swings are of one."""
_STRIKES: dict[str, dict[str, Any]] = {}


class Remembering(Studio):
    """What did a strike takes a second to find, and every page that comes to rest at impact asks: once is enough."""

    def strike(self, message: SwingMessage) -> dict[str, Any]:
        """As any studio says it."""
        asked = message.model_dump_json()
        if asked not in _STRIKES:
            _STRIKES[asked] = super().strike(message)
        return _STRIKES[asked]


class Served:
    """An application that is served until it is stopped.

    Attributes:
        address: where.
    """

    def __init__(self, app: Any, listener: socket.socket, path: str = "") -> None:
        import uvicorn

        self._listener = listener
        self.address = f"http://127.0.0.1:{listener.getsockname()[1]}/{path}"
        self._server = uvicorn.Server(uvicorn.Config(app, lifespan="off", log_config=None, ws="none", http="h11"))
        self._thread = threading.Thread(target=self._server.run, kwargs={"sockets": [listener]}, daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """Serve no more."""
        self._server.should_exit = True
        self._thread.join(10)
        self._listener.close()


def live(folder: Path, setups: Sequence[Setup], through: str = "top") -> Served:
    """The live page of some swings, which end there at first."""
    listener = socket.create_server(("127.0.0.1", 0))
    door = Door.new("127.0.0.1", listener.getsockname()[1])
    serving = Serving(door, tuple(setups), folder, studio=Remembering(FIGURES), through=through)
    return Served(application(serving), listener, f"{door.token}/")


@contextmanager
def served(folder: Path, *names: str) -> Iterator[Served]:
    """The live page of some presets, while it lasts."""
    made = live(folder, [load(name) for name in names])
    try:
        yield made
    finally:
        made.stop()
