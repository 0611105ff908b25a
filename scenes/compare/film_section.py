"""The film inside the comparison's page: one video of all swings and both views, with a way to move it by hand."""

from __future__ import annotations

import base64
import io
import json
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from pathlib import Path

from ..delivery.progress import Progress
from ..film import film_file
from ..film.layout import GAP, grid
from ..film.reel import Reel, frames, legend
from ..film.timing import DENSE, timing
from ..setups.perform import swing_of
from ..setups.presets import Setup
from ..views.shown_swing import VIEWS

FILM_FILE = "film.mp4"
PANE_WIDTH, PANE_HEIGHT = 400, 440
FILM_FRAMES, RATE = 36, 12.0
ENCODING = {"crf": "25", "g": "12"}
"""A whole picture every twelve frames, so that moving it by hand never waits for a long run of changes."""
_LEAST_COLUMN = 170
"""CSS pixels a swing takes at least; more swings than fit are scrolled sideways."""


@dataclass(frozen=True)
class PageFilm:
    """A film ready to be put into a page.

    Attributes:
        mp4: the film's file.
        still: the top of the backswing as a JPEG.
        order: for each frame, which moment it shows; the backswing's frames are its moments in order.
        progress: of each moment, 0 at address to 1 at the top.
        rate: frames a second.
        width, height: pixels.
        columns: swings side by side.
    """

    mp4: bytes
    still: bytes
    order: tuple[int, ...]
    progress: tuple[float, ...]
    rate: float
    width: int
    height: int
    columns: int


def page_film(setups: Sequence[Setup], folder: Path, progress: Progress) -> PageFilm:
    """Film the swings into ``folder``.

    Raises:
        TurnstillError: where no film can be drawn or encoded.
        OSError: where it cannot be written.
    """
    from PIL import Image

    count = len(setups)
    size = count * (PANE_WIDTH + GAP) - GAP, len(VIEWS) * (PANE_HEIGHT + GAP) - GAP
    when = timing(FILM_FRAMES / RATE, RATE)
    swings = [swing_of(setup, DENSE) for setup in setups]
    layout = grid([(swing, view) for view in VIEWS for swing in range(count)], count, size)
    file, still = folder / FILM_FILE, io.BytesIO()
    with Reel(swings, [setup.name for setup in setups], layout, size, labels=legend) as reel:
        shown = progress.over(frames(reel, when.picks, when.order), "filming")
        film_file.write_mp4(file, shown, size, when.rate, ENCODING)
        Image.fromarray(reel.draw(when.picks[-1])).save(still, "JPEG", quality=82)
    way = tuple(round(float(share), 4) for share in when.progress)
    return PageFilm(file.read_bytes(), still.getvalue(), when.order, way, when.rate, *size, count)


def film_section(film: PageFilm, names: Sequence[str]) -> str:
    """The section of the page; without scripts the browser's own controls stay.

    Args:
        film: the film.
        names: of the swings, in its columns.
    """
    video, still = (base64.b64encode(data).decode("ascii") for data in (film.mp4, film.still))
    told = f"{' and '.join(names)} moving in step from address to the top and back, face-on above, down the line below"
    data = json.dumps({"order": film.order, "progress": film.progress, "rate": film.rate})
    last = len(film.progress) - 1
    picture = f"data:image/jpeg;base64,{still}"
    return (
        '<section class="film" aria-label="Film"><h2>In step</h2>\n'
        '<p class="legend">Dashed: address. Solid: now, with the trunk\'s angle from the vertical in that view. The '
        "film runs to the top, rests, and runs back; it shows no downswing.</p>\n"
        f'<div class="scroll"><video id="film" width="{film.width}" height="{film.height}" '
        f'style="min-width: {film.columns * _LEAST_COLUMN}px" muted loop playsinline controls preload="auto" '
        f'aria-label="{escape(told)}" poster="{picture}" src="data:video/mp4;base64,{video}"></video></div>\n'
        '<div class="bar" id="film-bar" hidden><button type="button" id="film-play">Play</button>'
        f'<input type="range" id="film-way" min="0" max="{last}" step="1" value="0" '
        'aria-label="Moment of the backswing, all swings and views together"><output id="film-told"></output></div>\n'
        f"<script>{SCRIPT.replace('@DATA@', data)}</script></section>"
    )


STYLE = """
.film video, .film img { display: block; width: 100%; height: auto; max-width: 880px; background: #c9d2da; }
.film .bar { display: flex; gap: 12px; align-items: center; max-width: 880px; padding: 10px 0; }
.film .bar[hidden] { display: none; }
.film button { font: inherit; min-width: 5.5em; min-height: 44px; border: 2px solid var(--ink); border-radius: 6px;
  background: var(--card); color: var(--ink); cursor: pointer; }
.film input { flex: 1; min-width: 0; min-height: 44px; accent-color: var(--edge); }
.film output { min-width: 4.5em; font-variant-numeric: tabular-nums; }
@media print { .film { display: none; } }
"""

SCRIPT = """
(function () {
  var data = @DATA@, last = data.progress.length - 1;
  var film = document.getElementById("film"), bar = document.getElementById("film-bar");
  var play = document.getElementById("film-play"), way = document.getElementById("film-way");
  var told = document.getElementById("film-told");
  function tell(moment) {
    var words = moment === 0 ? "address" : moment === last ? "top" : Math.round(100 * data.progress[moment]) + " %";
    told.textContent = words;
    way.setAttribute("aria-valuetext", words);
  }
  function show(moment) {
    film.pause();
    film.currentTime = (moment + 0.5) / data.rate;
    way.value = moment;
    tell(moment);
  }
  function run() {
    var started = film.play();
    if (started) { started.catch(function () {}); }
  }
  function follow() {
    if (film.paused) { return; }
    var frame = Math.min(data.order.length - 1, Math.floor(film.currentTime * data.rate + 0.01));
    way.value = data.order[frame];
    tell(data.order[frame]);
    requestAnimationFrame(follow);
  }
  function toggle() { if (film.paused) { run(); } else { film.pause(); } }
  function still() {
    var picture = document.createElement("img");
    picture.src = film.poster;
    picture.alt = film.getAttribute("aria-label") + "; this browser cannot play it, so the top is shown";
    film.replaceWith(picture);
    bar.hidden = true;
  }
  film.addEventListener("error", still);
  film.addEventListener("play", function () { play.textContent = "Pause"; follow(); });
  film.addEventListener("pause", function () { play.textContent = "Play"; });
  film.addEventListener("click", toggle);
  play.addEventListener("click", toggle);
  way.addEventListener("input", function () { show(Number(way.value)); });
  film.controls = false;
  bar.hidden = false;
  tell(0);
  if (film.error) {
    still();
  } else if (matchMedia("(prefers-reduced-motion: reduce)").matches) {
    show(last);
  } else {
    run();
  }
})();
"""
