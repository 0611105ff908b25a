"""A page that draws one golfer with the figure's module, and what tests ask of it."""

from __future__ import annotations

import gzip
import json
from base64 import b64decode, b64encode
from io import BytesIO
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from turnstill.model.swing.swing import Swing
from turnstill.render.figure.figure import Figure
from turnstill.render.web.module import figure_module
from turnstill.render.web.payload import figure_bytes, motion_bytes
from turnstill.render.web.settings import drawing_settings
from turnstill.scenes.views.cameras import cameras
from turnstill.scenes.views.web_figure import camera_numbers
from turnstill.scenes.views.web_marks import marks_of

VIEWS = ("face-on", "down-the-line", "above")
_SCRIPT = """
const data = JSON.parse(document.getElementById("data").textContent);
const packed = (id) => unzipped(document.getElementById(id).textContent);
const figure = new Figure(await packed("figure")), motion = new Motion(await packed("motion"));
const golfer = new Golfer(figure, motion, data.settings.sun);
golfer.show(golfer.last);
const show = new Show(new Window(data.settings), data.settings.marks);
for (const place of document.querySelectorAll(".panel")) {
  show.add(new Panel(place, golfer, place.id, data.cameras[place.id], data.settings.marks, new Turning()));
}
window.shown = { figure, motion, golfer, show };
window.settled = () => new Promise((done) => {
  show.movedAt = -Infinity;
  show.ondrawn = () => { show.ondrawn = null; done(); };
  show.changed({ moving: false });
});
"""


def page_of(swing: Swing, figure: Figure, width: int = 720, height: int = 900) -> str:
    """The page: three panels of the cameras' own size."""
    data = {
        "settings": drawing_settings(),
        "cameras": {view: camera_numbers(c) for view, c in cameras([swing], width, height)[0].items()},
    }
    panels = "".join(f'<div class="panel" id="{view}" tabindex="0"></div>' for view in VIEWS)
    motion = motion_bytes(figure, swing.skeleton, {"marks": marks_of(swing)})
    packed = {"figure": figure_bytes(figure), "motion": gzip.compress(motion, 6)}
    blocks = "".join(f'<script type="text/plain" id="{k}">{b64encode(v).decode()}</script>' for k, v in packed.items())
    return f"""<!DOCTYPE html><meta charset="utf-8"><style>body {{ margin: 0; display: flex; }}
.panel {{ position: relative; width: {width}px; flex: none; }}
.panel canvas, .panel svg {{ position: absolute; inset: 0; width: 100%; height: 100%; }}</style>{panels}
<script type="application/json" id="data">{json.dumps(data)}</script>{blocks}
<script type="module">{figure_module()}{_SCRIPT}</script>"""


def open_page(page: Any, html: str) -> None:
    """Show it and wait until everything stands still."""
    page.set_content(html)
    page.wait_for_function("window.shown && window.shown.show.took")
    settle(page)


def settle(page: Any) -> None:
    """Wait until the pictures are drawn smoothly."""
    page.evaluate("() => settled()")


def pixels(page: Any, view: str) -> NDArray[np.uint8]:
    """``(height, width, 3)`` what a panel's canvas shows, without the marks."""
    url = page.evaluate(f"() => document.querySelector('#{view} canvas').toDataURL('image/png')")
    return np.asarray(Image.open(BytesIO(b64decode(url.partition(",")[2]))).convert("RGB"))


def vertices(page: Any, moment: int) -> NDArray[np.float64]:
    """``(V, 3)`` metres, world: where the module poses the figure."""
    told = page.evaluate(
        f"() => {{ const p = new Float32Array(3 * shown.figure.vertices); shown.figure.pose(shown.motion, {moment}, p);"
        " let s = ''; new Uint8Array(p.buffer).forEach((b) => (s += String.fromCharCode(b))); return btoa(s); }"
    )
    return np.frombuffer(b64decode(told), "<f4").reshape(-1, 3).astype(float)
