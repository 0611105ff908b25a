"""The worker's two looks at a person, with nets that are made here: the real ones are not in this environment."""

import importlib.util
import sys
from types import ModuleType, SimpleNamespace

import numpy as np
import pytest

from turnstill.scenes.detector.environment import WORKER

SIZE = np.array([80.0, 160.0])
HABIT = np.array([1.5, 1.0])
"""Pixels that the net adds to wherever it sees anything: to the right, whichever way it is shown a person, and down."""
TRUNK = 40.0
"""Pixels from shoulders to hips."""
LEFT, RIGHT = (7, 11, 13, 15, 23, 25, 27), (8, 12, 14, 16, 24, 26, 28)
SHOULDERS, KNEES = (11, 12), (25, 26)


class Net:
    """Sees two spots, the sides of a person who faces the camera: what lies at the picture's right is the left one."""

    def __init__(self, **_):
        self.shown = []

    def process(self, picture):
        spots, size = np.argwhere(picture[..., 0] == 255), np.array(picture.shape[1::-1])
        self.shown.append(tuple(size))
        if not spots.size:
            return SimpleNamespace(pose_landmarks=None)
        places = (spots[np.argsort(spots[:, 1])][:, ::-1] + 0.5 + HABIT) / size
        points = [self.point(k, places, TRUNK / size[1]) for k in range(33)]
        return SimpleNamespace(pose_landmarks=SimpleNamespace(landmark=points))

    @staticmethod
    def point(k, places, trunk):
        at = places[-1] if k in LEFT else places[0]
        return SimpleNamespace(x=at[0], y=at[1] + trunk * (k >= 23), visibility=0.9 if k in LEFT else 0.7)


class Blind:
    """Finds no face."""

    def __init__(self, **_):
        pass

    def process(self, picture):
        return SimpleNamespace(detections=None)


@pytest.fixture
def worker(monkeypatch):
    """The program, its libraries stood in for."""
    solutions = SimpleNamespace(
        pose=SimpleNamespace(Pose=Net), face_detection=SimpleNamespace(FaceDetection=Blind)
    )  # fmt: skip
    nets = ModuleType("mediapipe")
    nets.solutions = solutions
    monkeypatch.setitem(sys.modules, "mediapipe", nets)
    spec = importlib.util.spec_from_file_location("worker_under_test", WORKER)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def picture(*spots, size=SIZE):
    """Black, but for places ``(across, down)``."""
    made = np.zeros((int(size[1]), int(size[0]), 3), np.uint8)
    for across, down in spots:
        made[down, across] = 255
    return made


def test_a_net_that_errs_to_one_side_does_not_err_in_the_mean(worker):
    found = np.array(worker.Finder().find(picture((20, 30), (50, 40)))["pose"])
    for side, spot in ((LEFT, (50, 40)), (RIGHT, (20, 30))):
        across, down = np.array(spot) + 0.5
        np.testing.assert_allclose(found[side, 0] * SIZE[0], across, atol=1e-3)
        # What is down stays down in a mirror. Each look is surer of what is left for it, the two of both alike.
        np.testing.assert_allclose(
            found[side, 1] * SIZE[1], down + HABIT[1] + TRUNK * (np.array(side) >= 23), atol=1e-3
        )
        np.testing.assert_allclose(found[side, 2], 0.8, atol=1e-5)


def test_a_quick_one_has_one_look_at_the_body_and_none_at_others(worker):
    finder = worker.Finder(quick=True)
    found = finder.find(picture((20, 30), (50, 40)))
    assert found["face"] is None and found["other"] is None and not finder._mirrored.shown
    # What the one net is off by is not taken out.
    np.testing.assert_allclose(np.array(found["pose"])[RIGHT, 0] * SIZE[0], 20.5 + HABIT[0], atol=1e-3)


def test_nobody_is_found_where_nobody_is(worker):
    assert worker.Finder().find(picture())["pose"] is None


def test_the_way_of_the_face_is_told_in_shares_of_the_picture_and_none_where_it_is_lost(worker):
    finder, seen = worker.Finder(), []
    ways = iter([np.array([19.5, 39.5]), np.full(2, np.nan), np.array([59.5, 79.5])])

    class Follower:
        def follow(self, picture, face, trunk):
            seen.append((face, trunk))
            return next(ways)

    finder._follower = Follower()
    person, face = picture((20, 30), (50, 40)), np.arange(10.0).reshape(5, 2)
    finder._find_face = lambda *_: (face, 1.0)
    # A pixel's middle, half a pixel from its edges, is a whole number for the follower.
    assert finder.find(person)["followed"] == pytest.approx([20.0 / SIZE[0], 40.0 / SIZE[1]])
    np.testing.assert_allclose(seen[0][0], face - 0.5)
    assert seen[0][1] == pytest.approx(TRUNK, abs=1e-3)
    finder._find_face = lambda *_: (None, 0.0)
    found = finder.find(person)
    assert found["followed"] is None
    # Where no face detector sees a face, it begins where the pose net has nose, eyes and ears.
    net = np.array(found["pose"])[[0, 2, 5, 7, 8], :2] * SIZE
    np.testing.assert_allclose(seen[1][0], net - 0.5, atol=1e-3)
    # Also where nobody is found the next picture has to do with.
    assert finder.find(picture())["followed"] == pytest.approx([60.0 / SIZE[0], 80.0 / SIZE[1]])
    assert np.isnan(seen[2][0]).all() and np.isnan(seen[2][1])


def test_a_window_is_laid_about_a_person_and_stays_until_nobody_is_in_it(worker):
    size, finder = np.array([400.0, 600.0]), worker.Finder()
    high = picture((100, 100), (112, 100), size=size)

    def down(found):
        return np.array(found["pose"])[11, 1] * size[1] - HABIT[1]

    assert down(finder.find(high)) == pytest.approx(100.5, abs=0.01)
    # 12 pixels across and a trunk of 40 down, and as much room on every side, to whole pixels.
    part = finder._pose.shown[-1]
    assert part == finder._mirrored.shown[-1]
    assert part == pytest.approx((12 + 80, 40 + 80), abs=2)
    laid = len(finder._other.shown)
    moved = picture((103, 112), (115, 112), size=size)
    assert down(finder.find(moved)) == pytest.approx(112.5, abs=0.01)
    assert len(finder._other.shown) == laid
    away = picture((300, 480), (312, 480), size=size)
    assert down(finder.find(away)) == pytest.approx(480.5, abs=0.01)
    assert len(finder._other.shown) == laid + worker.LAYINGS


def test_whoever_was_squeezed_into_a_part_is_seen_whole_from_nearer_by(worker):
    size, finder = np.array([400.0, 600.0]), worker.Finder()

    class Squeezing(Net):
        """Takes a person who is small in what it is shown for half as tall."""

        def process(self, picture):
            found = super().process(picture)
            if found.pose_landmarks and len(picture) > 300:
                for point in found.pose_landmarks.landmark[23:]:
                    point.y -= 0.5 * TRUNK / len(picture)
            return found

    finder._pose, finder._mirrored, finder._other = Squeezing(), Squeezing(), Squeezing()
    found = np.array(finder.find(picture((100, 100), (112, 100), size=size))["pose"])
    assert (found[23, 1] - found[11, 1]) * size[1] == pytest.approx(TRUNK, abs=0.01)
    far = picture((100, 100), (112, 100), size=size)
    in_whole = np.array([(point.y) for point in Squeezing().process(far).pose_landmarks.landmark])
    assert (in_whole[23] - in_whole[11]) * size[1] == pytest.approx(0.5 * TRUNK)


def test_a_window_lies_within_the_picture(worker):
    size = np.array([400.0, 600.0])
    places = np.array([(390.0, 20.0), (450.0, 120.0)])
    np.testing.assert_array_equal(worker.around(places, size), [(290, 0), (400, 220)])
    outside = worker.around(places + np.array([900.0, 0.0]), size)
    assert (outside[1] > outside[0]).all() and (outside >= 0).all() and (outside <= size).all()


def person(rng):
    """A look: upright, a trunk of 40 pixels, points of the two sides 16 apart."""
    points = np.column_stack([0.5 + rng.uniform(-0.01, 0.01, 33), np.linspace(0.1, 0.9, 33), np.full(33, 0.6)])
    points[list(LEFT), 0] += 0.1
    points[list(RIGHT), 0] -= 0.1
    points[list(SHOULDERS), 1], points[[23, 24], 1] = 0.3, 0.55
    return points


@pytest.fixture
def looks():
    rng = np.random.default_rng(7)
    one = person(rng)
    other = one.copy()
    other[:, :2] += rng.uniform(-0.01, 0.01, (33, 2))
    return one, other


def test_a_mirror_image_of_a_mirror_image_is_the_person(worker, looks):
    one, _ = looks
    mirrored = worker.unmirrored(one)
    assert mirrored[11, 0] == pytest.approx(1.0 - one[12, 0])
    assert tuple(mirrored[11, 1:]) == tuple(one[12, 1:])
    np.testing.assert_allclose(worker.unmirrored(mirrored), one)
    assert worker.unmirrored(None) is None


def test_two_looks_that_agree_are_their_mean_as_the_first_has_left_and_right(worker, looks):
    one, other = looks
    np.testing.assert_allclose(worker.together(one, other, None, SIZE), 0.5 * (one + other))
    exchanged = other[list(worker.MIRRORED)]
    assert np.abs(exchanged - other).max() > 0.1
    # The body as a whole, or one pair of it; the face is never exchanged.
    exchanged[:11] = other[:11]
    np.testing.assert_allclose(worker.together(one, exchanged, None, SIZE), 0.5 * (one + other))
    knees = other.copy()
    knees[list(KNEES)] = exchanged[list(KNEES)]
    before = knees.copy()
    np.testing.assert_allclose(worker.together(one, knees, None, SIZE), 0.5 * (one + other))
    np.testing.assert_array_equal(knees, before)


def test_arms_that_both_looks_agree_on_stay_apart_where_shoulders_lie_behind_one_another(worker, looks):
    """Down the line: shoulders within a pixel of each other, elbows and wrists seven apart and alike in both looks."""
    one, other = (np.repeat(looks[0][:1], 33, axis=0) for _ in range(2))
    for look, shoulders in ((one, (50.0, 51.0)), (other, (50.6, 50.4))):
        look[[23, 24], 1] += TRUNK / SIZE[1]
        for (left, right), at in zip(
            ((11, 12), (13, 14), (15, 16)), (shoulders, (50.0, 57.0), (48.0, 55.0)), strict=True
        ):
            look[[left, right], 0] = np.array(at) / SIZE[0]
    found = worker.together(one, other, None, SIZE)[:, 0] * SIZE[0]
    np.testing.assert_allclose(found[[13, 14, 15, 16]], [50.0, 57.0, 48.0, 55.0])
    np.testing.assert_allclose(found[[11, 12]], [50.3, 50.7])


def test_one_look_alone_is_what_there_is(worker, looks):
    one, other = looks
    assert worker.together(one, None, other, SIZE) is one
    assert worker.together(None, other, one, SIZE) is other
    assert worker.together(None, None, one, SIZE) is None


@pytest.mark.parametrize("wrong", [0, 1])
def test_a_point_in_two_places_is_where_it_was_before(worker, looks, wrong):
    before = 0.5 * (looks[0] + looks[1])
    strayed = [look.copy() for look in looks]
    # A fifth of the trunk is 8 pixels: one knee is 7 off, which is a mean, and the other 9.
    for point, pixels in zip(KNEES, (7.0, 9.0), strict=True):
        strayed[1 - wrong][point] = looks[wrong][point]
        strayed[wrong][point, 0] += pixels / SIZE[0]
    found = worker.together(*strayed, before, SIZE)
    off = (found[list(KNEES)] - looks[wrong][list(KNEES)])[:, 0] * SIZE[0]
    np.testing.assert_allclose(off, [3.5, 0.0], atol=1e-9)
    rest = [k for k in range(33) if k not in KNEES]
    np.testing.assert_allclose(found[rest], before[rest])
    # With nothing before, the first look is believed.
    alone = worker.together(*strayed, None, SIZE)[26, 0] - looks[wrong][26, 0]
    assert alone * SIZE[0] == pytest.approx(0.0 if wrong else 9.0)
