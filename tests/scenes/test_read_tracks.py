"""Tracks from files: the CSV as it is said, COCO results, arrays; and one sentence for whatever is none."""

import json

import numpy as np
import pytest

from turnstill.model.errors import TurnstillError
from turnstill.model.films.tracks import KEYPOINTS, OF_THIRTY_THREE
from turnstill.scenes.read.tracks_file import Picture, read_track

FIRST, SECOND = "# width=720 height=1280 fps=60", "frame,keypoint,x,y,confidence"
RNG = np.random.default_rng(31)
PLACES = RNG.uniform(0.0, 700.0, (12, 17, 2)).round(2)
CONFIDENCE = RNG.uniform(0.1, 1.0, (12, 17)).round(2)


def rows(frames=range(12), first=0):
    return [
        f"{frame + first},{name},{PLACES[frame, k, 0]},{PLACES[frame, k, 1]},{CONFIDENCE[frame, k]}"
        for frame in frames
        for k, name in enumerate(KEYPOINTS)
    ]


def written(folder, name, text):
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return str(path)


def table(folder, lines, first=FIRST, second=SECOND):
    return written(folder, "track.csv", "\n".join([first, second, *lines]) + "\n")


def same(track):
    np.testing.assert_allclose(track.places, PLACES)
    np.testing.assert_allclose(track.confidence, CONFIDENCE)
    assert (track.width, track.height, track.fps) == (720, 1280, 60.0)


def test_a_csv_is_read(tmp_path):
    same(read_track(table(tmp_path, rows()), Picture()))
    # Rows in any order, a byte-order mark, blank lines, and frames counted from 100.
    lines = rows(first=100)[::-1]
    track = read_track(table(tmp_path, ["", *lines, ""], "\ufeff" + FIRST), Picture())
    same(track)
    assert track.first_frame == 100


def test_what_is_not_there_is_missing(tmp_path):
    lines = rows()
    lines[3 * 17 + 5] = f"3,{KEYPOINTS[5]},nan,nan,0"
    del lines[5 * 17 + 2]
    track = read_track(table(tmp_path, lines), Picture())
    assert set(zip(*np.nonzero(~track.seen), strict=True)) == {(3, 5), (5, 2)}


def test_frames_a_second_that_somebody_says_stand_over_the_file(tmp_path):
    assert read_track(table(tmp_path, rows()), Picture(fps=30.0)).fps == 30.0


def results(count=17):
    out = []
    for frame in range(12):
        numbers = np.zeros((count, 3))
        order = range(17) if count == 17 else [OF_THIRTY_THREE[name] for name in KEYPOINTS]
        numbers[list(order)] = np.column_stack([PLACES[frame], CONFIDENCE[frame]])
        out.append({"image_id": frame, "category_id": 1, "keypoints": numbers.reshape(-1).tolist(), "score": 0.9})
    return out


@pytest.mark.parametrize("count", [17, 33])
def test_coco_results_are_read(tmp_path, count):
    same(read_track(written(tmp_path, "a.json", json.dumps(results(count))), Picture(720, 1280, 60.0)))
    whole = {"width": 720, "height": 1280, "fps": 60, "results": results(count)}
    same(read_track(written(tmp_path, "b.json", json.dumps(whole)), Picture()))


@pytest.mark.parametrize("count", [17, 33])
def test_arrays_are_read(tmp_path, count):
    keypoints = np.zeros((12, count, 3))
    order = list(range(17)) if count == 17 else [OF_THIRTY_THREE[name] for name in KEYPOINTS]
    keypoints[:, order] = np.concatenate([PLACES, CONFIDENCE[..., None]], axis=-1)
    np.savez(tmp_path / "a.npz", keypoints=keypoints, width=720, height=1280, fps=60.0)
    same(read_track(str(tmp_path / "a.npz"), Picture()))


@pytest.mark.parametrize(
    ("lines", "first", "second", "told"),
    [
        (rows(), "frame,keypoint", SECOND, "must begin with a line such as # width=720"),
        (rows(), "# width=720 height=1280", SECOND, "does not say the film's fps"),
        (rows(), "# width=720 height=1280 fps=fast", SECOND, "fps was .fast."),
        (rows(), "# width=720 height=1280 fps=nan", SECOND, "must be a number"),
        (rows(), "# width=720 height=1280 fps=5", SECOND, "fps was 5"),
        (rows(), FIRST, "a,b,c", "second line"),
        ([*rows(), rows()[4]], FIRST, SECOND, "there twice"),
        ([*rows(), "3,left_toe,1,2,1"], FIRST, SECOND, "no keypoint .left_toe."),
        ([*rows(), "3,nose,1"], FIRST, SECOND, "there are 3 values"),
        ([*rows(), "3.5,nose,1,2,1"], FIRST, SECOND, "whole number"),
        ([*rows(), "9999999,nose,1,2,1"], FIRST, SECOND, "at most 100000"),
        ([], FIRST, SECOND, "no person"),
        (rows(range(3)), FIRST, SECOND, "3 frames"),
        ([*rows()[1:], "0,nose,1,2,7"], FIRST, SECOND, "outside 0 to 1"),
        ([*rows()[1:], "0,nose,inf,2,1"], FIRST, SECOND, None),
    ],
)
def test_a_csv_that_is_none_is_refused_in_a_sentence(tmp_path, lines, first, second, told):
    name = table(tmp_path, lines, first, second)
    if told is None:
        assert not read_track(name, Picture()).seen[0, 0]  # An infinite place was not seen.
        return
    with pytest.raises(TurnstillError, match=told) as wrong:
        read_track(name, Picture())
    assert "track.csv" in str(wrong.value)
    assert "\n" not in str(wrong.value)


@pytest.mark.parametrize(
    ("name", "content", "told"),
    [
        ("a.json", "{", "no JSON"),
        ("a.json", "[" * 100_000, "no JSON"),
        ("a.json", "5", "list of COCO results"),
        ("a.json", "[{}]", "image_id"),
        ("a.json", json.dumps(results() + results()[:1]), "two persons"),
        ("a.json", json.dumps([{"image_id": 1, "keypoints": [1, 2]}]), "51 or 99"),
        ("a.json", json.dumps([{"image_id": 1, "keypoints": ["x"] * 51}]), "numbers"),
        ("a.npz", "no archive", "holds no arrays"),
    ],
)
def test_other_files_that_are_none_are_refused(tmp_path, name, content, told):
    with pytest.raises(TurnstillError, match=told):
        read_track(written(tmp_path, name, content), Picture(720, 1280, 60.0))


def test_no_file_a_folder_and_no_text(tmp_path):
    with pytest.raises(TurnstillError, match="There is no file"):
        read_track(str(tmp_path / "none.csv"), Picture())
    with pytest.raises(TurnstillError, match="folder"):
        read_track(str(tmp_path), Picture())
    (tmp_path / "film.csv").write_bytes(bytes(range(256)))
    with pytest.raises(TurnstillError, match="no text"):
        read_track(str(tmp_path / "film.csv"), Picture())
