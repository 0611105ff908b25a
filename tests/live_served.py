"""A live server in the same process, and a page that asks it."""

from __future__ import annotations

import json
import struct
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from starlette.testclient import TestClient

from turnstill.scenes.live.app import Serving, application
from turnstill.scenes.live.safety import Door, Limits
from turnstill.scenes.live.saving import Saving
from turnstill.scenes.live.studio import Studio
from turnstill.scenes.setups.presets import Setup, load

HOST, PORT, TOKEN = "127.0.0.1", 8421, "a-token-of-tests"
NO_HURRY = Limits(a_second=1e9, burst=10**9)


@dataclass(frozen=True)
class Page:
    """A page that is open."""

    client: TestClient

    def post(self, what: str, message: object, **headers: str) -> Any:
        """The answer to a message, whatever it is."""
        data = message if isinstance(message, bytes) else json.dumps(message).encode()
        own = {"content-type": "application/json", "origin": f"http://{HOST}:{PORT}", **headers}
        return self.client.post(f"/{TOKEN}/{what}", content=data, headers=own)

    def swing(self, values: object, **more: object) -> dict[str, Any]:
        """What is told of a swing that can be."""
        answer = self.post("swing", {"values": values, "drawn": False, **more})
        assert answer.status_code == 200, answer.text
        report, motion = opened(answer.content)
        assert motion == b""
        return report

    def refused(self, what: str, message: object, status: int = 422, **headers: str) -> str:
        """The sentence with which a message is refused."""
        return sentence_of(self.post(what, message, **headers), status)


def opened(content: bytes) -> tuple[dict[str, Any], bytes]:
    """The report of an answer and how the figure moves."""
    (length,) = struct.unpack("<I", content[:4])
    return json.loads(content[4 : 4 + length]), content[4 + length :]


def sentence_of(answer: Any, status: int) -> str:
    """The one sentence of an answer that refuses."""
    assert answer.status_code == status, (answer.status_code, answer.text[:300])
    told = answer.json()
    assert list(told) == ["wrong"]
    sentence = told["wrong"]
    assert sentence[-1] in ".?" and "\n" not in sentence and "Traceback" not in sentence and len(sentence) < 700
    return str(sentence)


@contextmanager
def served(
    folder: Path,
    *,
    limits: Limits = NO_HURRY,
    studio: Studio | None = None,
    setups: Sequence[Setup] = (),
    host: str = HOST,
    saving: Saving | None = None,
) -> Iterator[Page]:
    """A page that asks a server of its own."""
    door = Door(TOKEN, host, PORT)
    serving = Serving(door, tuple(setups) or (load("centred"),), folder, limits, studio or Studio())
    with TestClient(application(serving, saving), base_url=f"http://{HOST}:{PORT}") as client:
        yield Page(client)
