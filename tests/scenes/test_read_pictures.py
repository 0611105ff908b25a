"""What stands behind the drawings of a read film: its own pictures at the right times and places, and an outline."""

from __future__ import annotations

import base64
import io
import re

import film_judge
import filmed_swings
import numpy as np
import pytest
from PIL import Image

from turnstill.model.films import face_path
from turnstill.model.films.film_moments import VIEWS
from turnstill.model.films.filmed_golfer import FACE, FITTED
from turnstill.model.films.tracks import KEYPOINTS
from turnstill.scenes.read import fitted_outline
from turnstill.scenes.read.found import films_read
from turnstill.scenes.read.page import read_page
from turnstill.scenes.read.panel_pictures import panel_pictures
from turnstill.scenes.read.report import ReadReport


@pytest.fixture(scope="module")
def filmed():
    return film_judge.filmed(1, 6, filmed_swings.Conditions(), 900)


def read(filmed, mirrored=False):
    tracks = {view: getattr(filmed, view)[0] for view in VIEWS}
    if mirrored:
        tracks = {view: track.mirrored() for view, track in tracks.items()}
    stature = float(filmed.faulty.body.stature[0])
    return films_read(tracks, stature_m=stature, female=False, left_handed=None, frames={})


@pytest.fixture(scope="module")
def found(filmed):
    return read(filmed)


@pytest.fixture(scope="module")
def report(found):
    return ReadReport.of_films(found)


class Shown:
    """A film whose picture says where and when it is: red across, green down, blue the time in tenths of a second."""

    def __init__(self, width, height):
        self.size, self.asked = (height, width), []

    def __call__(self, seconds):
        self.asked.append(seconds)
        rows, columns = np.indices(self.size)
        height, width = self.size
        blue = np.full(self.size, 40.0 * seconds)
        return np.stack([255.0 * columns / width, 255.0 * rows / height, blue], axis=-1).astype(np.uint8)


def picture(address):
    return Image.open(io.BytesIO(base64.b64decode(address.partition(",")[2])))


@pytest.fixture(scope="module")
def films():
    return {"face_on": Shown(720, 1280), "down_the_line": Shown(360, 640)}  # One decoded at half its size.


@pytest.fixture(scope="module")
def pictures(found, report, films):
    return panel_pictures(found, report, films)


def test_a_films_picture_is_of_the_moment_and_of_what_is_shown(report, films, pictures):
    for view in VIEWS:
        own = report.moments[view]
        first, last = own.address_window
        times = [0.5 * (first + last) / own.fps, own.top_frame / own.fps]
        assert films[view].asked == pytest.approx(times)
        assert last <= own.address_frame < own.top_window[0] <= own.top_frame <= own.top_window[1]
        for moment, when in zip(fitted_outline.MOMENTS, times, strict=True):
            shown = pictures[view, moment]
            left, top, width, height = shown.box
            pixels = np.asarray(picture(shown.film).convert("RGB"), float)
            assert pixels.shape[1] / pixels.shape[0] == pytest.approx(width / height, rel=0.01)
            for share in (0.1, 0.5, 0.9):
                row, column = (int(share * (length - 1)) for length in pixels.shape[:2])
                across, down = left + 0.5 + share * width, top + 0.5 + share * height
                assert pixels[row, column] == pytest.approx(
                    [255.0 * across / 720, 255.0 * down / 1280, 40.0 * when], abs=4.0
                )


def test_the_box_holds_the_golfer_at_both_moments(report, pictures):
    for view in VIEWS:
        assert pictures[view, "address"].box == pictures[view, "top"].box
        left, top, width, height = pictures[view, "top"].box
        assert left >= -0.5 and top >= -0.5 and left + width <= 719.5 and top + height <= 1279.5
        for one in report.keypoints:
            if one.view == view:
                assert left < one.fitted_x_px < left + width and top < one.fitted_y_px < top + height


def test_the_fitted_swing_is_the_fits_own_golfer(found):
    joints = fitted_outline.fitted_swing(found).skeleton.joints
    pose = found.reading.fitted.pose
    np.testing.assert_allclose(joints["head"], pose.head[0], atol=1e-9)
    for k, name in enumerate(FITTED[FACE:]):
        side, _, kind = name.partition("_")
        mine = joints[f"{kind}_{'lead' if side == 'left' else 'trail'}"]
        np.testing.assert_allclose(mine, pose.points[0, :, k], atol=1e-9)


def test_the_outline_is_round_the_fitted_keypoints_and_a_left_handers_the_mirror_image(filmed, found, report):
    boxes = dict.fromkeys(VIEWS, (99.5, 199.5, 500.0, 1000.0))
    covered = fitted_outline.outlines(found, boxes, 500)
    for one in report.keypoints:
        kind = one.keypoint.partition("_")[2]
        if kind in ("hip", "knee", "ankle", "shoulder"):
            mask = covered[one.view, one.moment]
            assert mask.shape == (500, 250)
            # Half a pixel of the film for each of the picture.
            row, column = int(0.5 * (one.fitted_y_px - 199.5)), int(0.5 * (one.fitted_x_px - 99.5))
            assert mask[row, column], one
    for mask in covered.values():
        assert 0.03 < mask.mean() < 0.4
    swing = fitted_outline.fitted_swing(found)
    for view in VIEWS:
        camera = fitted_outline.fitted_camera(found, view)
        crown = camera.project(swing.skeleton.joints["vertex"])[:, 1]
        for k, moment in enumerate(fitted_outline.MOMENTS):
            highest = 199.5 + 2.0 * np.flatnonzero(covered[view, moment].any(axis=1))[0]
            # Hair and turned-up shoulders reach a little higher.
            assert -0.06 < (crown[k] - highest) / (report.body.stature_cm / 100.0 * camera.K[0, 0] / 3.5) < 0.1
    mirrored = fitted_outline.outlines(
        read(filmed, mirrored=True), dict.fromkeys(VIEWS, (119.5, 199.5, 500.0, 1000.0)), 500
    )
    for key, mask in mirrored.items():
        # 720 pixels less 120 and 500 leave the 100 that are left of the box of the right-hander.
        assert np.mean(mask[:, ::-1] != covered[key]) < 0.003


def test_the_page_holds_the_pictures_and_says_whose_they_are(report, pictures, found):
    page = read_page(report, pictures)
    assert page.count('<image href="data:image/jpeg') == page.count('<image href="data:image/png') == 4
    assert "this page shows a person" in page
    bare = read_page(report, panel_pictures(found, report, {}))
    assert "data:image/jpeg" not in bare and bare.count('<image href="data:image/png') == 4
    assert "no picture of anybody is in this page" in bare
    for one in report.keypoints:
        if one.seen_x_px is not None:
            assert f'cx="{one.seen_x_px:.1f}" cy="{one.seen_y_px:.1f}"' in page
    assert page.count('class="seen far"') == sum((one.off_sd or 0.0) >= 2.0 for one in report.keypoints)
    rows = re.findall(r'<th scope="row">left knee</th>(.*?)</tr>', page, re.S)
    told = [one.off_sd for one in report.keypoints if one.keypoint == "left_knee"]
    assert [float(cell) for cell in re.findall(r"<td>([\d.]+)</td>", rows[0])] == pytest.approx(told, abs=0.051)


def test_the_faces_path_is_its_keypoints_middle(filmed, report):
    track = filmed.face_on[0]
    path = np.array(report.face_paths["face_on"])
    own = report.moments["face_on"]
    assert len(path) == round(own.top_frame) - own.address_window[1] + 1
    face = [KEYPOINTS.index(name) for name in FITTED[:FACE]]
    raw = track.places[int(own.address_window[1]) : round(own.top_frame) + 1, face].mean(axis=1)
    assert np.linalg.norm(path - raw, axis=1).max() < 0.1 * track.torso
    gone = track.replace(np.where(np.isin(np.arange(17), face)[None, :, None], np.nan, track.places))
    assert face_path.face_path(gone, 0, 50).shape == (0, 2)
