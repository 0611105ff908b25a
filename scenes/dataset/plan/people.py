"""Who swings: a body, and how its owner looks."""

from __future__ import annotations

import colorsys
from dataclasses import replace
from statistics import NormalDist

import numpy as np

from ....model.golfer import survey
from ....model.golfer.body import LENGTHS, Body
from ....model.golfer.ranges import draw_ranges, reference_ranges
from ....render.figure.look import Look
from ....render.palette import Colour
from ....render.photograph.colours import blended
from .recipe import Population, Recipe

_SKIN: tuple[Colour, ...] = ((244, 214, 190), (226, 176, 144), (188, 134, 98), (136, 90, 62), (82, 54, 42))
"""From the lightest to the darkest (our choice); tones between are mixed."""
_HAIR: tuple[Colour, ...] = (
    (28, 24, 22), (74, 52, 38), (120, 84, 52), (186, 148, 92), (150, 72, 40), (150, 150, 148), (218, 216, 210),
)  # fmt: skip
_CALM = ((240, 240, 236), (206, 204, 196), (120, 124, 130), (74, 80, 96), (48, 52, 66), (34, 34, 36), (178, 160, 128))
"""Colours of trousers, caps and shoes as they are sold most (common practice)."""
_GLOVES: tuple[Colour, ...] = ((250, 248, 240), (250, 248, 240), (40, 40, 44), (60, 96, 150))


def body_of(population: Population, female: bool, size: tuple[float, float], rng: np.random.Generator) -> Body:
    """One body, no batch axes: size and proportions jointly as the survey has them, ranges by their sd.

    Args:
        population: how far people spread.
        female: whose figures.
        size: 0 to 1, where among people stature is, and mass among people of that stature.
        rng: the source of everything else.
    """
    sex = np.array([float(female)])
    stature, mass = (np.array([one]) for one in stature_and_mass(population, female, size))
    own = {
        name: survey.ratio(name, sex) + population.proportions_spread * (ratio - survey.ratio(name, sex))
        for name, ratio in survey.draw_ratios(rng, 1, sex).items()
    }
    usual = reference_ranges(sex)
    ranges = {
        name: np.maximum(usual[name] + population.ranges_spread * (value - usual[name]), np.radians(1.0))
        for name, value in draw_ranges(rng, 1, sex).items()
    }
    lengths = {name: stature * row.share(sex, own) for name, row in LENGTHS.items()}
    return Body(stature, mass, sex, lengths, ranges, survey.shape(stature, mass, sex))[0]


def stature_and_mass(population: Population, female: bool, size: tuple[float, float]) -> tuple[float, float]:
    """Metres and kilograms of one person; arguments as of `body_of`."""
    mean_h, sd_h, mean_m, sd_m, together = survey.SIZE[int(female)]
    tall, heavy = (population.size_spread * NormalDist().inv_cdf(min(max(one, 1e-9), 1.0 - 1e-9)) for one in size)
    mass = np.exp(mean_m + sd_m * (together * tall + np.sqrt(1.0 - together**2) * heavy))
    return float(np.exp(mean_h + sd_h * tall)), float(mass)


def look_of(recipe: Recipe, female: bool, rng: np.random.Generator) -> tuple[Look, float]:
    """What somebody wears, and the tone of the skin, 0 the lightest to 1 the darkest."""
    asked, usual = recipe.appearance, Look()
    tone = float(rng.uniform(*recipe.population.skin_tone))
    skin = _mixed(_SKIN, tone)
    styles = ("tied back", "tied back", "short") if female else ("short", "short", "cropped")
    hair = shaded(_HAIR[rng.integers(len(_HAIR))], rng)
    style = styles[rng.integers(len(styles))]
    cap, glove = bool(rng.random() < asked.caps), bool(rng.random() < asked.gloves)
    sleeves = bool(rng.random() < asked.long_sleeves)
    cut = float(rng.random())
    skirts = asked.skirts if female else 0.0
    legwear = "shorts" if cut < asked.shorts else "skirt" if cut < asked.shorts + skirts else "trousers"
    plain_colour, like_skin = (bool(rng.random() < share) for share in (0.35, asked.skin_coloured_clothes))
    shirt = shaded(_CALM[rng.integers(len(_CALM))], rng) if plain_colour else _bright(rng)
    lower = shaded(_CALM[rng.integers(len(_CALM))], rng)
    shoes, cap_colour = (shaded(_CALM[rng.integers(len(_CALM))], rng) for _ in range(2))
    if like_skin:
        shirt, lower = shaded(skin, rng), shaded(skin, rng)
    worn_glove = _GLOVES[rng.integers(len(_GLOVES))]
    look = replace(
        usual,
        hair_style=style,  # type: ignore[arg-type]  # Looks check their words themselves.
        headwear="cap" if cap else "none",
        sleeves="long" if sleeves else "short",
        legwear=legwear,  # type: ignore[arg-type]
        skin=skin,
        lips=blended(skin, (150, 60, 60), 0.45),
        hair=hair,
        cap=cap_colour,
        shirt=shirt,
        collar=shaded(shirt, rng) if rng.random() < 0.6 else usual.collar,
        trousers=lower,
        shorts=lower,
        skirt=lower,
        belt=shaded(_CALM[rng.integers(len(_CALM))], rng),
        shoes=shoes,
        glove=worn_glove if glove else skin,
    )
    return look, tone


def _colour(channels: np.ndarray) -> Colour:
    red, green, blue = (int(channel) for channel in np.clip(np.round(channels), 0, 255))
    return red, green, blue


def _mixed(row: tuple[Colour, ...], along: float) -> Colour:
    """The colour at a place from 0 to 1 along a row of them."""
    place = along * (len(row) - 1)
    first = min(int(place), len(row) - 2)
    return blended(row[first], row[first + 1], place - first)


def shaded(colour: Colour, rng: np.random.Generator) -> Colour:
    """A little lighter or darker, warmer or colder."""
    return _colour(np.array(colour) * rng.uniform(0.85, 1.12) + rng.uniform(-8.0, 8.0, 3))


def _bright(rng: np.random.Generator) -> Colour:
    """Any colour that a shirt may have."""
    hue, strength, value = rng.random(), rng.uniform(0.3, 0.9), rng.uniform(0.3, 0.95)
    return _colour(255.0 * np.array(colorsys.hsv_to_rgb(hue, strength, value)))
