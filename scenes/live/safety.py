"""Who may ask, how much and how often: what stands before everything else that the server does.

A page of another site, open in the same browser, must neither read nor change anything here: the address holds a token
that it cannot know, the host and the origin of every request are looked at, and what changes or works anything out must
be JSON, which a browser sends to another site only after asking it first.
"""

from __future__ import annotations

import asyncio
import ipaddress
import json
import secrets
import time
from collections.abc import Callable
from dataclasses import dataclass, field

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from .messages import LARGEST_MESSAGE

JSON = "application/json"
_ALWAYS = (
    (b"cache-control", b"no-store"),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"x-frame-options", b"DENY"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"cross-origin-opener-policy", b"same-origin"),
)
NOTHING = "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
"""The policy of an answer that is no page."""
LOOPBACK_NAMES = ("localhost", "127.0.0.1", "[::1]")


@dataclass(frozen=True)
class Limits:
    """How much is let in.

    Attributes:
        largest: bytes of a message.
        at_once: requests that are answered or wait at the same time.
        a_second: requests a second in the long run; a page that follows a finger sends one after the other.
        burst: how many may come at once after a rest.
        patience: seconds in which a message must have come whole.
        clock: seconds that pass.
    """

    largest: int = LARGEST_MESSAGE
    at_once: int = 8
    a_second: float = 100.0
    burst: int = 200
    patience: float = 10.0
    clock: Callable[[], float] = field(default=time.monotonic)


@dataclass(frozen=True)
class Door:
    """Under which address the server is asked.

    Attributes:
        token: the first part of every path.
        host: the address that the server listens at, as it was asked for.
        port: its port.
    """

    token: str
    host: str
    port: int

    @classmethod
    def new(cls, host: str, port: int) -> Door:
        """With a token that nobody can guess."""
        return cls(secrets.token_urlsafe(18), host, port)

    def is_ours(self, host: str) -> bool:
        """Whether a ``Host`` is this server's.

        A name is none but this computer's own: a site whose name leads here by a trick keeps its own name.
        """
        name, port = _split(host)
        if port != self.port:
            return False
        if name in (*LOOPBACK_NAMES, self.host, f"[{self.host}]"):
            return True
        return not is_loopback(self.host) and _is_address(name.strip("[]"))

    def is_own_origin(self, origin: str, host: str) -> bool:
        """Whether an ``Origin`` is the page that this server gave out under the same ``Host``."""
        return origin == f"http://{host}"


def is_loopback(host: str) -> bool:
    """Whether only this computer can reach an address of its own."""
    try:
        return host == "localhost" or ipaddress.ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return False


def _split(host: str) -> tuple[str, int | None]:
    name, _, port = host.rpartition(":")
    if not name or not port.isdecimal() or not port.isascii() or len(port) > 5:
        return host.lower(), 80
    return name.lower(), int(port)


def _is_address(name: str) -> bool:
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True


class _Refused(Exception):
    """A request that goes no further."""

    def __init__(self, status: int, sentence: str) -> None:
        super().__init__(sentence)
        self.status, self.sentence = status, sentence


class Guarded:
    """An application behind a door: ASGI around ASGI."""

    def __init__(self, app: ASGIApp, door: Door, limits: Limits) -> None:
        """Stand before ``app``."""
        self._app, self._door, self._limits = app, door, limits
        self._inside = 0
        self._left, self._at = float(limits.burst), limits.clock()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request in, or answer it with one sentence."""
        if scope["type"] == "lifespan":
            return await self._app(scope, receive, send)
        if scope["type"] != "http":
            return await send({"type": "websocket.close", "code": 1008})

        async def plain_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                own = list(message.get("headers", ()))
                has_policy = any(name.lower() == b"content-security-policy" for name, _ in own)
                policy = [] if has_policy else [(b"content-security-policy", NOTHING.encode())]
                message = {**message, "headers": [*own, *_ALWAYS, *policy]}
            await send(message)

        try:
            self._check_sender(scope)
            self._check_pace()
            self._inside += 1
            try:
                body = await self._whole(scope, receive)
                await self._app({**scope, "path": self._inner(scope)}, _replay(body, receive), plain_headers)
            finally:
                self._inside -= 1
        except _Refused as no:
            await _answer(plain_headers, no.status, no.sentence)

    def _check_sender(self, scope: Scope) -> None:
        headers = _headers(scope)
        hosts = headers.get(b"host", [])
        host = hosts[0] if len(hosts) == 1 else ""
        if not self._door.is_ours(host):
            raise _Refused(403, "This server answers under its own address only; open the address that it told.")
        token = scope["path"].split("/")[1] if scope["path"].startswith("/") else ""
        if not secrets.compare_digest(token.encode("utf-8", "replace"), self._door.token.encode()):
            raise _Refused(404, "There is nothing here; open the address that turnstill live told, with its last part.")
        origins, sites = headers.get(b"origin", []), headers.get(b"sec-fetch-site", [])
        if any(not self._door.is_own_origin(origin, host) for origin in origins):
            raise _Refused(403, "Pages from elsewhere cannot ask this server.")
        if scope["method"] not in ("GET", "HEAD"):
            if any(site not in ("same-origin", "none") for site in sites):
                raise _Refused(403, "Pages from elsewhere cannot ask this server.")
            kinds = headers.get(b"content-type", [])
            if len(kinds) != 1 or kinds[0].split(";")[0].strip().lower() != JSON:
                raise _Refused(415, f"Messages must be {JSON}.")

    def _check_pace(self) -> None:
        limits, now = self._limits, self._limits.clock()
        self._left = min(float(limits.burst), self._left + (now - self._at) * limits.a_second)
        self._at = now
        if self._left < 1.0 or self._inside >= limits.at_once:
            raise _Refused(429, "That was too much at once; wait a moment and ask again.")
        self._left -= 1.0

    async def _whole(self, scope: Scope, receive: Receive) -> bytes:
        """The message of a request, no larger than it may be."""
        too_large = _Refused(413, f"A message may have at most {self._limits.largest} bytes.")
        told = _headers(scope).get(b"content-length", [])
        # What is no plain number is not believed; what comes is counted.
        if told and told[0].isdecimal() and (len(told[0]) > 12 or int(told[0]) > self._limits.largest):
            raise too_large
        parts: list[bytes] = []
        size, more = 0, True
        end = asyncio.get_running_loop().time() + self._limits.patience
        while more:
            try:
                message = await asyncio.wait_for(receive(), max(0.0, end - asyncio.get_running_loop().time()))
            except TimeoutError:
                raise _Refused(408, "The message did not come in time.") from None
            if message["type"] != "http.request":
                raise _Refused(400, "The message was not sent whole.")
            size += len(message.get("body", b""))
            if size > self._limits.largest:
                raise too_large
            parts.append(message.get("body", b""))
            more = message.get("more_body", False)
        return b"".join(parts)

    def _inner(self, scope: Scope) -> str:
        """The path behind the token."""
        return str(scope["path"])[1 + len(self._door.token) :]


def _headers(scope: Scope) -> dict[bytes, list[str]]:
    found: dict[bytes, list[str]] = {}
    for name, value in scope["headers"]:
        found.setdefault(name.lower(), []).append(value.decode("latin-1"))
    return found


def _replay(body: bytes, receive: Receive) -> Receive:
    """The message once more, for whoever comes next."""
    given = False

    async def again() -> Message:
        nonlocal given
        if given:
            return await receive()
        given = True
        return {"type": "http.request", "body": body, "more_body": False}

    return again


async def _answer(send: Send, status: int, sentence: str) -> None:
    body = json.dumps({"wrong": sentence}).encode()
    headers = [(b"content-type", JSON.encode()), (b"content-length", str(len(body)).encode())]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
