from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from turnstill.model.errors import TurnstillError
from turnstill.scenes import strip
from turnstill.scenes.strip import HEIGHT, ROOM, WIDTH, strip_to


def test_a_sheet_of_moments(tmp_path: Path) -> None:
    out = tmp_path / "sheet.png"
    strip_to(["centred", "too-much-tilt"], [], moments=2, views="face-on", out=str(out))
    assert [item.name for item in tmp_path.iterdir()] == ["sheet.png"]
    with Image.open(out) as image:
        sheet = np.asarray(image).astype(int)
    assert sheet.shape == (ROOM + 2 * (ROOM + HEIGHT), 2 * (WIDTH + strip.GAP) - strip.GAP, 3)
    rows = [sheet[2 * ROOM + k * (ROOM + HEIGHT) :][:HEIGHT] for k in range(2)]
    address, top = ([row[:, left : left + WIDTH] for row in rows] for left in (0, WIDTH + strip.GAP))
    # At address both swings stand alike; at the top they do not, nor does either stand as at address.
    assert np.abs(address[0] - address[1]).mean() < 0.2
    assert np.abs(top[0] - top[1]).mean() > 0.5
    assert np.abs(address[0] - top[0]).mean() > 2


def test_what_cannot_be_drawn(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for options, words in (({"moments": 1}, "--moments"), ({"moments": 10}, "--moments"), ({"out": "a.jpg"}, "png")):
        with pytest.raises(TurnstillError, match=words):
            strip_to(["centred"], [], **options)  # type: ignore[arg-type]

    def fail(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(strip, "sheet", fail)
    with pytest.raises(KeyboardInterrupt):
        strip_to(["centred"], [], out=str(tmp_path / "sheet.png"))
    assert not list(tmp_path.iterdir())
