"""A sheet as a browser shows it: one side of A4 in print, and nothing over anything at the width of a phone."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from collections.abc import Callable, Sequence
from html import unescape
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from turnstill.scenes.setups.perform import Performed
from turnstill.scenes.sheet import sheet as sheet_module
from turnstill.scenes.sheet.page import sheet_page
from turnstill.scenes.sheet.report import SheetReport
from turnstill.scenes.sheet.sheet import make_sheet
from turnstill.scenes.sheet.touching import Check, Reach
from turnstill.scenes.views.pictures import ViewPicture

CHROMIUM, PDFINFO = shutil.which("chromium"), shutil.which("pdfinfo")
pytestmark = pytest.mark.skipif(not CHROMIUM, reason="no chromium here to show a page")
PHONE = 390
CHECKS = [
    Check("trail_of_hip", "trail hip", 0.035, Reach(0.061, "trail hip"), Reach(0.012, "trail hip")),
    Check("trail_of_head", "head", 0.025, Reach(0.051, "head"), Reach(0.002, "head")),
]
WORST = ("hip_turn=140", "shoulder_turn=190", "tilt=85", "extension=-40", "trunk_side_bend=70", "lead_flex_change=80")
OVERLAPS = """
const boxes = [...document.querySelectorAll("h1,h2,p,li,th,td,img,figcaption")]
  .map(e => [e, e.getBoundingClientRect()]);
const told = e => e.textContent.slice(0, 40);
const over = [];
for (const [a, p] of boxes) for (const [b, q] of boxes)
  if (a !== b && !a.contains(b) && !b.contains(a) &&
      Math.min(p.right, q.right) - Math.max(p.left, q.left) > 1 &&
      Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top) > 1) over.push(told(a) + " / " + told(b));
document.title = JSON.stringify({
  over, width: innerWidth, scroll: document.documentElement.scrollWidth, count: boxes.length,
  wide: boxes.filter(([e, r]) => r.right > innerWidth + 0.5).map(([e]) => told(e)),
  pictures: boxes.filter(([e]) => e.tagName === "IMG").map(([e, r]) => [r.width, r.height]),
});
"""


@pytest.fixture
def written(
    performed: Callable[..., Performed], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Callable[..., Path]:
    monkeypatch.setattr(sheet_module, "checks", lambda now, after: CHECKS)
    rng = np.random.default_rng(1)
    Image.fromarray(rng.integers(0, 255, (600, 480, 3), dtype=np.uint8)).save(tmp_path / "a.png")
    png = (tmp_path / "a.png").read_bytes()
    pictures = [ViewPicture(k, view, png) for view in ("face-on", "down-the-line") for k in (0, 1)]

    def write(name: str, *settings: str, feel: Sequence[str] = (), inches: bool = False) -> Path:
        report = SheetReport.of(make_sheet(performed(name, *settings, frames=9), feel), inches)
        path = tmp_path / "a.html"
        path.write_text(sheet_page(report, pictures, inches), encoding="utf-8")
        return path

    return write


def chromium(tmp_path: Path, *arguments: str) -> str:
    assert CHROMIUM
    done = subprocess.run(
        [CHROMIUM, "--headless", "--no-sandbox", "--no-first-run", "--disable-gpu",
         f"--user-data-dir={tmp_path / 'profile'}", *arguments],
        capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.mark.skipif(not PDFINFO, reason="no pdfinfo here to count a print's pages")
@pytest.mark.parametrize(
    ("name", "settings", "feel", "inches"),
    [
        ("too-little-extension", (), (), False),
        ("sway", (*WORST, "stature=200"), ("lead_flex_change=-20",), True),
        ("sway", (*WORST, "sex=female"), ("hips_toward_ball=12",), False),
    ],
    ids=["plain", "many notes, inches", "many notes"],
)
def test_it_prints_on_one_side_of_a4(
    written: Callable[..., Path], tmp_path: Path, name: str, settings: Sequence[str], feel: Sequence[str], inches: bool
) -> None:
    page = written(name, *settings, feel=feel, inches=inches)
    chromium(tmp_path, "--no-pdf-header-footer", f"--print-to-pdf={tmp_path / 'a.pdf'}", page.as_uri())
    assert PDFINFO
    told = subprocess.run([PDFINFO, str(tmp_path / "a.pdf")], capture_output=True, text=True, check=True).stdout
    assert re.search(r"^Pages: +1$", told, re.M) and "A4" in told, told


def test_nothing_lies_over_anything_on_a_phone(written: Callable[..., Path], tmp_path: Path) -> None:
    page = written("sway", *WORST, feel=("lead_flex_change=-20",), inches=True)
    # A page allows no script but its own; here the browser is to measure it.
    text = re.sub(r"<meta http-equiv[^>]*>", "", page.read_text(encoding="utf-8"))
    measured = text.replace("</body>", f"<script>{OVERLAPS}</script></body>")
    (tmp_path / "measured.html").write_text(measured, encoding="utf-8")
    # A window is never as narrow as a phone; a frame is.
    (tmp_path / "phone.html").write_text(
        f"<iframe src='measured.html' style='border:0;width:{PHONE}px;height:4000px'></iframe><script>"
        "document.querySelector('iframe').onload = e => document.body.dataset.told ="
        " e.target.contentDocument.title</script>",
        encoding="utf-8",
    )
    shown = chromium(
        tmp_path, "--allow-file-access-from-files", "--virtual-time-budget=3000", "--dump-dom",
        (tmp_path / "phone.html").as_uri(),
    )  # fmt: skip
    found = json.loads(unescape(re.search(r'data-told="([^"]*)"', shown)[1]))  # type: ignore[index]
    assert found["width"] == PHONE and found["count"] > 40
    assert found["over"] == [] and found["wide"] == [] and found["scroll"] <= PHONE
    assert len(found["pictures"]) == 4 and all(width > 140 for width, _ in found["pictures"])
    assert all(height == pytest.approx(width * 1.25, abs=1) for width, height in found["pictures"])
