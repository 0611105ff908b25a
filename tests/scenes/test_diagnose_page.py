"""A diagnosis as a page: self-contained, its charts true to the numbers, its labels apart; and the guide beside it."""

from __future__ import annotations

import json
import re
from itertools import pairwise
from pathlib import Path

import pytest
from typer.testing import CliRunner

from turnstill.model.films.readings import READINGS
from turnstill.scenes.cli import app
from turnstill.scenes.diagnose.charts import Bar, Span, amount_chart, probability_chart

RUNNER = CliRunner()
GUIDE = Path(__file__).parents[2] / "docs" / "film_to_feel.md"
A_FILM = (
    "--head-toward-target-cm",
    "-8",
    "--head-up-cm",
    "-4",
    "--head-toward-ball-cm",
    "1",
    "--lean-face-on-deg",
    "8",
)


def page_of(folder: Path, *arguments: str) -> tuple[str, dict]:
    done = RUNNER.invoke(app, ["diagnose", *arguments, "--out", str(folder)])
    assert done.exit_code == 0, done.output
    numbers = json.loads((folder / "diagnosis.json").read_text(encoding="utf-8"))
    assert sorted(file.name for file in folder.iterdir()) == sorted(numbers["files"])
    return (folder / "index.html").read_text(encoding="utf-8"), numbers


def label_places(svg: str) -> list[tuple[float, float]]:
    """Right end and baseline of the names on the left, or left end and baseline of those in the column."""
    return [(float(x), float(y)) for x, y in re.findall(r'<text x="([\d.]+)" y="([\d.]+)"', svg)]


def test_the_page_needs_nothing_else_and_says_it_all(tmp_path: Path) -> None:
    page, numbers = page_of(tmp_path / "page", *A_FILM)
    assert "http" not in page.replace("http://www.w3.org", "") and "<script" not in page
    assert page.count('<svg class="chart"') == 5
    assert numbers["feel"] is not None and "The feel" in page
    assert "from what holds the head for the turn made" in page and "from the centred turn" in page
    page_of(tmp_path / "page", *A_FILM)  # An earlier result is replaced.


def test_where_nothing_fits_the_page_names_no_piece(tmp_path: Path) -> None:
    page, numbers = page_of(tmp_path / "page", "--head-toward-target-cm", "-60", "--head-up-cm", "0.5")
    assert not numbers["fits"]
    assert "The feel" not in page and "Which piece" not in page and "If so, how much" not in page


def test_a_left_handed_golfer_is_drawn_mirrored(tmp_path: Path) -> None:
    def read_at(page: str) -> float:
        return float(re.findall(r'<ellipse cx="([\d.]+)"', page)[0])

    def start(page: str) -> float:
        return float(re.findall(r'<circle cx="([\d.]+)" cy="[\d.]+" r="5" fill="#fff"', page)[0])

    right, _ = page_of(tmp_path / "right", *A_FILM)
    left, _ = page_of(tmp_path / "left", *A_FILM, "--left-handed")
    assert read_at(right) < start(right) and read_at(left) > start(left), "away from the target"


def test_names_beside_the_drawings_are_a_row_apart(tmp_path: Path) -> None:
    """A still head leaves most pieces as candidates, whose arrows are short and of one place."""
    page, numbers = page_of(
        tmp_path / "page", "--head-toward-target-cm", "1.5", "--head-up-cm", "0", "--hip-turn-deg", "40"
    )
    assert len(numbers["candidates"]) >= 4
    for svg in re.findall(r'<svg class="chart".*?</svg>', page, re.S)[-2:]:
        column = sorted(y for x, y in label_places(svg) if x == 258)
        assert all(below - above >= 15.0 for above, below in pairwise(column))
        assert not column or column[-1] < 300


def test_bars_are_as_long_as_they_are_probable() -> None:
    chart = probability_chart("p", [Bar("a", 0.5, "50%", True), Bar("b", 0.25, "25%", False)], 0.15)
    lengths = [float(value) for value in re.findall(r'width="([\d.]+)" height', chart)]
    assert lengths[0] == pytest.approx(2.0 * lengths[1])
    assert "probability, %" in chart and "before any film" in chart


def test_intervals_are_drawn_to_scale_over_the_band_of_the_faultless() -> None:
    spans = [Span("a", -10.0, -5.0, 0.0, 2.5, True), Span("b", -5.0, 0.0, 5.0, 2.5, False)]
    chart = amount_chart("how much", "°", spans, ("less", "more"))
    bands = [float(width) for width in re.findall(r'<rect x="[\d.]+" y="\d+" width="([\d.]+)"', chart)]
    lines = [(float(a), float(b)) for a, b in re.findall(r'd="M([\d.]+) [\d.]+H([\d.]+)"', chart)]
    assert lines[0][1] - lines[0][0] == pytest.approx(2.0 * bands[0], abs=0.3)
    assert lines[0][1] == pytest.approx(lines[1][0] + bands[0], abs=0.3)
    assert "°" in chart and chart.count("stroke-dasharray") == 1, "only what is improbable is dashed"


def test_the_guide_names_every_reading() -> None:
    text = GUIDE.read_text(encoding="utf-8")
    for name, unit in READINGS.items():
        assert f"`--{name.replace('_', '-')}-{unit}`" in text
