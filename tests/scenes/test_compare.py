from __future__ import annotations

import base64
import json
import re
from html.parser import HTMLParser
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from turnstill.scenes.compare import work as compare_module
from turnstill.scenes.compare.work import compare_to

NAMES = ("centred", "too-much-tilt")


class Page(HTMLParser):
    """Collects tags, and checks that they nest."""

    VOID = {"meta", "img", "input", "br", "link", "circle", "line", "rect", "polyline", "polygon", "path"}  # noqa: RUF012

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.text = ""
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text += data


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("compare") / "out"
    compare_to(NAMES, ["handedness=left"], 11, out=str(out))
    return out


def test_the_folder_is_whole(folder: Path) -> None:
    contents = json.loads((folder / "comparison.json").read_text(encoding="utf-8"))
    assert sorted(item.name for item in folder.iterdir()) == contents["files"]
    assert [item.name for item in folder.parent.iterdir()] == ["out"]
    assert [swing["preset"] for swing in contents["swings"]] == list(NAMES)
    assert len(contents["pictures"]) == 4
    for picture in contents["pictures"]:
        assert Image.open(folder / picture["file"]).size == (picture["width"], picture["height"])
        R = np.array(picture["R"])
        np.testing.assert_allclose(R @ R.T, np.eye(3), atol=1e-12)
        # The golfer's head is in the picture.
        swing = next(swing for swing in contents["swings"] if swing["preset"] == picture["swing"])
        head = np.array(picture["K"]) @ (R @ swing["moments"][-1]["joints_m"]["head"] + np.array(picture["t_m"]))
        u, v = head[:2] / head[2]
        assert 0.1 * picture["width"] < u < 0.9 * picture["width"] and 0.05 * picture["height"] < v < picture["height"]


def test_the_page_needs_nothing_else(folder: Path) -> None:
    text = (folder / "index.html").read_text(encoding="utf-8")
    page = Page(text)
    assert not page.open
    pictures = [attributes for tag, attributes in page.tags if tag == "img"]
    assert len(pictures) == 4
    files = {path.read_bytes() for path in folder.glob("*.png")}
    for picture in pictures:
        source = picture["src"] or ""
        assert source.startswith("data:image/png;base64,")
        data = base64.b64decode(source.partition(",")[2])
        assert data in files
        assert Image.open(BytesIO(data)).format == "PNG"
        assert len(picture["alt"] or "") > 20
    for tag, attributes in page.tags:
        assert tag not in ("link", "iframe", "object") and "src" not in (attributes if tag == "script" else {})
        assert "href" not in attributes and not any(name.startswith("on") for name in attributes)
    without_pictures = re.sub(r'(data:image/png;base64,|<script type="text/plain"[^>]*>)[A-Za-z0-9+/=]+', "", text)
    # The name of SVG's elements is no place to fetch anything from.
    without_pictures = without_pictures.replace('"http://www.w3.org/2000/svg"', "")
    assert not re.search(r"https?://|url\(|@import|//[a-z]", without_pictures)


def test_the_page_is_accessible_and_says_it_all(folder: Path) -> None:
    page = Page((folder / "index.html").read_text(encoding="utf-8"))
    tags = [tag for tag, _ in page.tags]
    assert dict(page.tags)["html"]["lang"] == "en" and "title" in tags
    assert any(attributes.get("name") == "viewport" for tag, attributes in page.tags if tag == "meta")
    charts = [attributes for tag, attributes in page.tags if tag == "svg" and attributes.get("role") == "img"]
    assert len(charts) == 3 and all(chart["aria-label"] for chart in charts)
    for words in (
        *NAMES, "left-handed", "common practice", "published", "clinician", "Never force", "qualified coach",
        "turn, tilt, bend", "lower", "nearer to the ball", "limited by", "backswing done",
    ):  # fmt: skip
        assert words in page.text, words


def test_a_failure_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(compare_module, "_pictures", fail)
    with pytest.raises(KeyboardInterrupt):
        compare_to(NAMES, [], 3, out=str(tmp_path / "out"))
    assert not list(tmp_path.iterdir())
