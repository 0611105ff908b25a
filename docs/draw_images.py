"""Draws the pictures of README.md by the product's own commands, into docs/images.

Run it as `python docs/draw_images.py` where turnstill is installed; the strike's is a part of its page and needs playwright
with Debian's chromium, as tests of pages do. The commands stand in `PICTURES`; what is done to their pictures here is only to lay
them side by side, make them smaller and keep 256 colours, so that all of them stay under half a megabyte.
"""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

from PIL import Image
from playwright.sync_api import sync_playwright

from turnstill.scenes.cli import app

IMAGES = Path(__file__).parent / "images"
COLOURS, RARE = 256, 64
PICTURES = {
    "compare.png": "compare centred too-little-extension --out compare",
    "strip.png": "strip centred too-little-extension --views face-on --out strip.png",
    "strike.png": "strike centred stands-up --out strike",
}
"""Picture to the command that makes it."""


def run(command: str, folder: Path) -> None:
    """One command in a folder."""
    words = command.split()
    words[-1] = str(folder / words[-1])
    app(words, standalone_mode=False)


def side_by_side(files: list[Path], width: int, gap: int = 6) -> Image.Image:
    """Pictures in a row."""
    pictures = [Image.open(file).convert("RGB") for file in files]
    pictures = [one.resize((width, round(width * one.height / one.width)), Image.Resampling.LANCZOS) for one in pictures]
    row = Image.new("RGB", (len(pictures) * (width + gap) - gap, pictures[0].height), "white")
    for k, one in enumerate(pictures):
        row.paste(one, (k * (width + gap), 0))
    return row


def part_of_page(page_file: Path, selector: str, picture: Path) -> None:
    """An element of a page as a picture."""
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=shutil.which("chromium"))
        page = browser.new_page(viewport={"width": 900, "height": 900})
        page.goto(page_file.as_uri())
        page.locator(selector).first.screenshot(path=picture)
        browser.close()


def keep(picture: Image.Image, name: str) -> None:
    """Write a picture small."""
    whole = picture.convert("RGB")
    # Most colours where most of the picture is, a few for thin bright lines, which have few pixels.
    many, rare = (
        whole.quantize(count, method=method).getpalette()[: 3 * count]
        for count, method in ((COLOURS - RARE, Image.Quantize.MEDIANCUT), (RARE, Image.Quantize.MAXCOVERAGE))
    )
    palette = Image.new("P", (1, 1))
    palette.putpalette(many + rare)
    few = whole.quantize(palette=palette, dither=Image.Dither.NONE)
    few.save(IMAGES / name, optimize=True)
    print(f"{name}: {few.size[0]}x{few.size[1]}, {(IMAGES / name).stat().st_size / 1000:.0f} kB")


def main() -> None:
    """Draw them all."""
    IMAGES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        for command in PICTURES.values():
            run(command, folder)
        swings = sorted((folder / "compare").glob("*.png"))
        # Each view's two golfers stand next to each other, centred first.
        keep(side_by_side([one for view in ("face-on", "down-the-line") for one in swings if view in one.name], 300), "compare.png")
        strip = Image.open(folder / "strip.png")
        keep(strip.resize((880, round(880 * strip.height / strip.width)), Image.Resampling.LANCZOS), "strip.png")
        part_of_page(folder / "strike" / "index.html", "section:has(.charts)", folder / "arcs.png")
        keep(Image.open(folder / "arcs.png"), "strike.png")


if __name__ == "__main__":
    main()
