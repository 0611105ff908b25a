"""The judge of the pictures is itself judged: what it calls visible, near and swapped, on cases with a known answer."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import trimesh
from outside.pose_detector import environment, golfers, kept
from outside.pose_detector.landmarks import LANDMARKS, LEFT, PAIRS, RIGHT, joint_of, places
from outside.pose_detector.pictures import Truth, torso_length
from outside.pose_detector.scores import Judged
from outside.pose_detector.sight import crossings, flesh_before
from outside.pose_detector.tables import by_side, by_side_and_progress

from turnstill.model.arrays import Array
from turnstill.scenes.views.cameras import cameras

EYE = np.array([5.0, 0.0, 0.0])
JOINT = np.zeros((1, 3))


def ball(radius: float, place: tuple[float, float, float]) -> Array:
    """Triangles of a sphere, turned so that no line of sight runs along an edge."""
    made = trimesh.creation.icosphere(4, radius)
    made.apply_transform(trimesh.transformations.rotation_matrix(0.9, [0.2, 0.5, 0.7]))
    return np.asarray(made.vertices + np.array(place))[made.faces]


def before(*solids: Array) -> float:
    _, metres, inward = crossings(EYE, JOINT, np.concatenate(solids))
    return flesh_before(metres, inward)


def test_a_line_of_sight_enters_and_leaves_a_ball_where_it_should() -> None:
    goal_of, metres, inward = crossings(EYE, JOINT, ball(0.1, (1.0, 0.06, 0.0)))
    np.testing.assert_array_equal(goal_of, [0, 0])
    np.testing.assert_allclose(metres, [1.08, 0.92], atol=2e-3)  # 0.08 = sqrt(0.1² - 0.06²); the ball has facets
    np.testing.assert_array_equal(inward, [1, -1])


def test_a_joint_is_covered_by_what_stands_before_it_and_by_nothing_else() -> None:
    own = ball(0.05, (0.0, 0.0, 0.0))
    assert before(own) == pytest.approx(0.05, abs=1e-3)
    assert before(own, ball(0.05, (-0.5, 0.0, 0.0))) == pytest.approx(0.05, abs=1e-3)  # behind
    assert before(own, ball(0.05, (0.5, 0.2, 0.0))) == pytest.approx(0.05, abs=1e-3)  # beside
    assert before(own, ball(0.009, (0.5, 0.0, 0.0))) == pytest.approx(0.05, abs=1e-3)  # a shaft
    assert before(own, ball(0.05, (0.5, 0.0, 0.0))) == np.inf  # before
    assert before(own, ball(0.05, (0.09, 0.0, 0.0))) == pytest.approx(0.14, abs=1e-3)  # pressed on: thick, no air
    assert before(own, ball(0.055, (0.0, 0.0, 0.0))) == pytest.approx(0.055, abs=1e-3)  # a sleeve
    assert before(ball(0.05, (-0.1, 0.0, 0.0))) == 0.0  # a joint on the skin


def fake(count: int = 6) -> list[Truth]:
    """Pictures with random joints, a hundred pixels of torso."""
    rng = np.random.default_rng(4)
    return [
        Truth(f"{number}.png", number, "", False, "face-on", 0.0, 100.0, rng.uniform(0, 900, (len(LANDMARKS), 2)),
              np.zeros(len(LANDMARKS)))
        for number in range(count)
    ]  # fmt: skip


def test_the_truth_itself_scores_full_marks() -> None:
    truths = fake()
    judged = Judged.of(truths, np.stack([one.places for one in truths]))
    assert judged.person_found.all()
    assert judged.pck(0.01, judged.visible) == 1.0
    assert not judged.swapped.any()


def test_a_joint_off_by_a_third_of_the_torso_counts_in_one_mark_only() -> None:
    truths = fake()
    off = np.zeros((len(truths), len(LANDMARKS), 2))
    off[:, ::2] = [20.0, -26.0]
    judged = Judged.of(truths, np.stack([one.places for one in truths]) + off)
    assert judged.pck(0.5, judged.visible) == 1.0
    assert judged.pck(0.2, judged.visible) == pytest.approx(6 / 13)
    np.testing.assert_allclose(judged.offset[:, 0], [[0.20, -0.26]] * len(truths))


def test_nobody_found_is_wrong_everywhere() -> None:
    truths = fake()
    places_found = np.stack([one.places for one in truths])
    places_found[0] = np.nan
    judged = Judged.of(truths, places_found)
    assert judged.person_found.tolist() == [False] + [True] * (len(truths) - 1)
    assert judged.pck(0.5, judged.visible) == pytest.approx(1 - 1 / len(truths))
    assert not judged.swapped.any()


def test_a_golfer_seen_the_wrong_way_round_is_noticed() -> None:
    truths = fake()
    found = np.stack([one.places for one in truths])
    found[2][LEFT], found[2][RIGHT] = found[2][RIGHT].copy(), found[2][LEFT].copy()
    judged = Judged.of(truths, found)
    assert judged.swapped.sum(axis=1).tolist() == [0, 0, len(PAIRS), 0, 0, 0]
    assert judged.turned_round.tolist() == [False, False, True, False, False, False]


def test_both_of_a_pair_at_one_place_is_no_swap() -> None:
    truths = fake()
    found = np.stack([one.places for one in truths])
    found[:, LEFT] = found[:, RIGHT]
    assert not Judged.of(truths, found).swapped.any()


# What a table calls each joint, and the detector's name for it when a right-hander and when a left-hander stands there.
SIDES = {
    called: (right, left)
    for called, right, left in (
        row.split(" | ")
        for row in """\
nose | nose | nose
shoulder, lead | left_shoulder | right_shoulder
shoulder, trail | right_shoulder | left_shoulder
elbow, lead | left_elbow | right_elbow
elbow, trail | right_elbow | left_elbow
wrist, lead | left_wrist | right_wrist
wrist, trail | right_wrist | left_wrist
hip, lead | left_hip | right_hip
hip, trail | right_hip | left_hip
knee, lead | left_knee | right_knee
knee, trail | right_knee | left_knee
ankle, lead | left_ankle | right_ankle
ankle, trail | right_ankle | left_ankle""".splitlines()
    )
}


def cells_of(table: str) -> list[list[str]]:
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in table.split("\n")]


@pytest.mark.parametrize("left_handed", [False, True])
def test_the_usual_offset_stands_beside_its_view_joint_and_quarter(left_handed: bool) -> None:
    """Every offset is another number, and the middle one of three pictures is the usual one."""
    views, labels = ("face-on", "down-the-line"), list(SIDES)
    expected, truths, found = {}, [], []
    for view, name in enumerate(views):
        for quarter, progress in enumerate((0.0, 0.25, 0.74, 1.0)):
            usual = {label: (0.001 + 0.1 * quarter + 0.01 * k, -0.002 - 0.1 * quarter - 0.4 * view - 0.01 * k)
                     for k, label in enumerate(labels)}  # fmt: skip
            expected |= {(name, quarter, label): at for label, at in usual.items()}
            for other in (-0.003, 0.0, 0.003):
                truth = replace(fake(1)[0], view=name, progress=progress, left_handed=left_handed)
                answer = truth.places.copy()
                for label, (right, down) in usual.items():
                    off = np.array([-right if left_handed else right, down]) + other
                    answer[LANDMARKS.index(SIDES[label][left_handed])] += 100 * off  # pixels of a torso
                truths.append(truth)
                found.append(answer)
    judged = Judged.of(truths, np.stack(found))
    heads, _, *lines = cells_of(by_side_and_progress(judged))
    quarters = ["first quarter", "second", "third", "last"]
    assert heads == ["view", "joint", *(f"{words}: right, down" for words in quarters)]
    told = {(line[0], quarter, line[1]): cell for line in lines for quarter, cell in enumerate(line[2:])}
    assert told == {key: f"{right:+.3f}, {down:+.3f}" for key, (right, down) in expected.items()}
    whole = {(view, label): cell for view, label, cell, _ in cells_of(by_side(judged))}
    for view in views:
        for label in labels:  # The middle of twelve lies half way between the second quarter and the third.
            middle = np.mean([expected[view, quarter, label] for quarter in (1, 2)], axis=0)
            np.testing.assert_allclose([float(part) for part in whole[view, label].split(", ")], middle, atol=0.0006)


@pytest.mark.parametrize("left_handed", [False, True])
def test_left_is_the_golfers_own_left(left_handed: bool) -> None:
    """Who faces the camera has the left side on the picture's right, whichever hand is played."""
    assert joint_of("left_wrist", left_handed) == ("wrist_trail" if left_handed else "wrist_lead")
    assert joint_of("nose", left_handed) == "nose"
    [golfer] = [one for one in golfers.draw(np.random.default_rng(1), 6) if one.left_handed == left_handed][:1]
    swing = golfer.swing()
    pixels = cameras([swing])[0]["face-on"].project(places(swing.skeleton[0], left_handed))
    assert np.all(pixels[LEFT, 0] > pixels[RIGHT, 0])
    assert torso_length(pixels) > 50.0


def test_the_golfers_are_various_and_the_same_every_time() -> None:
    drawn, again = (golfers.draw(np.random.default_rng(golfers.SEED)) for _ in range(2))
    assert [(one.preset, one.moments, float(one.body.mass)) for one in drawn] == [
        (one.preset, one.moments, float(one.body.mass)) for one in again
    ]
    assert sum(bool(one.body.female) for one in drawn) == len(drawn) // 2
    assert sum(one.left_handed for one in drawn) == golfers.LEFT_HANDERS
    index = [float(one.body.mass / one.body.stature**2) for one in drawn]
    assert min(index) < 18.5  # underweight, obese: the World Health Organization's classes
    assert max(index) > 30.0


def test_kept_pictures_are_of_this_code_down_to_the_last_room(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """A file of a room inside a room counts, or yesterday's pictures would be judged for today's."""
    (tmp_path / "render" / "figure").mkdir(parents=True)
    for room in kept.ROOMS:
        (tmp_path / room).mkdir(exist_ok=True)
    monkeypatch.setattr(kept.turnstill, "__file__", str(tmp_path / "__init__.py"))
    deep = tmp_path / "render" / "figure" / "face.py"
    deep.write_text("EYE_M = 0.0105\n", encoding="utf-8")
    before_change = kept.fingerprint()
    deep.write_text("EYE_M = 0.0205\n", encoding="utf-8")
    assert kept.fingerprint() != before_change


def test_without_the_detector_it_says_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(environment.VARIABLE, "/nowhere/python")
    with pytest.raises(environment.NoDetector, match="pip install mediapipe"):
        environment.detector_python()
