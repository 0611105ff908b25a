"""How long a dragged slider takes to show, in Chromium, beside pictures that a server draws and sends.

    python tests/benchmarks/live_page.py

Two views, 41 moments worked out at each step, software OpenGL on both sides unless the machine has better. The peer is
a page that asks a Starlette server for the same two views as one JPEG from the project's own stage, as large as the
page's canvases, without marks. Medians of one run on one machine: the ratio is what counts.
"""

from __future__ import annotations

import io
import json
import socket
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))
from browser import browser
from live_server import Served, live

from turnstill.model.swing.rehearsal import Rehearsal
from turnstill.render.figure.figure import Posed
from turnstill.render.stage.layers import Layers
from turnstill.render.stage.stage import Stage
from turnstill.scenes.setups.perform import swing_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.views.cameras import cameras

STEPS = 25
SIZES = ((1280, 900), (390, 844))
VIEWS = ("face-on", "down-the-line")
SLIDERS = {
    "trunk": "live-pieces-tilt_deg",
    "legs": "live-pieces-hip_turn_deg",
    "address": "live-address-lead_flare_deg-address-trail_flare_deg",
}
_DRAWN = """
const body = document.body;
// Told the moment it is so; a timer that asks again and again is 4 ms late, in which it keeps the page from its work.
const drawn = (since) => new Promise((done) => {
  const is = () => Number(body.dataset.drawn) !== since && !body.classList.contains("asking");
  const watch = new MutationObserver(() => is() && (watch.disconnect(), done()));
  watch.observe(body, { attributes: true });
});
"""
_DRAG = f"""async ([id, steps, low, high]) => {{{_DRAWN}
  const slider = document.querySelector(`input[type="range"][id="${{id}}"]`), took = [];
  for (let k = 0; k <= steps; k++) {{
    slider.value = low + ((high - low) * k) / steps;
    const begun = performance.now(), done = drawn(Number(body.dataset.drawn));
    slider.dispatchEvent(new Event("input", {{ bubbles: true }}));
    await done;
    took.push(performance.now() - begun);
  }}
  slider.dispatchEvent(new Event("change", {{ bubbles: true }}));
  return took.slice(1);
}}"""
_SCRUB = f"""async ([steps]) => {{{_DRAWN}
  const way = document.getElementById("live-way"), took = [];
  for (let k = 0; k <= steps; k++) {{
    const begun = performance.now(), done = drawn(Number(body.dataset.drawn));
    way.value = 40 - k;
    way.dispatchEvent(new Event("input", {{ bubbles: true }}));
    await done;
    took.push(performance.now() - begun);
  }}
  return took.slice(1);
}}"""
_PEER = """<!DOCTYPE html><canvas id="c"></canvas><script>
window.drag = async (steps, width, height) => {
  const canvas = document.getElementById("c"), took = [];
  [canvas.width, canvas.height] = [2 * width, height];
  for (let k = 0; k <= steps; k++) {
    const begun = performance.now();
    const answer = await fetch("picture", { method: "POST", body: JSON.stringify([35 + k * 0.4, width, height]) });
    const picture = await createImageBitmap(await answer.blob());
    canvas.getContext("2d").drawImage(picture, 0, 0);
    await new Promise((done) => requestAnimationFrame(done));
    took.push(performance.now() - begun);
  }
  return took.slice(1);
};
</script>"""


def peer() -> Served:
    """A server that draws."""
    from PIL import Image
    from starlette.applications import Starlette
    from starlette.requests import Request
    from starlette.responses import HTMLResponse, Response
    from starlette.routing import Route

    rehearsal, one_thread = Rehearsal(8), ThreadPoolExecutor(1)
    kept: dict[Any, Any] = {}

    def draw(tilt: float, width: int, height: int) -> bytes:
        if "stage" not in kept:
            kept["stage"] = Stage().__enter__()
        stage: Stage = kept["stage"]
        swing = swing_of(apply(load("too-much-tilt"), [f"tilt={tilt}"]), 41, rehearsal.simulate)
        figure = stage.figure(swing.body, swing.skeleton[0])
        now, address = Posed.of(figure, swing.skeleton[-1]), Posed.of(figure, swing.skeleton[0])
        places = cameras([swing], width, height)[0]
        # What does not change while a slider is dragged is drawn once, as the page does.
        if (width, height) not in kept:
            kept[width, height] = {view: _still(stage, places[view], now, address) for view in VIEWS}
        pictures = []
        for view, (ground, outline) in kept[width, height].items():
            camera = places[view]
            layers = Layers(ground, stage.shadow(camera, now), stage.figure_layer(camera, now), outline)
            pictures.append(layers.compose())
        out = io.BytesIO()
        Image.fromarray(np.concatenate(pictures, axis=1)).save(out, "JPEG", quality=85)
        return out.getvalue()

    async def picture(request: Request) -> Response:
        import asyncio

        asked = json.loads(await request.body())
        return Response(
            await asyncio.get_running_loop().run_in_executor(one_thread, draw, *asked), media_type="image/jpeg"
        )

    async def page(_: Request) -> Response:
        return HTMLResponse(_PEER)

    app = Starlette(routes=[Route("/", page), Route("/picture", picture, methods=["POST"])])
    return Served(app, socket.create_server(("127.0.0.1", 0)))


def _still(stage: Stage, camera: Any, now: Posed, address: Posed) -> tuple[Any, Any]:
    """Ground and outline of the address."""
    outline = stage.silhouette(camera, address).whole(camera.height, camera.width)[..., 0]
    return stage.ground(camera, now), outline


def main() -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as folder, browser() as opened:
        page_server, picture_server = live(Path(folder), [load("too-much-tilt")]), peer()
        print("median ms (90th percentile), two views")
        for width, height in SIZES:
            page = opened.new_page(viewport={"width": width, "height": height})
            page.goto(page_server.address)
            page.locator("canvas:visible").nth(1).wait_for()  # The first frame is drawn before golfers are there.
            page.locator("#live-chips input[value=above]").uncheck()
            page.wait_for_timeout(1500)
            canvas = page.locator("canvas:visible").first.evaluate("(one) => [one.width, one.height]")
            told = {"a moment, by hand": page.evaluate(_SCRUB, [STEPS])}
            for name, slider in SLIDERS.items():
                low, high = (-5, 5) if name == "trunk" else (20, 40)
                told[f"slider of {name}"] = page.evaluate(_DRAG, [slider, STEPS, low, high])
            page.close()
            other = opened.new_page()
            other.goto(picture_server.address)
            told["drawn by the server, JPEG"] = other.evaluate("(given) => drag(...given)", [STEPS, *canvas])
            other.close()
            for name, took in told.items():
                median, most = np.percentile(took, [50, 90])
                print(f"{width:5d} px, canvases {canvas}: {name:28s} {median:6.0f} ({most:.0f})")
        page_server.stop()
        picture_server.stop()


if __name__ == "__main__":
    main()
