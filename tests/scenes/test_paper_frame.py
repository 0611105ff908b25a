"""The frame under every page: each part in its place, text escaped, and a minus sign before negative numbers."""

from __future__ import annotations

import hashlib
from base64 import b64decode, b64encode
from types import SimpleNamespace

import pytest
from jinja2 import ChoiceLoader, DictLoader, UndefinedError
from markupsafe import Markup
from shown import page, words

from turnstill import __version__
from turnstill.scenes.paper import frame
from turnstill.scenes.paper.frame import capital, data_url, rendered, with_minus
from turnstill.scenes.words.cautions import ANGLE_ORDER, CAUTIONS, SOURCES


@pytest.fixture(autouse=True)
def own_templates(monkeypatch: pytest.MonkeyPatch) -> None:
    """A page of nobody's room beside the real frame."""
    environment = frame._environment()
    real = environment.loader
    assert real is not None
    own = {
        "own.html": '{% extends "paper/frame.html" %}{% block content %}<main>{{ told }}|{{ drawn }}</main>'
        "{% endblock %}{% block under_title %}<h5>{{ told|capital }}</h5>{% endblock %}",
        "lines.html": "a\n  {% if true %}\nb\n  {% endif %}\nc",
    }
    monkeypatch.setattr(environment, "loader", ChoiceLoader([DictLoader(own), real]))


def shown(**more: object) -> str:
    usual = {"title": "A & B", "told": "-3.5 <b> cm", "drawn": Markup("<i>-1</i>")}
    return rendered("own.html", **(usual | more))


def test_each_part_stands_in_its_place() -> None:
    root = page(shown(sentences=["first", "second"], notes=["note -1", "note 2"]))
    assert words(root.xpath("//title")[0]) == words(root.xpath("//header/h1")[0]) == "A & B"
    assert root.get("lang") == "en" and root.xpath("//meta[@charset='utf-8']")
    assert [words(one) for one in root.xpath("//section[@class='short']/p")] == ["first", "second"]
    notes, care = root.xpath("//section[@class='care']")
    assert (words(notes[0]), words(care[0])) == ("Notes", "Before you use this")
    assert [words(one) for one in notes.xpath(".//li")] == ["note −1", "note 2"]
    assert [words(one) for one in care.xpath(".//li")] == [" ".join(line.split()) for line in CAUTIONS]
    assert [words(one) for one in root.xpath("//footer/p")] == [SOURCES, ANGLE_ORDER, f"Turnstill {__version__}"]
    order = [one.tag for one in root.xpath("//body/*")]
    assert order == ["header", "section", "main", "section", "section", "footer"]
    css = frame.Path(frame.__file__).with_name("page.css").read_text(encoding="utf-8")
    assert css.split("{")[0].strip() in root.xpath("//style")[0].text_content()


def test_a_page_without_notes_has_none_and_a_rooms_own_cautions_come_first() -> None:
    assert len(page(shown()).xpath("//section[@class='care']")) == 1
    told = [words(one) for one in page(shown(first_cautions=("mine", "too"))).xpath("//section[@class='care']//li")]
    assert told[:2] == ["mine", "too"] and len(told) == 2 + len(CAUTIONS)


def test_text_is_escaped_and_what_is_drawn_is_taken_as_it_is() -> None:
    text = shown()
    assert "<main>−3.5 &lt;b&gt; cm|<i>-1</i></main>" in text and "<h5>−3.5 &lt;b&gt; cm</h5>" in text
    assert rendered("lines.html") == "a\nb\nc"


def test_a_name_that_was_not_given_is_an_error_and_not_a_gap() -> None:
    with pytest.raises(UndefinedError, match="told"):
        rendered("own.html", title="a", drawn="b")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("-3", "−3"), ("at -3.5 and -.5", "at −3.5 and −.5"), ("(-3)", "(−3)"), ("too-much-tilt-2", "too-much-tilt-2"),
        ("face-on", "face-on"), ("2024-05-06", "2024-05-06"), ("a -b", "a -b"), ("--3", "--3"), ("1.-2", "1.-2"),
        ("−3", "−3"), ("", ""),
    ],
)  # fmt: skip
def test_a_hyphen_before_a_number_is_a_minus_sign(text: str, told: str) -> None:
    assert with_minus(text) == told


def test_only_plain_text_gets_a_minus_sign() -> None:
    drawn = Markup("-3")
    assert with_minus(drawn) is drawn and with_minus(-3) == -3 and with_minus(None) is None


def test_a_picture_is_told_by_its_name_its_caption_and_what_it_shows() -> None:
    parts = frame._environment().get_template("paper/parts.html").module
    pictures = [
        SimpleNamespace(
            png=f"png {k}".encode(), alt=f"what is to be seen {k}", name=f"name {k}", caption=f"caption {k}"
        )
        for k in (3, 5)
    ]
    for k, one in zip((3, 5), page(f"<html>{parts.pictures(pictures)}</html>").iter("figure"), strict=True):
        (image,) = one.xpath("./img")
        assert image.get("alt") == f"what is to be seen {k}"
        assert b64decode(image.get("src").partition(";base64,")[2]) == f"png {k}".encode()
        assert words(one.xpath("./figcaption")[0]) == f"name {k}: caption {k}"
        assert words(one.xpath("./figcaption/strong")[0]) == f"name {k}"


def test_files_and_capitals() -> None:
    kind, _, data = data_url(b"\x00\xffabc", "image/png").partition(";base64,")
    assert kind == "data:image/png" and b64decode(data) == b"\x00\xffabc"
    assert [capital(text) for text in ("head up", "X-ray Of", "", "é")] == ["Head up", "X-ray Of", "", "É"]


def policy_of(text: str) -> dict[str, list[str]]:
    """The page's Content-Security-Policy: what is allowed of each kind."""
    (meta,) = page(text).xpath("//head/meta[@http-equiv='Content-Security-Policy']")
    first = page(text).xpath("//head/*[self::style or self::script or self::link or self::meta[@http-equiv]]")[0]
    assert first.tag == "meta"  # It holds for what comes after it.
    return {kind: allowed for kind, *allowed in (part.split() for part in meta.get("content").split(";"))}


def test_a_page_allows_nothing_from_elsewhere_and_no_script() -> None:
    assert policy_of(shown()) == {
        "default-src": ["'none'"], "script-src": ["'none'"], "style-src": ["'unsafe-inline'"], "img-src": ["data:"],
        "media-src": ["data:"], "base-uri": ["'none'"], "form-action": ["'none'"],
    }  # fmt: skip


def test_a_script_of_ours_is_allowed_by_its_hash_alone() -> None:
    name = "compare/figure.js"
    (allowed,) = policy_of(shown(scripts=[name]))["script-src"]
    (script,) = page(f"<html>{frame.script(name)}</html>").xpath("//script")
    assert allowed == f"'sha256-{b64encode(hashlib.sha256(script.text.encode()).digest()).decode()}'"
    assert "turning-data" in script.text
