"""The server as a function of its settings: what it answers to which request."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Awaitable, Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import TypeVar

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route
from starlette.types import ASGIApp

from ...model.errors import TurnstillError
from ..delivery.outcome import outcome
from ..delivery.terminal import say
from ..setups.options import IMPACT, TOP
from ..setups.presets import Setup
from .messages import NotUnderstood, OpenMessage, SaveMessage, SwingMessage, read
from .page import live_page, page_policy, told_setup
from .safety import Door, Guarded, Limits
from .saving import Saving
from .studio import Studio

Made = TypeVar("Made")
BYTES = "application/octet-stream"


@dataclass(frozen=True)
class Serving:
    """What a server is made of.

    Attributes:
        door: under which address it is asked.
        setups: the swings that the page begins with, one or two.
        folder: where what is saved goes.
        limits: how much is let in.
        studio: works the swings out.
        through: where the page lets swings end at first.
    """

    door: Door
    setups: tuple[Setup, ...]
    folder: Path
    limits: Limits = field(default_factory=Limits)
    studio: Studio = field(default_factory=Studio)
    through: str = TOP


def application(serving: Serving, saving: Saving | None = None, *, ahead: bool = False) -> ASGIApp:
    """The application, ready to be served.

    Args:
        serving: its settings.
        saving: what keeps things in the folder, where somebody else wants to end it.
        ahead: work the first swings out before anybody asks, which takes a second or two.
    """
    saving = saving or Saving(serving.folder)
    # A swing is arithmetic from end to end, so two at once would only take turns; a new golfer's figure takes longer,
    # and nobody else's swing waits for it. Nor for what did a strike, which takes most of a second.
    one_by_one, shaping, looking, beside = (
        ThreadPoolExecutor(1, f"turnstill-{name}") for name in ("swings", "figures", "strikes", "saving")
    )
    if ahead:
        one_by_one.submit(serving.studio.prepare, serving.setups, on=serving.through == IMPACT)

    # The same for everybody who opens it, and worked out from whole swings.
    html = cache(lambda: live_page(serving.setups, serving.through))

    async def page(request: Request) -> Response:
        return Response(html(), media_type="text/html", headers={"content-security-policy": page_policy()})

    async def shaped(message: SwingMessage) -> None:
        if not serving.studio.is_shaped(message):
            await _in(shaping, lambda: serving.studio.shape(message))

    async def swing(request: Request) -> Response:
        message = read(SwingMessage, await request.body())
        if message.drawn:
            await shaped(message)
        return Response(await _in(one_by_one, lambda: serving.studio.swing(message)), media_type=BYTES)

    async def figure(request: Request) -> Response:
        message = read(SwingMessage, await request.body())
        return Response(await _in(shaping, lambda: serving.studio.figure(message)), media_type=BYTES)

    async def strike(request: Request) -> Response:
        message = read(SwingMessage, await request.body())
        return JSONResponse(await _in(looking, lambda: serving.studio.strike(message)))

    async def opened(request: Request) -> Response:
        setup = read(OpenMessage, await request.body()).setup()
        return JSONResponse({"swing": told_setup(setup)})

    async def save(request: Request) -> Response:
        message = read(SaveMessage, await request.body())
        await _in(one_by_one, lambda: serving.studio.check(message.setups, on=message.strikes))
        return JSONResponse({"saved": await _in(beside, lambda: saving.save(message))})

    routes = [
        Route("/", page, methods=["GET"]),
        Route("/swing", _answered(swing), methods=["POST"]),
        Route("/figure", _answered(figure), methods=["POST"]),
        Route("/strike", _answered(strike), methods=["POST"]),
        Route("/open", _answered(opened), methods=["POST"]),
        Route("/save", _answered(save), methods=["POST"]),
    ]
    inner = Starlette(routes=routes, exception_handlers={HTTPException: _no_such})
    inner.router.redirect_slashes = False
    return Guarded(inner, serving.door, serving.limits)


async def _in(pool: ThreadPoolExecutor, work: Callable[[], Made]) -> Made:
    return await asyncio.get_running_loop().run_in_executor(pool, work)


def _answered(work: Callable[[Request], Awaitable[Response]]) -> Callable[[Request], Awaitable[Response]]:
    """Whatever goes wrong is told in one sentence."""

    async def run(request: Request) -> Response:
        try:
            return await work(request)
        except NotUnderstood as wrong:
            return _wrong(400, str(wrong))
        except TurnstillError as wrong:
            return _wrong(422, str(wrong))
        except Exception as wrong:
            known = outcome(wrong)
            if known is not None:
                return _wrong(400 if isinstance(wrong, RecursionError) else 422, known[1])
            sentence = f"This is a fault of turnstill, not of what you did ({type(wrong).__name__}: {str(wrong)[:80]})."
            say(sentence)
            return _wrong(500, sentence)

    return run


async def _no_such(request: Request, wrong: Exception) -> Response:
    status = wrong.status_code if isinstance(wrong, HTTPException) else 404
    return _wrong(status, "There is nothing here that can be asked like that; see the messages in docs/live.md.")


def _wrong(status: int, sentence: str) -> Response:
    return Response(json.dumps({"wrong": sentence}), status, media_type="application/json")
