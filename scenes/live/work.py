"""The ``live`` command's work: a server that lasts as long as the command."""

from __future__ import annotations

import errno
import signal
import socket
import sys
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING

from ...model.errors import TurnstillError
from ..delivery.refusals import reason, shown, unwritable
from ..delivery.terminal import say, tell
from ..setups.naming import titled
from ..setups.presets import Setup, load
from ..setups.quantities import echo
from ..setups.settings import apply
from .ends import first_end

if TYPE_CHECKING:
    from uvicorn import Server

MOST_SWINGS = 2
HIGHEST_PORT = 65_535
ENDS_WITHIN = 3
"""Seconds in which answers that are on their way end with the server."""


def live_to(
    names: Sequence[str],
    settings: list[str],
    *,
    out: str | None,
    port: int,
    host: str,
    browser: bool,
    through: str | None = None,
) -> None:
    """Serve the page until somebody ends it.

    Args:
        names: presets or files, at most two; the centred preset where there are none.
        settings: laid over both.
        out: the folder for what is saved; made where it is missing, but not what it lies in.
        port: to serve at; 0 for a free one.
        host: the address to listen at.
        browser: open the page.
        through: where the page lets swings end at first; on to impact where one asks something of it, if None.

    Raises:
        TurnstillError: for anything a user can mend.
    """
    setups = _setups(names, settings)
    end = first_end(through, setups)
    with _listening(host, port) as listener:
        folder = _folder(out)
        from .app import Serving, application
        from .safety import Door, is_loopback
        from .saving import Saving

        here = listener.getsockname()[1]
        door, saving = Door.new(host, here), Saving(folder)
        app = application(Serving(door, setups, folder, through=end), saving, ahead=True)
        address = f"http://{_in_address(host)}:{here}/{door.token}/"
        if not is_loopback(host):
            say(
                "This page is open to others in your network, not to this computer alone: whoever has its address can "
                f"see and change what you see, and save in {shown(str(folder))}. Leave out --host to keep it here."
            )
        try:
            status = _serve(_server(app), listener, address, browser=browser)
        finally:
            saving.stop()
    say("The page is no longer served; what you saved is kept.")
    if status:
        raise SystemExit(status)


def _setups(names: Sequence[str], settings: list[str]) -> tuple[Setup, ...]:
    if len(names) > MOST_SWINGS:
        raise TurnstillError(
            f"live was given {len(names)} swings, but takes at most two presets or TOML files; "
            "try: turnstill live centred too-much-tilt"
        )
    return tuple(titled([apply(load(name), settings) for name in names or ["centred"]]))


def _folder(out: str | None) -> Path:
    """The folder for what is saved, which is there from now on.

    Raises:
        TurnstillError: where it cannot be made.
    """
    folder = Path(out) if out is not None else Path()
    try:
        there = folder.is_dir() and out != ""
    except (OSError, ValueError):
        there = False
    if there:
        return folder
    if out is None:
        raise TurnstillError("The folder you are in is gone; name another with --out.")
    if not out:
        raise TurnstillError("--out was empty, but must name a folder; leave it out for the folder you are in.")
    try:
        if folder.exists():
            raise TurnstillError(f"{shown(out)} is a file; name a folder with --out.")
        if not folder.parent.is_dir():
            raise TurnstillError(f"There is no folder to make {shown(out)} in; make it first.")
        folder.mkdir()
    except (OSError, ValueError) as wrong:
        if isinstance(wrong, TurnstillError):
            raise
        raise unwritable(out, wrong) from wrong
    return folder


@contextmanager
def _listening(host: str, port: int) -> Iterator[socket.socket]:
    """A socket that listens.

    Raises:
        TurnstillError: for a port that is taken or not allowed, or an address that is not this computer's.
    """
    if not 0 <= port <= HIGHEST_PORT:
        given = port if abs(port) < 10**12 else "a very large number"
        raise TurnstillError(f"--port was {given}, but must be a whole number from 0 to {HIGHEST_PORT}.")
    try:
        found = socket.getaddrinfo(host.strip("[]"), port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE)
        kind, *_, place = found[0]
        made = socket.create_server(place, family=kind)
    except (OSError, ValueError) as wrong:  # A name that is none is a UnicodeError.
        raise _not_here(wrong, host, port) from wrong
    with made:
        yield made


def _not_here(wrong: Exception, host: str, port: int) -> TurnstillError:
    taken = isinstance(wrong, OSError) and wrong.errno == errno.EADDRINUSE
    if taken:
        return TurnstillError(f"Port {port} is in use; name another with --port, or leave it out for a free one.")
    if isinstance(wrong, OSError) and wrong.errno == errno.EACCES:
        return TurnstillError(
            f"Port {port} is not for everybody to use; name one of at least 1024, or leave out --port."
        )
    return TurnstillError(
        f"--host was {echo(host)}, where this computer cannot be reached ({reason(wrong)}); name an address of it, or "
        "leave out --host."
    )


def _in_address(host: str) -> str:
    """A host as an address has it; one that stands for all of them is told as this computer."""
    bare = host.strip("[]")
    if bare in ("0.0.0.0", "", "::"):
        return "127.0.0.1" if bare != "::" else "[::1]"
    return f"[{bare}]" if ":" in bare else bare


def _server(app: object) -> Server:
    from uvicorn import Config, Server

    class Quiet(Server):
        """Signals are the command's own to take."""

        @contextmanager
        def capture_signals(self) -> Iterator[None]:
            yield

    config = Config(
        app, lifespan="off", log_config=None, access_log=False, ws="none", http="h11", loop="asyncio",  # type: ignore[arg-type]
        server_header=False, date_header=False, proxy_headers=False, limit_concurrency=64,
        timeout_graceful_shutdown=ENDS_WITHIN,
    )  # fmt: skip
    return Quiet(config)


def _serve(server: Server, listener: socket.socket, address: str, *, browser: bool) -> int:
    """Tell the page's address, and serve it until a signal comes; the exit status that goes with that."""
    arrived: list[int] = []

    def stop(number: int, frame: FrameType | None) -> None:
        # A second one does not wait for answers that are on their way.
        server.force_exit = bool(arrived)
        server.should_exit = True
        arrived.append(number)

    stops = [getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name)]
    before = {}
    for number in stops:
        if signal.getsignal(number) not in (signal.SIG_IGN, None):
            before[number] = signal.signal(number, stop)
    try:
        tell(f"The page is {address} and lasts until Ctrl-C")
        sys.stdout.flush()
        if browser:
            threading.Thread(target=_open, args=(address,), daemon=True).start()
        server.run(sockets=[listener])
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
    first = arrived[0] if arrived else signal.SIGINT
    return 0 if first == signal.SIGINT else 128 + first


def _open(address: str) -> None:
    import webbrowser

    try:
        opened = webbrowser.open(address)
    except (OSError, webbrowser.Error):
        opened = False
    if not opened:
        say("No browser could be opened; open the address yourself.")
