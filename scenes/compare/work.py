"""The ``compare`` command: swings side by side, as pictures, numbers and one page in which they move."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from ...model.errors import TurnstillError
from ...model.swing.rehearsal import Rehearsal
from ..delivery.folder import CONTENTS_FILE, PAGE_FILE, new_folder
from ..delivery.json_text import json_text
from ..delivery.progress import Progress
from ..delivery.terminal import tell
from ..delivery.writing import utf8
from ..setups.naming import default_folder, slug, titled
from ..setups.options import IMPACT, MOMENTS, TOP, goes_through_impact
from ..setups.perform import Performed, about, check_frames, perform
from ..setups.presets import load
from ..setups.settings import apply
from ..setups.taken_along import taken_along
from ..simulate.report import SwingReport
from ..views.cameras import cameras, draw
from ..views.names import chosen_views
from ..words.at_impact import CAUTION
from . import page, words
from .at_impact import sentences_at_impact
from .causes import causes
from .figure_section import page_figure
from .hip_room import HipRoomReport
from .report import ComparisonReport, Picture
from .stills import all_alike

if TYPE_CHECKING:
    from ...model.films.camera import Camera
    from ...render.stage.stage import Stage

FEWEST_SWINGS, MOST_SWINGS = 2, 6
_KEPT = 2 * MOST_SWINGS
"""Answers of each stage: every swing's and its centred one's."""


def compare_to(
    names: Sequence[str],
    settings: list[str],
    frames: int = MOMENTS,
    *,
    out: str | None = None,
    views: str | None = None,
    inches: bool = False,
    through: str = TOP,
) -> None:
    """Compare swings and write the folder with pictures, numbers and ``index.html``, in which the golfers move.

    Raises:
        TurnstillError: for anything a user can mend; no folder is then left behind.
    """
    if not FEWEST_SWINGS <= len(names) <= MOST_SWINGS:
        raise TurnstillError(
            f"compare was given {len(names)} swing{'s' * (len(names) != 1)}, but takes {FEWEST_SWINGS} to "
            f"{MOST_SWINGS} presets or TOML files; try: turnstill compare centred too-much-tilt"
        )
    check_frames(frames)
    on = goes_through_impact(through)
    seen = chosen_views(views)
    setups = titled([apply(load(name), settings) for name in names])
    target = out if out is not None else default_folder(setups)
    steps = len(setups) * (1 + len(seen)) + 1
    with new_folder(target) as folder, Progress(steps) as progress:
        # Swings, what each is measured against, what is put back and the arcs mostly share a golfer, who is stood once.
        rehearsal, performed = Rehearsal(_KEPT), []
        for setup in setups:
            progress.step(f"simulating {setup.name}")
            with about(setup.name):
                performed.append(perform(setup, frames, rehearsal.simulate, through_impact=on))
        shown = [SwingReport.of(one, inches) for one in performed]
        tops = [one.until_top() for one in performed]
        differences, alike, rooms = _differences(tops, inches, rehearsal)
        if on:
            differences = [
                sentences_at_impact(lines, shown[0], other, alike=same, inches=inches)
                for lines, same, other in zip(differences, alike, shown[1:], strict=True)
            ]
        else:
            alike = []  # However alike, what ends at the top is pictured there.
        from ...render.stage.stage import Stage

        with Stage() as stage:
            places = cameras([one.swing for one in tops])
            pictures = [] if all_alike(alike) else _pictures(_to_picture(tops, alike), seen, places, stage, progress)
            if on:
                progress.more(len(pictures))
                pictures += _pictures(dict(enumerate(performed)), seen, places, stage, progress, IMPACT)
            figure = page_figure(
                performed, seen, places, stage, inches=inches, through_impact=on, opens_at_impact=all_alike(alike)
            )
        progress.step("writing the page")
        for picture in pictures:
            (folder / picture.file).write_bytes(picture.png)
        arcs = taken_along(tops, rehearsal.do)
        html = page.comparison_page(
            shown, differences, pictures, rooms, figure=figure, arcs=arcs, inches=inches, alike=alike
        )
        (folder / PAGE_FILE).write_bytes(utf8(html))
        files = sorted([PAGE_FILE, CONTENTS_FILE, *(picture.file for picture in pictures)])
        swings = [SwingReport.of(one) for one in performed] if inches else shown
        contents = ComparisonReport.of(files, swings, differences, pictures, arcs, rooms)
        (folder / CONTENTS_FILE).write_bytes(utf8(json_text(contents)))
    for lines in differences:
        for line in (*lines, ""):
            tell(line)
    for report in shown:
        for warning in report.warnings:
            tell(f"Note on {report.preset}: {warning}")
    if on:
        tell(CAUTION)
    tell(f"The page is {Path(target) / PAGE_FILE}")


def _differences(
    performed: Sequence[Performed], inches: bool, rehearsal: Rehearsal
) -> tuple[list[list[str]], list[bool], list[HipRoomReport]]:
    """Up to the top: sentences for each swing but the first, whether it was asked for the same as the first, and the
    most hip turn of those that are told by it.
    """
    first, *later = performed
    rooms: dict[int, HipRoomReport | None] = {}
    told, alike = [], []
    for k, one in enumerate(later, start=1):
        found = causes(first, one, rehearsal.simulate)
        alike.append(not found and not words.asked_beside(first, one))
        if words.matters_to_hips(found):
            for index in (0, k):
                if index not in rooms:
                    rooms[index] = HipRoomReport.of(performed[index], rehearsal.do)
        both = [room for index in (0, k) if (room := rooms.get(index)) and k in rooms]
        names = first.setup.name, one.setup.name
        told.append(words.sentences(first, one, names, found, both if len(both) == 2 else (), inches, both=k == 1))
    return told, alike, [room for _, room in sorted(rooms.items()) if room]


def _to_picture(tops: Sequence[Performed], alike: Sequence[bool]) -> dict[int, Performed]:
    """The swings to picture at the top, by their number: one that is the first one's would show the same again."""
    return {k: one for k, one in enumerate(tops) if not (k and alike and alike[k - 1])}


def _pictures(
    performed: Mapping[int, Performed],
    views: Sequence[str],
    places: Sequence[Mapping[str, Camera]],
    stage: Stage,
    progress: Progress,
    moment: str = TOP,
) -> list[Picture]:
    """Of swings, by their number, from every view: at the top where they end there, or at impact."""
    pictures = []
    for index, one in performed.items():
        for view in views:
            told, named, at = (" at impact", "-impact", one.swing.at_impact) if moment == IMPACT else ("", "", -1)
            progress.step(f"drawing {one.setup.name}, {view.replace('-', ' ')}{told}")
            file = f"{index + 1}-{slug(one.setup.name)}-{view}{named}.png"
            camera = places[index][view]
            png = draw(one, view, camera, stage, at)
            pictures.append(Picture(index, view, png, file, camera, moment=moment))
    return pictures
