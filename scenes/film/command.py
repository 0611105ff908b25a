"""The ``film`` command: one or two swings moving, from the views asked for."""

from __future__ import annotations

from typing import Annotated

import typer

from ..setups.options import TOP, Views_, fail, of_a_golfer

Swings_ = Annotated[list[str], typer.Argument(metavar="SWING...", help="One or two presets or files of your own.")]


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command()(film)


@of_a_golfer
def film(
    swings: Swings_,
    views: Views_ = None,
    out: Annotated[
        str | None,
        typer.Option(
            metavar="FILE",
            help="Where to write: .mp4, .gif or .webp; an .mp4 named after the swings if not given.",
        ),
    ] = None,
    seconds: Annotated[
        float | None, typer.Option(metavar="SECONDS", help="How long one round of the film takes; 4 if not given.")
    ] = None,
    size: Annotated[
        str | None, typer.Option(metavar="WIDTHxHEIGHT", help="Of the whole film in pixels, for example 1280x720.")
    ] = None,
    through: Annotated[
        str | None,
        typer.Option(
            metavar="top|impact", help="Where the swing ends: at the top, or past the ball; top if not given."
        ),
    ] = None,
    plain: Annotated[
        bool,
        typer.Option(
            "--plain", help="Nothing drawn over the golfer: one swing as a phone would film it, a film for each view."
        ),
    ] = False,
    seed: Annotated[
        int | None,
        typer.Option(metavar="NUMBER", help="With --plain: draws phones' places and tempo; 0 if not given."),
    ] = None,
    fps: Annotated[
        float | None, typer.Option(metavar="NUMBER", help="With --plain: frames a second; 60 if not given.")
    ] = None,
    tracks: Annotated[
        bool,
        typer.Option(
            "--tracks", help="With --plain: beside each film a CSV with its keypoints, as turnstill read takes."
        ),
    ] = False,
    *,
    settings: list[str],
) -> None:
    """Film one swing, or two in step, from face-on and down the line, or from above.

    The backswing runs to the top, rests there and runs back, so that the film can loop. The address stays as an
    outline; the head, its path and the trunk's line are marked, with its lean face-on and its
    inclination down the line; from above, the hip line, the shoulder line and the feet with their turn and flare. What
    you set acts on both swings.

    With --through impact it goes on past the ball and begins anew.

    With --plain nothing is marked: films as a phone would take them, of a still address, the backswing and the
    way past the ball, to try turnstill read on.
    """
    if plain:
        if seconds is not None:
            fail("--seconds is for films that loop; a plain film draws its tempo by --seed.")
        if through is not None:
            fail("--through is for films that loop; a plain film always goes past the ball.")
        from .plain import FPS, plain_to

        plain_to(
            swings,
            settings,
            views=views,
            out=out,
            size=size,
            seed=0 if seed is None else seed,
            fps=FPS if fps is None else fps,
            tracks=tracks,
        )
        return
    if seed is not None or fps is not None or tracks:
        fail("--seed, --fps and --tracks are for plain films; give --plain as well, or leave them out.")
    from .work import SECONDS, film_to

    film_to(
        swings,
        settings,
        views=views,
        out=out,
        seconds=SECONDS if seconds is None else seconds,
        size=size,
        through=TOP if through is None else through,
    )
