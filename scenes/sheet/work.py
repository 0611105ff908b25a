"""The ``sheet`` command's work: a swing, its sheet, and the file that it is written to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ...model.errors import TurnstillError
from ..delivery.json_text import json_text
from ..delivery.outputs import check_outputs
from ..delivery.progress import Progress
from ..delivery.terminal import tell
from ..delivery.writing import STANDARD_OUTPUT, new_file, utf8, write_text
from ..setups.naming import default_folder
from ..setups.perform import perform
from ..setups.presets import load
from ..setups.settings import apply
from ..views.cameras import cameras, draw
from ..views.names import VIEWS
from ..views.pictures import ViewPicture
from .report import SheetReport
from .sheet import AFTER, NOW, Sheet, make_sheet

SUFFIX = ".html"
WIDTH, HEIGHT = 480, 600
"""Of each picture, pixels: a quarter of an A4 page's width at some 250 a inch."""


def sheet_to(
    preset_or_file: str,
    settings: list[str],
    *,
    feel: Sequence[str] = (),
    felt: str | None = None,
    out: str | None = None,
    json_file: str | None = None,
    inches: bool = False,
) -> None:
    """Write the sheet of a swing, say what it says, and write that as JSON where asked.

    Raises:
        TurnstillError: for anything a user can mend; no half-written file is then left behind.
    """
    setup = apply(load(preset_or_file), settings)
    target = out if out is not None else f"{default_folder([setup])}-sheet{SUFFIX}"
    if not target.lower().endswith(SUFFIX):
        raise TurnstillError(f"The sheet is a page; name a file that ends in {SUFFIX}.")
    check_outputs({"--out": target, "--json": json_file})
    with Progress(3 + 2 * len(VIEWS)) as progress:
        progress.step("simulating")
        sheet = make_sheet(perform(setup), feel, felt)
        report = SheetReport.of(sheet)
        shown, page = sheet_html(sheet, progress, inches)
        progress.step("writing the sheet")
        with new_file(target) as part:
            part.write_bytes(utf8(page))
    if json_file is not None:
        write_text(json_file, json_text(report))
    if json_file != STANDARD_OUTPUT:
        for line in shown.sentences:
            tell(line)
        for line in shown.warnings:
            tell(f"Note: {line}")
        tell(f"The sheet is {target}")


def sheet_html(sheet: Sheet, progress: Progress, inches: bool = False) -> tuple[SheetReport, str]:
    """The report with its sentences in the unit to be shown, and the page, whoever asks for them.

    Raises:
        TurnstillError: where no picture can be drawn.
    """
    from .page import sheet_page

    shown = SheetReport.of(sheet, inches)
    return shown, sheet_page(shown, sheet_pictures(sheet, progress), inches)


def sheet_pictures(sheet: Sheet, progress: Progress) -> list[ViewPicture]:
    """Both swings in both views, the present one first.

    Raises:
        TurnstillError: where no picture can be drawn.
    """
    from ...render.stage.stage import Stage

    both = [replace(side, setup=side.setup.renamed(name)) for side, name in ((sheet.now, NOW), (sheet.after, AFTER))]
    places = cameras([side.swing for side in both], WIDTH, HEIGHT)
    pictures = []
    with Stage() as stage:
        for view in VIEWS:
            for index, side in enumerate(both):
                progress.step("drawing")
                pictures.append(ViewPicture(index, view, draw(side, view, places[index][view], stage)))
    return pictures
