"""The work of ``film --plain``: one swing as phones would film it, a film for each view and nothing drawn over it."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from ...model.errors import TurnstillError
from ..delivery.outputs import check_outputs
from ..delivery.progress import Progress
from ..delivery.terminal import tell
from ..delivery.writing import new_file, utf8
from ..setups.naming import default_folder
from ..views.names import ABOVE, VIEWS, chosen_views
from . import film_file
from .asked import asked_swings, simulated, tell_notes
from .layout import size_of
from .plain_phone import drawn_phone
from .plain_reel import PlainReel
from .plain_tempo import Tempo
from .reel import frames
from .track_csv import track_csv

FPS = 60.0
SIZE = (720, 1280)
TRACKS = ".csv"
PAST_THE_TOP = (
    "After the top the swing goes on as turnstill strike has it, until the club is level past the ball, which stays "
    "where it lies; there the film ends."
)


def plain_to(
    names: Sequence[str],
    settings: list[str],
    *,
    views: str | None,
    out: str | None,
    size: str | None,
    seed: int,
    fps: float,
    tracks: bool,
) -> None:
    """Make the films and write them, all of them or none.

    Args:
        names: one preset or file.
        settings: laid over it.
        views: which, with commas between.
        out: the film's file; of more than one view, the view's name is put before its ending.
        size: ``WIDTHxHEIGHT``.
        seed: of the tempo, the phones' places and the textures.
        fps: frames a second.
        tracks: also write where the keypoints are, beside each film.

    Raises:
        TurnstillError: for anything a user can mend; no film is then left behind.
    """
    if len(names) != 1:
        raise TurnstillError(
            f"A plain film is of one swing, but {len(names)} were given; leave one, or leave out --plain."
        )
    if seed < 0:
        raise TurnstillError(f"--seed was {seed}, but must be a whole number from 0 on.")
    setups = asked_swings("film", names, settings)
    target = out if out is not None else default_folder(setups) + "-plain" + film_file.MP4
    if film_file.suffix_of(target) != film_file.MP4:
        raise TurnstillError("A plain film is an .mp4, as phones make them; name a file that ends so.")
    seen = chosen_views(views)
    if ABOVE in seen:
        raise TurnstillError("Phones film from face-on and down the line; leave above out of --views with --plain.")
    width_height = SIZE if size is None else size_of(size)
    films = {view: target if len(seen) == 1 else _named_after(target, view) for view in seen}
    files = dict(films.items())
    if tracks:
        files |= {f"{view}, its tracks": _beside(film) for view, film in films.items()}
    for option, file in files.items():
        check_outputs({f"--out ({option})": file})
    film_file.check_codec(film_file.MP4)
    # One stream for the tempo and one for each view, so that a film is the same whichever others are asked for.
    streams = {name: np.random.default_rng([seed, k]) for k, name in enumerate(("tempo", *VIEWS))}
    tempo = Tempo.drawn(streams["tempo"], fps)
    with contextlib.ExitStack() as whole:
        parts = {option: whole.enter_context(new_file(file)) for option, file in files.items()}
        progress = whole.enter_context(Progress(1 + len(seen) * (len(tempo.progress()) + 1) + 1))
        (swing,) = simulated(setups, progress, through_impact=True)
        moments = tempo.moments(swing.progress)
        picks = sorted(set(moments))
        order = [picks.index(moment) for moment in moments]
        phones = {view: drawn_phone(streams[view], swing, view, width_height) for view in seen}
        with PlainReel(swing, seed) as reel:
            for view, phone in phones.items():
                progress.step(f"setting up {view}")
                shown = progress.over(frames(reel.seen_by(phone.camera), picks, order), f"drawing {view}")
                film_file.write_mp4(parts[view], shown, width_height, fps)
                if tracks:
                    text = track_csv(reel.track(phone.camera, moments, fps))
                    parts[f"{view}, its tracks"].write_bytes(utf8(text))
    tell_notes(setups, [swing])
    for view, phone in phones.items():
        tell(
            f"The film {view.replace('-', ' ') if view != VIEWS[0] else view} is {films[view]}: from "
            f"{phone.distance_m:.1f} m away, {phone.height_m:.1f} m high, {abs(phone.off_square_deg):.0f}° off square; "
            f"the takeaway begins at frame {tempo.takeaway:.0f}, the top is at frame {tempo.top:.1f}."
        )
        if tracks:
            tell(f"Its keypoints are {_beside(films[view])}")
    tell(PAST_THE_TOP)


def _named_after(target: str, view: str) -> str:
    """``a.mp4`` as ``a-face-on.mp4``."""
    path = Path(target)
    return str(path.with_name(f"{path.stem}-{view}{path.suffix}"))


def _beside(film: str) -> str:
    return str(Path(film).with_suffix(TRACKS))
