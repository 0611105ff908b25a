"""A head that is followed, in pictures whose every movement is known: grain that is moved, turned and enlarged."""

import cv2
import numpy as np
import pytest

from turnstill.scenes.detector.face_following import FaceFollower

SIZE, MIDDLE = (240, 320), np.array([150.0, 110.0])
TRUNK, HEAD = 120.0, 26.0
"""Pixels: the golfer's trunk, and the radius of the head."""
FACE = MIDDLE + np.array([(0, 6), (-8, -4), (8, -4), (-20, 0), (20, 2)])
NOT_SEEN = np.full((5, 2), np.nan)


def grain(rng, size, px=2.5):
    """Grey that varies from place to place, ``(h, w)``."""
    grey = cv2.GaussianBlur(rng.normal(size=size), (0, 0), px)
    return 128.0 + 45.0 * grey / grey.std()


@pytest.fixture(scope="module")
def scene():
    rng = np.random.default_rng(5)
    return grain(rng, SIZE), grain(rng, SIZE)


def picture(scene, gone=(0.0, 0.0), turned=0.0, larger=1.0, noise=0.0, rng=None, brighter=0.0):
    """A head before a background that stands still; the head's middle has gone somewhere, turned and grown."""
    behind, head = scene
    to = cv2.getRotationMatrix2D((float(MIDDLE[0]), float(MIDDLE[1])), turned, larger)
    to[:, 2] += gone
    across, down = np.meshgrid(np.arange(SIZE[1]), np.arange(SIZE[0]))
    on_head = (np.hypot(across - MIDDLE[0], down - MIDDLE[1]) < HEAD).astype(float)
    shown, share = (cv2.warpAffine(one, to, SIZE[::-1], flags=cv2.INTER_CUBIC) for one in (head, on_head))
    grey = share * (shown + brighter) + (1.0 - share) * behind
    if rng is not None:
        grey = grey + rng.normal(scale=noise, size=SIZE)
    return np.repeat(np.clip(np.rint(grey), 0, 255).astype(np.uint8)[..., None], 3, axis=-1)


def followed(pictures, faces=None):
    follower = FaceFollower()
    faces = [FACE] * len(pictures) if faces is None else faces
    return np.array([follower.follow(one, face, TRUNK) for one, face in zip(pictures, faces, strict=True)])


WAY = np.column_stack([14.0 * np.sin(np.linspace(0.0, 1.5, 24)), -9.0 * np.linspace(0.0, 1.0, 24) ** 2])


def test_a_head_that_moves_is_followed_to_a_tenth_of_a_pixel(scene):
    rng = np.random.default_rng(1)
    pictures = [picture(scene, gone, noise=4.0, rng=rng) for gone in WAY]
    # What the detector says after the first picture counts for nothing, nor whether it says anything.
    faces = [FACE, *(FACE + 30.0 * k for k in range(11)), *[NOT_SEEN] * 12]
    way = followed(pictures, faces)
    np.testing.assert_allclose(way[0], FACE.mean(axis=0))
    np.testing.assert_allclose(way - way[0], WAY, atol=0.1)


def test_a_head_that_turns_and_comes_nearer_in_changing_light_goes_about_its_middle(scene):
    middle = FACE.mean(axis=0)
    steps = np.linspace(0.0, 1.0, 24)
    pictures = [picture(scene, gone, -20.0 * u, 1.0 + 0.08 * u, brighter=25.0 * u)
                for gone, u in zip(WAY, steps, strict=True)]  # fmt: skip
    turn = np.radians(-20.0)
    # OpenCV turns the other way round, with y down.
    matrix = 1.08 * np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    end = MIDDLE + matrix @ (middle - MIDDLE) + WAY[-1]
    # Less sure than of a head that keeps its shape: errors of some keys add up.
    np.testing.assert_allclose(followed(pictures)[-1], end, atol=0.5)


def test_what_comes_before_the_head_takes_nothing_along(scene):
    other = grain(np.random.default_rng(8), SIZE)
    pictures = []
    for k, gone in enumerate(WAY):
        shown = picture(scene, gone)
        # A shoulder rises over the lower third of the head, and goes across.
        edge = int(MIDDLE[1] + HEAD + 6 - 0.9 * k)
        shown[edge:] = np.roll(other, (-k, 2 * k), axis=(0, 1))[edge:, :, None]
        pictures.append(shown)
    way = followed(pictures)
    np.testing.assert_allclose(way - way[0], WAY, atol=0.2)


def test_a_head_at_the_pictures_edge_is_followed_too(scene):
    shift = np.array([-MIDDLE[0] + 12.0, 0.0])
    pictures = [np.roll(picture(scene, gone), int(shift[0]), axis=1) for gone in WAY]
    way = followed(pictures, [FACE + shift] * len(WAY))
    np.testing.assert_allclose(way - way[0], WAY, atol=0.2)


def test_a_lost_head_is_told_and_followed_anew_from_where_a_detector_has_it(scene):
    blank = np.full((*SIZE, 3), 90, np.uint8)
    moved = FACE + WAY[-1]
    pictures = [picture(scene), blank, blank, picture(scene, WAY[-1]), picture(scene, WAY[-2])]
    way = followed(pictures, [FACE, FACE, NOT_SEEN, moved, moved])
    assert np.isnan(way[1:3]).all()
    np.testing.assert_allclose(way[[0, 3]], [FACE.mean(axis=0), moved.mean(axis=0)])
    np.testing.assert_allclose(way[4] - way[3], WAY[-2] - WAY[-1], atol=0.1)


def test_without_face_golfer_or_corners_nothing_is_followed(scene):
    there, blank = picture(scene), np.full((*SIZE, 3), 90, np.uint8)
    assert np.isnan(followed([there, there], [NOT_SEEN, NOT_SEEN])).all()
    assert np.isnan(FaceFollower().follow(there, FACE, float("nan"))).all()
    assert np.isnan(followed([blank, blank])[1]).all()
