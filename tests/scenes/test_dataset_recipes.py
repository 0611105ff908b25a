"""Recipes of data sets: what comes along says everything, and nonsense is answered in a sentence."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from refusals import refused_by
from typer.testing import CliRunner

from turnstill.model.errors import TurnstillError
from turnstill.scenes.cli import app
from turnstill.scenes.dataset.plan.loading import load_recipe, parsed
from turnstill.scenes.dataset.plan.recipe import Recipe
from turnstill.scenes.dataset.plan.recipes import NAMES, recipe_text

CHANGED = """
name = "mine"
subjects = 7
seed = 9007199254740993
views = ["down-the-line"]
splits = { all = 1.0 }

[population]
women = 0.25

[swing.pieces]
sway_cm = { less = [5, 6], more = [3.5, 7.5], wander = 1.25 }
"""


def keys(document: dict[str, Any], before: str = "") -> set[str]:
    """Every name in a document, with those above it."""
    found = set()
    for name, value in document.items():
        found |= keys(value, f"{before}{name}.") if isinstance(value, dict) else {before + name}
    return found


def test_plain_says_every_field_as_it_is_where_it_is_left_out() -> None:
    written = tomllib.loads(recipe_text("plain"))
    assert load_recipe("plain").request() == Recipe().request() == parsed("", "nothing").request()
    assert keys(written) == keys(Recipe().request()) | {"shows"}


@pytest.mark.parametrize("name", NAMES)
def test_recipes_that_come_along_bear_their_name_and_are_no_others(name: str) -> None:
    recipe = load_recipe(name)
    assert recipe.name == name and len(recipe.shows) > 20
    others = [load_recipe(other) for other in NAMES if other != name]
    assert all(recipe.cameras != other.cameras and recipe.sensors != other.sensors for other in others)


def test_a_recipe_of_ones_own_keeps_what_it_leaves_out() -> None:
    request, usual = parsed(CHANGED, "mine").request(), Recipe().request()
    assert (request["name"], request["subjects"], request["views"]) == ("mine", 7, ["down-the-line"])
    assert request["seed"] == 9007199254740993 and request["splits"] == {"all": 1.0}
    assert request["population"] == {**usual["population"], "women": 0.25}
    assert request["swing"]["pieces"]["sway_cm"] == {"less": [5.0, 6.0], "more": [3.5, 7.5], "wander": 1.25}
    for section in ("address", "cameras", "appearance", "scenery", "lights", "sensors"):
        assert request[section] == usual[section]


@pytest.mark.parametrize("toml", ["", CHANGED, *(recipe_text(name) for name in NAMES)])
def test_a_request_gives_its_recipe_again(toml: str) -> None:
    request = parsed(toml, "mine").request()
    assert Recipe.from_request(request).request() == request


def test_words_about_a_recipe_change_no_data() -> None:
    assert parsed('shows = "Mine."', "mine").request() == Recipe().request()
    assert parsed("seed = 1", "mine").request() != Recipe().request()


NONSENSE = {
    "subject = 3": '"subject" is not known; there are name, shows, subjects, .* Did you mean subjects?',
    "[cameras]\nyaw = 3": r'"yaw" is not known in \[cameras\]; there are distance_m, ',
    "[swing.pieces]\nsway_deg = 3": r'"sway_deg" is not known in \[swing.pieces\]; .* Did you mean sway_cm?',
    'subjects = "3"': 'subjects was "3", but must be a whole number from 1 to 1000000.',
    "subjects = true": "subjects was true, but must be a whole number",
    "subjects = 2.0": "subjects was 2, but must be a whole number",
    "seed = -1": "seed was -1, but must be a whole number from 0",
    "moments = 82": "moments was 82, but must be a whole number from 2 to 81.",
    "moments = 42": 'moments must be a whole number from 2 to 41 where through = "top"',
    'moments = 2\nswing = { through = "impact" }': 'moments must be a whole number from 3 where through = "impact"',
    '[swing]\nthrough = "ball"': 'through .* was "ball", but must be "top" or "impact".',
    '[swing]\nfaults_at = "impact"': 'Faults_at = "impact" needs through = "impact", since other swings end at the top',
    "width = nan": "width was nan, but must be a whole number",
    "[population]\nwomen = nan": r"women in \[population\] was nan, but must be a number from 0 to 1.",
    "[cameras]\nyaw_deg = inf": r"yaw_deg in \[cameras\] was inf, but must be a number from 0 to 30.",
    "[cameras]\ndistance_m = [5, 4]": r"distance_m in \[cameras\] .* the least and the most, two rising numbers",
    "[cameras]\ndistance_m = [4, nan]": "distance_m .* two rising numbers from 2 to 10",
    "[cameras]\ndistance_m = 4": "distance_m .* was 4, but must be the least and the most",
    "[splits]\na = 0.5\nb = 0.4": r"splits .* must add up to 1, and 0.5 \+ 0.4 do not.",
    '[splits]\n"a/b" = 1.0': "splits .* must be names of small letters",
    "[swing]\nno_fault = 0.5": "The shares no_fault, one_fault and two_faults must add up to 1",
    "[swing.pieces]\nhip_turn_deg = { less = [10, 20], more = [12, 20], wander = 10 }": (
        r"The wander must be less than the least fault, .*, in \[swing.pieces.hip_turn_deg\]."
    ),
    "[swing.pieces]\nsway_cm = { less = [4, 8], wander = 1 }": r"more is missing in \[swing.pieces.sway_cm\]; give it.",
    "population = 3": r"population was 3, but must be a section, written \[population\].",
    "views = []": "views .* must be a list of some of face-on, down-the-line, each once.",
    'views = ["face-on", "face-on"]': "views .* each once.",
    "[scenery]\ngrounds = [3]": "grounds .* must be a list of some of plain, grass, mat, paving",
    'name = "../mine"': "name was .* must be a word of 1 to 30 small letters, digits and hyphens.",
    "subjects = = 3": "is not valid TOML",
    "subjects = " + "[" * 5000: "is nested too deeply",
    "a." * 3000 + "b = 1": "is nested too deeply",
}


@pytest.mark.parametrize(("toml", "told"), NONSENSE.items(), ids=[f"{k}" for k in range(len(NONSENSE))])
def test_nonsense_is_answered_in_a_sentence(toml: str, told: str) -> None:
    with pytest.raises(TurnstillError, match=told) as refused:
        parsed(toml, "mine.toml")
    sentence = str(refused.value)
    assert sentence.startswith("mine.toml") and sentence.endswith((".", "?")) and "\n" not in sentence
    assert len(sentence) <= 300


def test_what_is_no_recipe_is_refused_before_anything_is_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)  # Sentences show the beginning of a long path alone.
    Path("picture.toml").write_bytes(bytes(range(256)))
    Path("wrong.toml").write_text("moments = 1\n")
    Path("long.toml").write_bytes(b"#" * 100_001)
    Path("folder.toml").mkdir()
    for recipe, told in {
        "phnoe": 'There is no recipe "phnoe"; there are plain, phone, hard, .* Did you mean phone?',
        "none.toml": 'There is no file "none.toml"; turnstill dataset recipes plain prints one to start from.',
        "folder.toml": '"folder.toml" is a folder; name a TOML file',
        "picture.toml": '"picture.toml" is not a text in UTF-8',
        "wrong.toml": '"wrong.toml": moments was 1, but must be a whole number from 2 to 81.',
        "long.toml": '"long.toml"',
    }.items():
        with pytest.raises(TurnstillError, match=told):
            load_recipe(recipe)
        assert re.search(told, refused_by("dataset", "make", recipe, "--out", "made"))
        assert not Path("made").exists()


def test_the_command_lists_recipes_and_prints_them_to_start_from() -> None:
    listed = CliRunner().invoke(app, ["dataset", "recipes"])
    assert listed.exit_code == 0
    assert [line.split()[0] for line in listed.stdout.splitlines()] == ["plain", "phone", "hard"]
    for line in listed.stdout.splitlines():
        name, words = line.split(maxsplit=1)
        assert words == load_recipe(name).shows
        printed = CliRunner().invoke(app, ["dataset", "recipes", name])
        assert printed.exit_code == 0 and parsed(printed.stdout, name) == load_recipe(name)
    assert "Did you mean hard?" in refused_by("dataset", "recipes", "hrad")
