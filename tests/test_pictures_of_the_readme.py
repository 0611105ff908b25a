"""The README's pictures are there, small, and drawn by a script that says how."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

from PIL import Image

ROOT = Path(__file__).parents[1]
SHOWN = re.findall(r"!\[[^\]]+\]\((docs/images/[\w.-]+)\)", (ROOT / "README.md").read_text(encoding="utf-8"))


def test_every_picture_is_shown_small_and_named_in_the_script() -> None:
    drawn = {f"docs/images/{file.name}" for file in (ROOT / "docs" / "images").iterdir()}
    assert len(SHOWN) >= 3 and drawn == set(SHOWN)
    script = (ROOT / "docs" / "draw_images.py").read_text(encoding="utf-8")
    sizes = [(ROOT / name).stat().st_size for name in SHOWN]
    assert max(sizes) < 120_000 and sum(sizes) < 500_000
    for name in SHOWN:
        assert f'"{Path(name).name}": "' in script
        with Image.open(ROOT / name) as picture:
            assert picture.format == "PNG" and 300 <= picture.width <= 1300


def test_no_picture_goes_into_the_package() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["setuptools"]
    patterns = [one for group in settings["package-data"].values() for one in group]
    assert patterns and not settings["include-package-data"]
    assert not any(Path(name).full_match(one) if hasattr(Path, "full_match") else Path(name).match(one)
                   for name in SHOWN for one in patterns)  # fmt: skip
