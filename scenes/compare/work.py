"""The ``compare`` command: swings side by side, as pictures, numbers and one page."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ...model.errors import TurnstillError
from ..delivery.json_text import json_text
from ..delivery.progress import Progress
from ..delivery.writing import CONTENTS_FILE, new_folder
from ..film import film_file
from ..setups.naming import default_folder, slug, titled
from ..setups.perform import Performed, check_frames, perform
from ..setups.presets import Setup, load
from ..setups.settings import apply
from ..simulate.report import in_shown_unit, swing_report
from ..views.cameras import cameras, draw
from ..views.shown_swing import VIEWS
from . import page, words
from .film_section import FILM_FILE, FILM_FRAMES, page_film

if TYPE_CHECKING:
    from ...model.films.camera import Camera

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
            words.sentences(performed[0], one, _pair(setups, k), inches, both=k == 1) for k, one in _later(performed)
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


def _pictures(performed: Sequence[Performed], progress: Progress) -> list[Picture]:
    from ...render.stage.stage import Stage

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
