"""The ``export`` command: a backswing as files that other programs open."""

from __future__ import annotations

from typing import Annotated

import typer

from ..setups.options import MOMENTS, TOP, Frames_, Swing_, Through_, of_a_golfer


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command()(export)


@of_a_golfer
def export(
    preset_or_file: Swing_,
    glb: Annotated[
        str | None, typer.Option(metavar="FILE.glb", help="The moving figure as glTF 2.0, for any 3D viewer.")
    ] = None,
    trc: Annotated[
        str | None, typer.Option(metavar="FILE.trc", help="Joint centres and landmarks as marker paths, millimetres.")
    ] = None,
    c3d: Annotated[
        str | None,
        typer.Option(metavar="FILE.c3d", help="The same marker paths as C3D, for gait laboratories' programs."),
    ] = None,
    bvh: Annotated[str | None, typer.Option(metavar="FILE.bvh", help="The moving skeleton, metres.")] = None,
    seconds: Annotated[
        float, typer.Option(metavar="SECONDS", help="How long the backswing takes in the files, 0.1 to 60.")
    ] = 1.0,
    through: Through_ = TOP,
    *,
    settings: list[str],
    frames: Frames_ = MOMENTS,
) -> None:
    """Write one backswing as a 3D figure, marker paths or a skeleton.

    Name at least one file to write.
    """
    from .work import export_to

    export_to(
        preset_or_file,
        settings,
        frames,
        {".glb": glb, ".trc": trc, ".c3d": c3d, ".bvh": bvh},
        seconds,
        through,
    )
