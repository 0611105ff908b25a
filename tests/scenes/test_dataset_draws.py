"""What recipes draw: shares as stated, people as the survey has them, faults that are faults, and whole golfers."""

from __future__ import annotations

from collections import Counter
from dataclasses import fields
from itertools import combinations
from statistics import NormalDist

import numpy as np
import pytest

from turnstill.model.errors import TurnstillError
from turnstill.model.golfer.impact import centred_at_impact
from turnstill.model.golfer.pieces import DEPARTURES, PIECES, Pieces
from turnstill.model.swing.swing import Swing
from turnstill.scenes.dataset.plan.drawn import DrawnSubject, DrawnSwing
from turnstill.scenes.dataset.plan.loading import parsed
from turnstill.scenes.dataset.plan.people import body_of, stature_and_mass
from turnstill.scenes.dataset.plan.recipe import Recipe
from turnstill.scenes.dataset.plan.schedule import Schedule, schedule, shard_numbers
from turnstill.scenes.dataset.plan.subjects import draw_subjects

SIXTEEN = "subjects = 16\nmoments = 3\nsplits = { all = 1.0 }\n"
CLUTTERED = '[scenery]\noccluded = 1.0\ngrounds = ["grass", "paving"]\n[lights]\nstriped = 0.5\n'
TOLERANCE = {name: 0.003 if PIECES[name].unit == "cm" else np.radians(1.0) for name in DEPARTURES}
"""rad and m: how far from what was drawn a swing may come out, as the recipe's makers allow it."""
LEAST = {
    "hip_turn": (10, 10), "shoulder_turn": (10, 10), "tilt": (8, 8), "extension": (8, 8), "lead_flex_change": (10, 10),
    "trail_flex_change": (10, 10), "sway": (4, 4), "hips_toward_ball": (4, 4),
}  # fmt: skip
"""Least faults of ``plain``, too little and too much, degrees and centimetres, read from its file by hand."""
# Mean and sd of the survey's summary (tests/outside/test_survey.py): men, women; metres and kilograms.
PRINTED = ((1.7562, 0.0686, 85.5, 14.2), (1.6285, 0.0642, 67.8, 11.0))


@pytest.fixture(scope="module")
def sixteen() -> tuple[Recipe, list[DrawnSubject]]:
    recipe = parsed(SIXTEEN + CLUTTERED, "sixteen")
    return recipe, draw_subjects(recipe, range(16))


@pytest.fixture(scope="module")
def dealt() -> tuple[Recipe, Schedule]:
    recipe = parsed("subjects = 2000\n", "many")
    return recipe, schedule(recipe)


def swings_of(subjects: list[DrawnSubject]) -> list[DrawnSwing]:
    return [swing for subject in subjects for swing in subject.swings]


def test_sexes_and_hands_come_in_their_shares_in_every_split(dealt: tuple[Recipe, Schedule]) -> None:
    recipe, whole = dealt
    assert whole.female.sum() == 1000 and whole.left_handed.sum() == 200
    for split in ("train", "validation", "test"):
        own = [n for shard in shard_numbers(recipe) if shard.split == split for n in shard.subjects]
        assert abs(whole.female[own].sum() - 0.5 * len(own)) <= 2
        assert abs(whole.left_handed[own].sum() - 0.1 * len(own)) <= 2


def test_faults_come_in_the_asked_shares_and_every_piece_equally_often(dealt: tuple[Recipe, Schedule]) -> None:
    _, whole = dealt
    pieces = Counter(pattern.pieces for pattern in whole.patterns)
    assert len(whole.patterns) == 4000 and pieces[()] == 1360
    singles = [pieces[(name,)] for name in DEPARTURES]
    pairs = [pieces[pair] for pair in combinations(DEPARTURES, 2)]
    assert sum(singles) == sum(pairs) == 1320
    assert max(singles) - min(singles) <= 1 and max(pairs) - min(pairs) <= 1
    for name in DEPARTURES:
        more = [pattern.too_much[0] for pattern in whole.patterns if pattern.pieces == (name,)]
        assert abs(sum(more) - len(more) / 2) <= 1


def test_shards_hold_whole_subjects_of_one_split(dealt: tuple[Recipe, Schedule]) -> None:
    recipe, _ = dealt
    shards = shard_numbers(recipe)
    assert sorted(n for shard in shards for n in shard.subjects) == list(range(2000))
    of_split = Counter[str]()
    for shard in shards:
        of_split[shard.split] += len(shard.subjects)
        assert len(shard.subjects) <= recipe.subjects_per_shard
    assert of_split == {"train": 1400, "validation": 200, "test": 400}
    assert len({(shard.split, shard.index) for shard in shards}) == len(shards)


def test_statures_and_masses_are_the_surveys(dealt: tuple[Recipe, Schedule]) -> None:
    """Stature as a normal curve, mass as a log-normal one, of the printed mean and sd."""
    recipe, whole = dealt
    people = [
        (recipe.population, bool(female), (float(tall), float(heavy)))
        for female, (tall, heavy) in zip(whole.female, whole.size, strict=True)
    ]
    sizes = np.array([stature_and_mass(*one) for one in people])
    for n in range(0, 2000, 400):
        body = body_of(*people[n], np.random.default_rng(n))
        assert (float(body.stature), float(body.mass)) == pytest.approx(tuple(sizes[n]))
    for sex, (mean_h, sd_h, mean_m, sd_m) in enumerate(PRINTED):
        spread = np.sqrt(np.log1p((sd_m / mean_m) ** 2))
        z = np.array([NormalDist().inv_cdf(share) for share in (0.05, 0.5, 0.95)])
        found = np.percentile(sizes[whole.female == bool(sex)], [5, 50, 95], axis=0)
        np.testing.assert_allclose(found[:, 0], mean_h + sd_h * z, rtol=0, atol=0.01)
        np.testing.assert_allclose(found[:, 1], mean_m * np.exp(spread * z - spread**2 / 2), rtol=0, atol=1.5)


def fingerprint(subject: DrawnSubject) -> list[float]:
    """Numbers of everything about somebody that is drawn."""
    first = subject.swings[0]
    joints = np.concatenate([place.ravel() for place in first.swing.skeleton.joints.values()])
    places = np.concatenate([np.r_[view.camera.K.ravel(), view.camera.t] for view in first.views])
    return [float(subject.body.mass), subject.skin_tone, first.place.texture_seed, *joints, *places]


def test_a_subject_is_the_same_whoever_is_drawn_beside_it(sixteen: tuple[Recipe, list[DrawnSubject]]) -> None:
    recipe = parsed(SIXTEEN.replace("16", "17").replace("moments = 3", "moments = 3\nswings = 1") + CLUTTERED, "few")
    alone = draw_subjects(recipe, [16])[0]
    mixed = draw_subjects(recipe, [3, 16])
    assert (mixed[0].number, mixed[1].number) == (3, 16)
    assert fingerprint(mixed[1]) == fingerprint(alone)
    with pytest.raises(TurnstillError, match="There is no subject 17; this data set has 0 to 16"):
        draw_subjects(recipe, [17])


def test_another_seed_draws_other_people(sixteen: tuple[Recipe, list[DrawnSubject]]) -> None:
    for ours, theirs in zip(*(schedule(parsed(SIXTEEN + f"seed = {s}", "x")).size for s in (0, 1)), strict=True):
        assert np.all(np.abs(ours - theirs) > 1e-6)
    recipe, ours16 = sixteen
    other = parsed("seed = 1\nswings = 1\n" + SIXTEEN + CLUTTERED, "other")
    for ours, theirs in zip(ours16, draw_subjects(other, range(16)), strict=True):
        assert float(ours.body.stature) != float(theirs.body.stature) and ours.skin_tone != theirs.skin_tone
        assert ours.look != theirs.look and ours.swings[0].place != theirs.swings[0].place
        assert ours.swings[0].light != theirs.swings[0].light
        assert not np.allclose(ours.swings[0].views[0].camera.K, theirs.swings[0].views[0].camera.K)
    assert recipe.seed == 0


def departed(swing: Swing, moment: int = -1, centred: Pieces | None = None) -> dict[str, float]:
    """What each piece is at the top, beyond what holds this body's head or, for others, the centred pivot."""
    centred, found = centred or Pieces(), {}
    for name in DEPARTURES:
        due = swing.steady[name][moment] if name in ("tilt", "extension") else getattr(centred, name)
        found[name] = float(swing.achieved[name][moment] - due)
    return found


@pytest.mark.parametrize(("faults_at", "other"), [("impact", "top"), ("top", "impact")])
def test_a_swing_that_goes_on_has_its_faults_where_it_is_said(faults_at: str, other: str) -> None:
    toml = f'[swing]\nthrough = "impact"\nfaults_at = "{faults_at}"\none_fault = 0.66\nno_fault = 0.34\ntwo_faults = 0'
    recipe = parsed("subjects = 3\nmoments = 7\nsplits = { all = 1.0 }\n" + toml, "on")
    drawn = swings_of(draw_subjects(recipe, range(3)))
    assert {len(swing.faults) for swing in drawn} == {0, 1}
    for swing in drawn:
        # 40 moments up, 20 down, 20 past it; six stretches of 13 or 14, of which the third has the top.
        assert (swing.moments[0], swing.moments[3], swing.moments[5]) == (0, 40, 60) and swing.moments[6] > 67
        assert swing.downswing_s is not None and 0.24 <= swing.downswing_s <= 0.34
        shown = {"top": departed(swing.swing, 40), "impact": departed(swing.swing, 60, centred_at_impact())}
        assert shown[faults_at] == pytest.approx(dict(swing.departures))
        for name in DEPARTURES:
            in_unit, wander = (0.01, 1.3) if PIECES[name].unit == "cm" else (np.radians(1.0), 3.4)
            assert abs(shown[other][name]) <= wander * in_unit + TOLERANCE[name]
            is_fault = abs(shown[faults_at][name]) >= min(LEAST[name]) * in_unit - TOLERANCE[name]
            assert is_fault == (name in swing.faults)


def test_what_is_labelled_as_a_fault_is_one_and_what_is_not_is_not(sixteen: tuple[Recipe, list[DrawnSubject]]) -> None:
    drawn = swings_of(sixteen[1])
    assert {len(swing.faults) for swing in drawn} == {0, 1, 2}
    for swing in drawn:
        for name, amount in departed(swing.swing).items():
            in_unit = 0.01 if PIECES[name].unit == "cm" else np.radians(1.0)
            little, much = (least * in_unit - TOLERANCE[name] for least in LEAST[name])
            assert (amount >= much or amount <= -little) == (name in swing.faults), (swing.number, name, amount)
            assert swing.departures[name] == pytest.approx(amount, abs=1e-12)


def test_what_no_body_can_do_is_labelled_as_what_it_did() -> None:
    huge = "\n".join(
        f"{name}_{unit} = {{ less = [39, 40], more = [39, 40], wander = 0 }}"
        for name, unit in ((name, PIECES[name].unit) for name in DEPARTURES)
    )
    recipe = parsed(
        "subjects = 6\nswings = 1\nmoments = 2\nsplits = { all = 1.0 }\n"
        f"[swing]\nno_fault = 0.0\none_fault = 0.0\ntwo_faults = 1.0\n[swing.pieces]\n{huge}\n",
        "huge",
    )
    asked = [pattern.pieces for pattern in schedule(recipe).patterns]
    swings = swings_of(draw_subjects(recipe, range(6)))
    for swing in swings:
        for name, amount in departed(swing.swing).items():
            least = 39 * (0.01 if PIECES[name].unit == "cm" else np.radians(1.0)) - TOLERANCE[name]
            assert (abs(amount) >= least) == (name in swing.faults)
            assert swing.departures[name] == pytest.approx(amount, abs=1e-12)
    assert any(set(swing.faults) != set(pieces) for swing, pieces in zip(swings, asked, strict=True))


def test_golfer_and_club_are_in_the_picture_and_things_before_them(sixteen: tuple[Recipe, list[DrawnSubject]]) -> None:
    things = 0
    for swing in swings_of(sixteen[1]):
        joints = np.stack(list(swing.swing.skeleton.joints.values()))
        for view in swing.views:
            pixels = view.camera.project(joints)
            assert np.all(pixels > -0.5) and np.all(pixels < [view.camera.width - 0.5, view.camera.height - 0.5])
            for thing in view.occluders:
                # All of it stands within half its diagonal of its middle's line.
                foot, head = (np.array([*thing.at, height]) for height in (0.0, thing.height_m))
                farthest = view.camera.depth(np.stack([foot, head])).max() + thing.breadth_m / np.sqrt(2)
                assert farthest < view.camera.depth(joints).min()
                things += 1
    assert things >= 20


def test_a_wood_is_longer_than_an_iron_for_the_same_golfer(sixteen: tuple[Recipe, list[DrawnSubject]]) -> None:
    compared = 0
    for subject in sixteen[1]:
        length = {swing.look.club_head: float(np.asarray(swing.swing.address.club_length)) for swing in subject.swings}
        if len(length) == 2:
            assert length["wood"] > length["iron"]
            compared += 1
    assert compared >= 3


def test_moments_rise_from_address_to_top(sixteen: tuple[Recipe, list[DrawnSubject]]) -> None:
    for swing in swings_of(sixteen[1]):
        assert swing.moments[0] == 0 and swing.moments[-1] == 40 and len(swing.moments) == 3
        assert np.all(np.diff(swing.moments) > 0)


def test_nothing_that_should_vary_is_constant(sixteen: tuple[Recipe, list[DrawnSubject]]) -> None:
    subjects = sixteen[1]
    seen: dict[str, set[object]] = {}

    def note(name: str, value: object) -> None:
        seen.setdefault(name, set()).add(repr(value))

    for subject in subjects:
        for name in ("headwear", "sleeves", "legwear", "skin", "hair", "shirt", "trousers", "shoes", "glove", "cap"):
            note(f"look.{name}", getattr(subject.look, name))
        for name in ("stature", "mass", "female"):
            note(f"body.{name}", float(getattr(subject.body, name)))
        for name, value in subject.body.ranges.items():
            note(f"range.{name}", float(value))
        note("left_handed", subject.left_handed)
    for swing in swings_of(subjects):
        for of in (swing.place, swing.light, swing.light.stripes):
            for field in fields(of) if of else ():
                note(f"{type(of).__name__}.{field.name}", getattr(of, field.name))
        for name in (
            "lead_flare", "trail_flare", "stance_width", "knee_flex", "forward_bend", "pelvis_bend", "side_bend",
            "ball_position", "club_length",
        ):  # fmt: skip
            note(f"address.{name}", float(getattr(swing.swing.address, name)))
        note("moment", swing.moments[1])
        note("backswing_s", swing.backswing_s)
        for view in swing.views:
            for name, value in view.off_square.items():
                note(f"camera.{name}", value)
            for field in fields(view.sensor):
                note(f"sensor.{field.name}", getattr(view.sensor, field.name))
            for thing in view.occluders:
                for field in fields(thing):
                    note(f"occluder.{field.name}", getattr(thing, field.name))
    assert {swing.look.club_head for swing in swings_of(subjects)} == {"iron", "wood"}
    still = {name for name, values in seen.items() if len(values) == 1}
    # The sky's and the ground's part of the light never vary; a plain lens does not bend, a plain shutter stops motion.
    assert still == {"Light.sky_strength", "Light.ground_strength", "camera.k1", "sensor.shutter_s"}
