"""``turnstill read``: films of known swings as a person has them, in files; and films that are of something else."""

import json
import re

import film_judge
import filmed_swings
import numpy as np
import pytest
from read_by_command import RUNNER, read, refused, save, stature

from turnstill.model.films.tracks import KEYPOINTS, Track
from turnstill.model.golfer.pieces import DEPARTURES
from turnstill.scenes.cli import app


@pytest.fixture(scope="module")
def filmed():
    return film_judge.filmed(1, 6, filmed_swings.Conditions(), 900)


@pytest.fixture(scope="module")
def files(filmed, tmp_path_factory):
    folder = tmp_path_factory.mktemp("films")
    return {
        (view, k): save(getattr(filmed, view)[k], folder / f"{view}{k}.csv", 7)
        for view in ("face_on", "down_the_line")
        for k in (0, 4)
    }


@pytest.fixture(scope="module")
def both(filmed, files):
    text = read(files["face_on", 0], files["down_the_line", 0], "--stature-cm", stature(filmed, 0), "--json", "-")
    return json.loads(text)


def test_both_films_find_the_fault_and_the_moments(filmed, both):
    at_fault = [name for name, yes in zip(DEPARTURES, filmed.faulty.at_fault[0], strict=True) if yes]
    assert [both["largest"]] == at_fault
    assert both["each_piece"][0]["piece"] == at_fault[0]
    for k, view in enumerate(("face_on", "down_the_line")):
        track = getattr(filmed, view)[0]
        assert abs(both["moments"][view]["top_frame"] - 7 - filmed.tops[0, k]) < 0.1 * track.fps
        drawn = filmed.cameras[k]
        assert abs(both["cameras"][view]["off_square_deg"] - np.degrees(drawn["yaw"])) < 6.0
        assert abs(both["cameras"][view]["distance_cm"] / 100.0 / drawn["distance"] - 1.0) < 0.3
    assert both["body"]["handedness"] == "right"
    assert both["handedness_found"]


def test_the_json_has_the_keys_of_a_diagnosis_and_its_own(both):
    result = RUNNER.invoke(app, ["diagnose", "--head-up-cm", "1", "--json", "-"])
    assert set(json.loads(result.stdout)) < set(both)
    for one in both["readings"]:
        assert one["sd"] > 0.0
    assert {one["piece"] for one in both["pieces_fitted"]} == set(DEPARTURES)
    assert {one["reading"] for one in both["readings"]}.isdisjoint(both["not_told"])


def test_readings_are_those_of_the_swing_within_what_is_said(filmed, both):
    names = list(film_judge.READINGS)
    off = [(one["value"] - filmed.faulty.shown[0, names.index(one["reading"])]) / one["sd"] for one in both["readings"]]
    assert len(off) == 13
    assert np.abs(off).max() < 4.0
    assert np.sqrt(np.mean(np.square(off))) < 2.0


def test_a_left_hander_is_the_mirror_image(filmed, both, tmp_path):
    mirrored = [
        save(getattr(filmed, view)[0].mirrored(), tmp_path / f"{view}.csv", 7) for view in ("face_on", "down_the_line")
    ]
    left = json.loads(read(*mirrored, "--stature-cm", stature(filmed, 0), "--json", "-"))
    assert left["body"]["handedness"] == "left"
    for mine, theirs in zip(left["readings"], both["readings"], strict=True):
        assert mine["value"] == pytest.approx(theirs["value"], abs=0.05)
    assert left["cameras"]["face_on"]["roll_deg"] == pytest.approx(-both["cameras"]["face_on"]["roll_deg"], abs=0.05)


@pytest.mark.parametrize(("view", "opens"), [("face_on", "head_toward_ball"), ("down_the_line", "head_toward_target")])
def test_one_film_says_what_it_cannot_tell(filmed, files, view, opens):
    names = [files[view, 0]] if view == "face_on" else ["none", files[view, 0]]
    found = json.loads(read(*names, "--stature-cm", stature(filmed, 0), "--json", "-"))
    assert opens in found["not_told"]
    assert list(found["moments"]) == [view]
    assert any(note.startswith("Only the film") and "cannot tell" in note for note in found["warnings"])


def test_a_face_detector_makes_the_head_surer(filmed, files, both):
    arguments = files["face_on", 0], files["down_the_line", 0], "--stature-cm", stature(filmed, 0), "--json", "-"
    sure = json.loads(read(*arguments, "--face-detector"))
    sds = [{one["reading"]: one["sd"] for one in found["readings"]} for found in (sure, both)]
    assert sds[0]["head_toward_target"] < 0.8 * sds[1]["head_toward_target"]


def test_the_table_has_moments_pieces_and_what_is_open(filmed, files):
    text = read(files["face_on", 0])
    assert re.search(r"face-on +\d+ +\d+\.\d", text)
    assert "trail knee" in text
    assert "Nobody said how tall the golfer is" in " ".join(text.split())
    assert "clinician" in " ".join(text.split())


def test_films_of_something_else_are_refused(filmed, files, tmp_path):
    face, line = files["face_on", 0], files["down_the_line", 0]
    assert "looks like one from down the line" in refused(line, face)
    mirrored = save(filmed.face_on[0].mirrored(), tmp_path / "mirrored.csv")
    assert "one of them is mirrored" in refused(mirrored, line)
    squeezed = filmed.face_on[0].replace(filmed.face_on[0].places * [1.0, 0.6])
    assert "No golfer's backswing" in refused(save(squeezed, tmp_path / "squeezed.csv"), line)
    top = int(filmed.tops[0, 0]) + 2
    part = filmed.face_on[0]
    down = Track(part.places[top:], part.confidence[top:], part.width, part.height, part.fps)
    assert "backswing" in refused(save(down, tmp_path / "down.csv"), line)
    assert "frames a second" in refused(face, line, "--fps", "15")


def test_a_detector_that_takes_left_for_right_throughout_is_put_right(filmed, files, both, tmp_path):
    wrong = filmed.face_on[0].exchanged(np.ones(filmed.face_on[0].frames, dtype=bool))
    name = save(wrong, tmp_path / "names.csv", 7)
    found = json.loads(read(name, files["down_the_line", 0], "--stature-cm", stature(filmed, 0), "--json", "-"))
    assert found["moments"]["face_on"]["exchanged_share"] == 1.0
    assert found["readings"] == both["readings"]
    assert any("100% of the frames face-on" in note for note in found["warnings"])


def test_the_wrong_hand_said_is_refused(files):
    assert "No golfer's backswing" in refused(files["face_on", 0], files["down_the_line", 0], "--left-handed")


def test_what_a_detector_hardly_trusts_is_taken_as_missing(filmed, files, both, tmp_path):
    track = filmed.face_on[0]
    places, confidence = track.places.copy(), track.confidence.copy()
    wild = np.random.default_rng(5).random(track.confidence.shape) < 0.2
    places[wild], confidence[wild] = (10.0, 10.0), 0.05
    name = save(Track(places, confidence, track.width, track.height, track.fps), tmp_path / "wild.csv", 7)
    found = json.loads(read(name, files["down_the_line", 0], "--stature-cm", stature(filmed, 0), "--json", "-"))
    assert found["largest"] == both["largest"]
    assert found["cameras"]["face_on"]["off_by_cm"] < 1.3 * both["cameras"]["face_on"]["off_by_cm"]


def test_options_that_cannot_be_are_refused(files):
    face = files["face_on", 0]
    assert "There is no film to read" in refused("none")
    assert '--sex was "x"' in refused(face, "--sex", "x")
    assert "--stature-cm was 500" in refused(face, "--stature-cm", "500")
    assert '--size was "big"' in refused(face, "--size", "big")
    assert '--face-on-frames was "a,b"' in refused(face, "--face-on-frames", "a,b")
    assert "has frames" in refused(face, "--face-on-frames", ",99999")


def test_the_page_draws_the_fitted_golfer_over_the_keypoints(filmed, files, tmp_path):
    out = tmp_path / "out"
    read(files["face_on", 0], files["down_the_line", 0], "--stature-cm", stature(filmed, 0), "--out", str(out))
    page, found = (out / "index.html").read_text(), json.loads((out / "read.json").read_text())
    assert page.count("<title>The fitted golfer over the keypoints") == 4
    # Of two films, moments and thirteen keypoints, the far eye and ear down the line are hidden.
    dots = re.findall(r'class="seen(?: far)?"', page)
    assert len(dots) == sum(one["seen_x_px"] is not None for one in found["keypoints"]) == 52 - 4
    assert page.count('class="was"') == 2
    for moment in found["moments"].values():
        assert f"the top is at {moment['top_frame']:.1f}" in page
    assert "trail knee" in page and "clinician" in page


def test_keypoints_are_told_where_the_film_has_them(filmed, files, both, tmp_path):
    track, moments = filmed.face_on[0], both["moments"]["face_on"]
    top = round(moments["top_frame"]) - 7
    around = track.places[top - 4 : top + 5]
    for one in both["keypoints"]:
        if one["view"] == "face_on" and one["moment"] == "top":
            here = np.nanmedian(around[:, KEYPOINTS.index(one["keypoint"])], axis=0)
            assert np.hypot(one["seen_x_px"] - here[0], one["seen_y_px"] - here[1]) < 0.05 * track.torso
            assert np.hypot(one["fitted_x_px"] - here[0], one["fitted_y_px"] - here[1]) < 0.25 * track.torso
    # A left-hander's figure stands in the film as it is, not in the mirror that it was fitted in.
    names = [
        save(getattr(filmed, view)[0].mirrored(), tmp_path / f"{view}.csv") for view in ("face_on", "down_the_line")
    ]
    left = json.loads(read(*names, "--stature-cm", stature(filmed, 0), "--json", "-"))
    mirrored = {(one["view"], one["moment"], one["keypoint"]): one for one in left["keypoints"]}
    for one in both["keypoints"]:
        side, _, kind = one["keypoint"].rpartition("_")
        other = f"{'right' if side == 'left' else 'left'}_{kind}" if side else kind
        theirs = mirrored[one["view"], one["moment"], other]
        assert theirs["fitted_x_px"] == pytest.approx(719.0 - one["fitted_x_px"], abs=0.1)
        assert theirs["fitted_y_px"] == pytest.approx(one["fitted_y_px"], abs=0.1)


def test_a_track_is_never_written_over(filmed, tmp_path):
    name = save(filmed.face_on[0], tmp_path / "film.csv")
    before = (tmp_path / "film.csv").read_bytes()
    assert "is what this command reads" in refused(name, "--json", name)
    assert (tmp_path / "film.csv").read_bytes() == before
