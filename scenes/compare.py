"""The ``compare`` command: swings side by side, as pictures, numbers and one page."""

from __future__ import annotations

import io
import re
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from ..model.errors import TurnstillError
from ..model.swing import Swing
from . import explain, film_file, page
from .film_page import FILM_FILE, FILM_FRAMES, page_film
from .perform import Performed, check_frames, perform
from .presets import Setup, load
from .progress import Progress
from .report import in_shown_unit, swing_report
from .settings import apply
from .shown_swing import VIEWS as VIEWS
from .shown_swing import shown_at
from .simulated import json_text
from .writing import CONTENTS_FILE, new_folder

if TYPE_CHECKING:
    from ..render.camera import Camera
    from ..render.stage import Stage

FEWEST_SWINGS, MOST_SWINGS = 2, 6


@dataclass(frozen=True)
class Picture:
    """One picture of the comparison.

    Attributes:
        swing: index of the swing.
        view: one of ``VIEWS``.
        file: its name in the folder.
        png: the file's content.
        camera: where it was taken from.
    """

    swing: int
    view: str
    file: str
    png: bytes
    camera: Camera


def compare_to(
    names: Sequence[str],
    settings: list[str],
    frames: int = 41,
    *,
    out: str | None = None,
    film: bool = True,
    inches: bool = False,
) -> None:
    """Compare swings and write the folder with pictures, a film, numbers and ``index.html``.

    Where the film's codec is missing, the page does without the film and says so on standard error.

    Raises:
        TurnstillError: for anything a user can mend; no folder is then left behind.
    """
    if not FEWEST_SWINGS <= len(names) <= MOST_SWINGS:
        raise TurnstillError(
            f"compare was given {len(names)} swing{'s' * (len(names) != 1)}, but takes {FEWEST_SWINGS} to "
            f"{MOST_SWINGS} presets or TOML files; try: turnstill compare centred too-much-tilt"
        )
    check_frames(frames)
    setups = titled([apply(load(name), settings) for name in names])
    target = out if out is not None else default_folder(setups)
    film = film and _can_film()
    steps = len(setups) * (1 + len(VIEWS)) + FILM_FRAMES * film + 1
    with new_folder(target) as folder, Progress(steps) as progress:
        performed = []
        for setup in setups:
            progress.step(f"simulating {setup.name}")
            performed.append(perform(setup, frames))
        pictures = _pictures(performed, progress)
        filmed = page_film(setups, folder, progress) if film else None
        progress.step("writing the page")
        for picture in pictures:
            (folder / picture.file).write_bytes(picture.png)
        reports = [swing_report(one) for one in performed]
        texts = [
            explain.sentences(performed[0], one, _pair(setups, k), inches, both=k == 1) for k, one in _later(performed)
        ]
        shown = [in_shown_unit(report, one, inches) for report, one in zip(reports, performed, strict=True)]
        html = page.comparison_page(shown, texts, pictures, film=filmed, inches=inches)
        (folder / "index.html").write_text(html, encoding="utf-8")
        own = ["index.html", CONTENTS_FILE] + [FILM_FILE] * (filmed is not None)
        files = sorted([*own, *(picture.file for picture in pictures)])
        contents = _contents(files, reports, texts, pictures)
        (folder / CONTENTS_FILE).write_text(json_text(contents), encoding="utf-8")
    for lines in texts:
        sys.stdout.write("\n".join(lines) + "\n\n")
    for report in shown:
        sys.stdout.writelines(f"Note on {report['preset']}: {warning}\n" for warning in report["warnings"])
    sys.stdout.write(f"The page is {Path(target) / 'index.html'}\n")


def _can_film() -> bool:
    try:
        film_file.check_codec(film_file.MP4)
    except TurnstillError as missing:
        sys.stderr.write(f"turnstill: The page has no film. {missing}\n")
        return False
    return True


def _later(performed: list[Performed]) -> list[tuple[int, Performed]]:
    return list(enumerate(performed))[1:]


def _pair(setups: list[Setup], index: int) -> tuple[str, str]:
    return setups[0].name, setups[index].name


def titled(setups: list[Setup]) -> list[Setup]:
    """The setups with names that differ: a second ``centred`` becomes ``centred (2)``."""
    seen: dict[str, int] = {}
    out = []
    for setup in setups:
        seen[setup.name] = seen.get(setup.name, 0) + 1
        count = seen[setup.name]
        out.append(setup if count == 1 else setup.renamed(f"{setup.name} ({count})"))
    return out


def slug(name: str) -> str:
    """A name as part of a file's name: letters, digits, points and hyphens."""
    return re.sub(r"[^A-Za-z0-9.-]+", "-", name).strip("-.")[:40] or "swing"


def default_folder(setups: Sequence[Setup]) -> str:
    """For example ``turnstill-centred-vs-too-much-tilt``."""
    return "turnstill-" + "-vs-".join(slug(setup.name) for setup in setups)


def cameras(swings: Sequence[Swing], width: int = 720, height: int = 900) -> list[dict[str, Camera]]:
    """Where a coach would stand for each swing, by view.

    One tripod serves all golfers of the same hand, set for the first of them, so that places in two pictures can
    be compared; the frame fits the tallest.

    Args:
        swings: whom to film.
        width: of each picture, pixels.
        height: of each picture, pixels.
    """
    from ..render.camera import down_the_line, face_on

    stature = max(float(np.max(swing.body.stature)) for swing in swings)
    by_hand: dict[bool, dict[str, Camera]] = {}
    for swing in swings:
        left_handed = swing.left_handed
        if left_handed not in by_hand:
            joints = swing.skeleton.joints
            hands = (joints["wrist_lead"][0] + joints["wrist_trail"][0]) / 2
            by_hand[left_handed] = {
                "face-on": face_on(float(hands[2]), width, height, stature_m=stature, left_handed=left_handed),
                "down-the-line": down_the_line(hands, width, height, stature_m=stature, left_handed=left_handed),
            }
    return [by_hand[swing.left_handed] for swing in swings]


def _pictures(performed: Sequence[Performed], progress: Progress) -> list[Picture]:
    from ..render.stage import Stage

    places = cameras([one.swing for one in performed])
    pictures = []
    with Stage() as stage:
        for index, one in enumerate(performed):
            for view in VIEWS:
                progress.step(f"drawing {one.setup.name}, {view.replace('-', ' ')}")
                file = f"{index + 1}-{slug(one.setup.name)}-{view}.png"
                camera = places[index][view]
                pictures.append(Picture(index, view, file, draw(one, view, camera, stage), camera))
    return pictures


def draw(performed: Performed, view: str, camera: Camera, stage: Stage | None = None) -> bytes:
    """One marked picture, address as a ghost and the top solid, as PNG.

    Raises:
        TurnstillError: where no picture can be drawn.
    """
    from ..render.picture import comparison_picture

    swing = performed.swing
    shown = shown_at(swing, performed.setup.name, view)
    out = io.BytesIO()
    comparison_picture(swing.body, shown, camera, stage=stage).save(out, "PNG")
    return out.getvalue()


def _contents(
    files: list[str], reports: list[dict[str, Any]], texts: list[list[str]], pictures: list[Picture]
) -> dict[str, Any]:
    return {
        "files": files,
        "differences": [
            {"of": report["preset"], "against": reports[0]["preset"], "sentences": lines}
            for report, lines in zip(reports[1:], texts, strict=True)
        ],
        "pictures": [
            {
                "file": picture.file,
                "swing": reports[picture.swing]["preset"],
                "view": picture.view,
                "width": picture.camera.width,
                "height": picture.camera.height,
                "K": picture.camera.K.tolist(),
                "R": picture.camera.R.tolist(),
                "t_m": picture.camera.t.tolist(),
            }
            for picture in pictures
        ],
        "swings": reports,
    }
