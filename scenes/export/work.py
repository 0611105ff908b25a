"""The ``export`` command's work: a swing as files that are there whole or not at all."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from ... import __version__
from ...model.errors import OutOfRange, TurnstillError
from ...model.swing.phases import Phases
from ...model.swing.swing import Swing
from ..delivery.outputs import check_outputs
from ..delivery.terminal import tell
from ..delivery.writing import new_file
from ..setups.options import TOP, goes_through_impact
from ..setups.past_the_ball import impact_notes
from ..setups.perform import swing_of
from ..setups.presets import load
from ..setups.settings import apply
from ..words.at_impact import CAUTION
from ..words.cautions import warnings
from .bvh import bvh_text
from .c3d import c3d_bytes
from .markers import MarkerPaths, marker_paths
from .trc import trc_text

SECONDS = (0.1, 60.0)
DOWN_SHARE = 1.0 / 3.0
"""Of the backswing's time: how long the way down to impact takes in a file (common practice: three to one)."""
WHAT = {".glb": "moving figure", ".trc": "markers", ".c3d": "markers", ".bvh": "skeleton"}
OF_MARKERS = (".trc", ".c3d")


def asked_files(files: Mapping[str, str | None]) -> dict[str, str]:
    """Suffix to file, of those that were named.

    Raises:
        TurnstillError: for none, or for another suffix.
    """
    asked = {suffix: target for suffix, target in files.items() if target is not None}
    if not asked:
        raise TurnstillError("export was given no file to write; name one with --glb, --trc, --c3d or --bvh.")
    for suffix, target in asked.items():
        if Path(target).suffix.lower() != suffix:
            raise TurnstillError(f"--{suffix[1:]} was {target[:80]!r}, but must be a file that ends in {suffix}.")
    return asked


def content(suffix: str, swing: Swing, seconds: float, paths: MarkerPaths | None) -> bytes:
    """What a file of a kind holds; those ``OF_MARKERS`` need the paths."""
    phases = Phases(swing.progress)
    when = seconds * (phases.up + DOWN_SHARE * phases.way)
    if suffix == ".glb":
        from ...render.gltf.gltf_figure import figure_glb

        return figure_glb(swing.body, swing.skeleton, when, left_handed=swing.left_handed,
                          generator=f"turnstill {__version__}")  # fmt: skip
    if paths is None:
        return bvh_text(swing, when).encode("ascii")
    return c3d_bytes(paths, when) if suffix == ".c3d" else trc_text(paths, when).encode("ascii")


def export_to(
    name: str,
    settings: list[str],
    frames: int,
    files: Mapping[str, str | None],
    seconds: float = 1.0,
    through: str = TOP,
) -> None:
    """Simulate a swing and write the files asked for.

    Everything is worked out before the first file is written.

    Args:
        name: of a preset, or a file.
        settings: as ``--set`` gives them.
        frames: moments from address to top.
        files: ``.glb``, ``.trc``, ``.c3d`` and ``.bvh`` to a file or None.
        seconds: how long the backswing takes; the way down to impact takes a third of it.
        through: ``top`` or ``impact``.

    Raises:
        TurnstillError: for anything a user can mend; no half-written file is then left behind.
    """
    asked = asked_files(files)
    if not SECONDS[0] <= seconds <= SECONDS[1]:
        raise OutOfRange("--seconds", seconds, *SECONDS)
    on = goes_through_impact(through)
    setup = apply(load(name), settings)
    check_outputs({f"--{suffix[1:]}": target for suffix, target in asked.items()})
    swing = swing_of(setup, frames, through_impact=on)
    paths = marker_paths(swing) if any(suffix in asked for suffix in OF_MARKERS) else None
    ready = {suffix: content(suffix, swing, seconds, paths if suffix in OF_MARKERS else None) for suffix in asked}
    for suffix, target in asked.items():
        with new_file(target) as part:
            part.write_bytes(ready[suffix])
        tell(f"The {WHAT[suffix]}: {target}")
    for warning in (*warnings(swing), *impact_notes(setup, swing)):
        tell(f"Note: {warning}")
    if on:
        tell(CAUTION)
