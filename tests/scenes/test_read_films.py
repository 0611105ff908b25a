"""``turnstill read`` given films: a stand-in for the detector says what is in them; what it saw is kept beside them."""

import base64
import io
import json
import re
import shutil
from pathlib import Path

import film_judge
import filmed_files
import filmed_swings
import numpy as np
import pytest
import stand_in_detector
from PIL import Image
from read_by_command import RUNNER, read, refused, save, stature

from turnstill.model.films.detector_noise import KNOWN
from turnstill.model.films.film_moments import VIEWS
from turnstill.model.films.tracks import Track
from turnstill.scenes.cli import app
from turnstill.scenes.detector import environment
from turnstill.scenes.read.face_track import with_face
from turnstill.scenes.read.given import Given
from turnstill.scenes.read.tracks_file import Picture, read_made

WIDTH, HEIGHT = 72, 128
BRIGHTNESS = {"face_on": 60, "down_the_line": 180}


def small(track):
    """A track of a film a tenth as large."""
    places = (track.places + 0.5) / 10.0 - 0.5
    return Track(places, track.confidence, WIDTH, HEIGHT, track.fps)


def film_of(track, view, path):
    pictures = [np.full((HEIGHT, WIDTH, 3), BRIGHTNESS[view], np.uint8)] * track.frames
    return str(filmed_files.write(path, pictures, track.seconds))


@pytest.fixture(scope="module")
def filmed():
    return film_judge.filmed(1, 6, filmed_swings.Conditions(), 900)


@pytest.fixture(scope="module")
def tracks(filmed):
    return {view: small(getattr(filmed, view)[0]) for view in VIEWS}


@pytest.fixture
def detector(tracks, tmp_path, monkeypatch):
    folder = stand_in_detector.install(tmp_path / "detector")
    monkeypatch.setenv("TURNSTILL_DETECTOR", folder)
    tell(folder, tracks)
    return folder


def tell(folder, tracks, **more):
    films = {
        view: {"brightness": BRIGHTNESS[view], "answers": stand_in_detector.answers(track, **more)}
        for view, track in tracks.items()
    }
    stand_in_detector.tell(folder, films)


@pytest.fixture(scope="module")
def made(tracks, tmp_path_factory):
    folder = tmp_path_factory.mktemp("films")
    return [film_of(tracks[view], view, folder / f"{view}.mp4") for view in VIEWS]


@pytest.fixture
def films(made, tmp_path):
    """Their own for each test, which keeps tracks beside them."""
    return [str(shutil.copy(film, tmp_path)) for film in made]


def test_films_say_what_their_tracks_say_and_are_looked_at_once(filmed, tracks, films, detector, tmp_path):
    tall = "--stature-cm", stature(filmed, 0), "--json", "-"
    first = json.loads(read(*films, *tall))
    assert stand_in_detector.asked(detector) == 2
    by_track = json.loads(read(*(save(tracks[view], tmp_path / f"{view}.csv") for view in VIEWS), *tall))
    for mine, theirs in zip(first["readings"], by_track["readings"], strict=True):
        assert mine["value"] == pytest.approx(theirs["value"], abs=0.1)
    for view in VIEWS:
        assert first["moments"][view]["fps"] == pytest.approx(tracks[view].fps, rel=1e-3)
        assert first["moments"][view]["top_frame"] == pytest.approx(by_track["moments"][view]["top_frame"], abs=0.1)
        kept, maker = read_made(f"{tmp_path / view}.mp4.track.csv", Picture())
        assert (maker.detector, maker.face, maker.view) == (f"stand-in-1/{environment.WAY}", "pose_net", view)
        seen = tracks[view].seen & (tracks[view].confidence > 0)
        np.testing.assert_allclose(kept.places[seen], tracks[view].places[seen], atol=6e-4)
        assert (kept.seen == seen).all()
    # The second time only what was kept is read, though nobody could look any more.
    (Path(detector) / "told.json").unlink()
    again = json.loads(read(*films, *tall))
    assert stand_in_detector.asked(detector) == 2
    for mine, theirs in zip(again["readings"], first["readings"], strict=True):
        assert mine["value"] == pytest.approx(theirs["value"], abs=0.05)


def looked_at(films, cache=True):
    """As the command has films made into tracks."""
    Given(dict(zip(VIEWS, films, strict=False)), Picture(), None, cache).tracks()


def test_what_was_kept_is_of_this_film_this_view_and_this_detector(films, detector, monkeypatch):
    def times():
        looked_at(films)
        return stand_in_detector.asked(detector)

    monkeypatch.setattr(environment, "default_folder", lambda: Path(detector))
    assert times() == times() == 2
    films.reverse()
    assert times() == 4
    films.reverse()
    assert times() == 6
    stand_in_detector.install(Path(detector), "stand-in 2")
    assert times() == 8
    with Path(films[0]).open("ab") as film:
        film.write(b"\0" * 8)
    assert times() == times() == 9


def test_nothing_is_kept_where_it_is_not_to_be(films, detector, tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(environment, "default_folder", lambda: Path(detector))
    for asked in (2, 4):
        looked_at(films, cache=False)
        assert stand_in_detector.asked(detector) == asked
    assert not list(tmp_path.glob("*.csv"))
    # Somebody's own file, or a place where nothing can be written, is left as it is and told.
    mine = tmp_path / "face_on.mp4.track.csv"
    mine.write_text("my notes\n")
    (tmp_path / "down_the_line.mp4.track.csv").mkdir()
    looked_at(films)
    told = capsys.readouterr().err
    assert told.count("left as it is") == told.count("turnstill:") == 2
    assert mine.read_text() == "my notes\n"


BEFORE, RATE = 10.0, 30.0
"""s that the golfer of a long film stands before he swings, and frames a second."""


@pytest.fixture(scope="module")
def long_track():
    """A golfer who stands, and then swings."""
    short = small(film_judge.filmed(1, 1, filmed_swings.Conditions(fps=(RATE,)), 903).face_on[0])
    still = round(BEFORE * RATE)
    stood = [np.concatenate([one[:1].repeat(still, axis=0), one]) for one in (short.places, short.confidence)]
    return Track(*stood, WIDTH, HEIGHT, RATE)


@pytest.fixture(scope="module")
def long_film(long_track, tmp_path_factory):
    grey = np.full((HEIGHT, WIDTH, 3), BRIGHTNESS["face_on"], np.uint8)
    pictures = (stand_in_detector.numbered(grey, k) for k in range(long_track.frames))
    return str(filmed_files.write(tmp_path_factory.mktemp("long") / "face_on.mp4", pictures, long_track.seconds))


@pytest.fixture
def long(long_track, long_film, detector, tmp_path):
    """Its own for each test, which keeps a track beside it."""
    tell_numbered(detector, long_track)
    return str(shutil.copy(long_film, tmp_path))


def tell_numbered(folder, track):
    answers = {"answers": stand_in_detector.answers(track), "numbered": True}
    stand_in_detector.tell(folder, {"face_on": {"brightness": BRIGHTNESS["face_on"], **answers}})


def test_a_long_film_is_looked_at_closely_about_its_swing_alone(long_track, long, detector, tmp_path):
    # Until a while before the swing there is somebody else: that had a film refused as a whole.
    others = long_track.places.copy()
    others[: round(5.0 * RATE)] += 40.0
    tell_numbered(detector, long_track.replace(others))
    assert "from one person to another" in refused(save(long_track.replace(others), tmp_path / "others.csv"))
    done = RUNNER.invoke(app, ["read", long, "--json", "-"])
    whole = json.loads(read(save(long_track, tmp_path / "whole.csv"), "--json", "-"))
    mine, theirs = (told["moments"]["face_on"] for told in (json.loads(done.stdout), whole))
    # The same frames of the film, whichever of them was looked at.
    for name in ("address_frame", "top_frame"):
        assert mine[name] == pytest.approx(theirs[name], abs=0.05)
    for one, other in zip(json.loads(done.stdout)["readings"], whole["readings"], strict=True):
        assert one["value"] == pytest.approx(other["value"], abs=0.1)
    kept, _ = read_made(f"{long}.track.csv", Picture())
    first, last = kept.first_frame, kept.first_frame + kept.frames - 1
    assert 5.0 * RATE < first < mine["address_window"][0] and kept.frames < 5.5 * RATE
    told = " ".join(done.stderr.split())
    assert f"is {long_track.seconds[-1]:.0f} s long: from {first / RATE:.1f} to {last / RATE:.1f} s" in told
    # It was opened twice, to look for the swing and to look closely; the next time only what was kept is read.
    assert stand_in_detector.asked(detector) == 2
    Given({"face_on": long}, Picture(), detector, True).tracks()
    assert stand_in_detector.asked(detector) == 2


def test_a_long_film_whose_frames_somebody_set_is_looked_at_about_those(long_track, long, detector):
    def frames_of(address, top):
        track = Given({"face_on": long}, Picture(), detector, True, {"face_on": (address, top)}).tracks()[0]["face_on"]
        return track.first_frame, track.first_frame + track.frames - 1, stand_in_detector.asked(detector)

    first, last, asked = frames_of(None, 100.0)
    assert first == pytest.approx(100.0 - 3.15 * RATE, abs=1) and 100 < last < 100 + 3 * RATE and asked == 1
    # What was kept of it does not do for a frame elsewhere, and does for one in it.
    first, last, asked = frames_of(200.0, None)
    assert 150 < first < 200 < last and asked == 2
    assert frames_of(210.0, 220.0) == (first, last, 2)
    # Frames that no film has are refused as ever.
    assert "but the film has frames" in refused(long, "--face-on-frames", "5000,6000")


def test_a_long_film_in_which_nobody_swings_says_what_else_it_may_be(long_track, long, detector):
    still = long_track.replace(long_track.places[:1].repeat(long_track.frames, axis=0))
    tell_numbered(detector, still)
    assert "come down as fast as in a swing; if it is in slow motion, say with --fps" in refused(long)
    assert stand_in_detector.asked(detector) == 1


def test_films_in_the_wrong_order_are_refused(films, detector):
    assert "looks like one from down the line" in refused(*films[::-1])


def test_a_film_needs_a_detector_and_says_how_to_make_one(films, tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.delenv("TURNSTILL_DETECTOR", raising=False)
    assert "turnstill detector make, once" in refused(*films)
    # A short path: a sentence that is too long loses its middle.
    monkeypatch.chdir(tmp_path)
    assert "turnstill detector make --at none" in refused("face_on.mp4", "down_the_line.mp4", "--detector", "none")


def test_films_of_nobody_of_two_or_of_half_a_swing_are_refused(tracks, films, detector):
    nobody = tracks["face_on"].places.copy()
    nobody[20:] = np.nan
    tell(detector, {**tracks, "face_on": tracks["face_on"].replace(nobody)})
    assert "shows a person in" in refused(*films, "--no-cache")
    tell(detector, tracks, other=0.9)
    assert "two persons" in refused(*films, "--no-cache")
    tell(detector, tracks, other=0.3)  # Somebody far behind is no trouble.
    read(*films, "--no-cache")


@pytest.mark.parametrize(("way", "words"), [("dies_at", "ended (a net was lost)"), ("mumbles_at", "cannot be read")])
def test_a_detector_that_fails_is_told(tracks, films, detector, way, words):
    told = json.loads((Path(detector) / "told.json").read_text())
    told["down_the_line"][way] = 11
    stand_in_detector.tell(detector, told)
    assert words in refused(*films)


def test_the_rate_that_somebody_says_stands_over_the_films(tracks, films, detector, tmp_path):
    fps = tracks["face_on"].fps
    slow = film_of(Track(*_of(tracks["face_on"]), WIDTH, HEIGHT, fps / 8.0), "face_on", tmp_path / "slow.mp4")
    assert "frames a second" in refused(slow)
    found = json.loads(read(slow, "--fps", f"{fps:g}", "--json", "-"))
    assert found["moments"]["face_on"]["fps"] == fps


def _of(track):
    return track.places, track.confidence


def test_a_face_detectors_face_is_taken_all_or_none(tracks, detector, films, tmp_path):
    track = tracks["face_on"]
    moved = track.replace(track.places + 1.0)
    face, sure = moved.places[:, :5], np.full((track.frames, 5), 0.9)
    taken, by = with_face(track, "face_on", face, sure)
    assert by == "face_detector"
    np.testing.assert_array_equal(taken.places[:, :5], face)
    np.testing.assert_array_equal(taken.places[:, 5:], track.places[:, 5:])
    # Not seen at the top, it is not taken at address either: one after the other would be a head that moves.
    half = face.copy()
    half[track.frames // 3 :] = np.nan
    left, by = with_face(track, "face_on", half, sure)
    assert by == "pose_net" and left is track
    tell(detector, tracks, face=True)
    read(films[0])
    assert read_made(f"{films[0]}.track.csv", Picture())[1].face == "face_detector"


def test_a_known_detector_is_trusted_as_it_was_measured(filmed, tracks, films, detector):
    stand_in_detector.install(Path(detector), f"{next(iter(KNOWN))} 1.0")
    tall = "--stature-cm", stature(filmed, 0), "--json", "-"
    by_pose = RUNNER.invoke(app, ["read", films[0], *tall])
    assert "The face was not seen well enough in face_on.mp4" in " ".join(by_pose.stderr.split())
    by_pose = json.loads(by_pose.stdout)
    tell(detector, tracks, face=True)
    by_face = json.loads(read(films[0], *tall, "--no-cache"))
    # How far the head rose is told less surely where a pose net had the face, which drags it along.
    pose, face = ({one["reading"]: one["sd"] for one in told["readings"]} for told in (by_pose, by_face))
    assert pose["head_up"] > 1.2 * face["head_up"]


@pytest.mark.parametrize("rate", [None, 2.0])
def test_the_page_shows_the_films_own_pictures_of_address_and_of_the_top(filmed, tracks, detector, tmp_path, rate):
    """Pictures that grow brighter from frame to frame say which was taken, also where the file's times are not true."""
    names = []
    for view, track in tracks.items():
        grey = BRIGHTNESS[view] + 0.4 * np.arange(track.frames)
        pictures = [np.full((HEIGHT, WIDTH, 3), round(one), np.uint8) for one in grey]
        # A film that plays half as fast as it was filmed.
        seconds = track.seconds if rate is None else rate * track.seconds
        names.append(str(filmed_files.write(tmp_path / f"{view}.mp4", pictures, seconds)))
    fps = [] if rate is None else ["--fps", f"{tracks['face_on'].fps:g}"]
    views = VIEWS if rate is None else VIEWS[:1]
    out = tmp_path / "out"
    read(*names[: len(views)], *fps, "--stature-cm", stature(filmed, 0), "--no-cache", "--out", str(out))
    found = json.loads((out / "read.json").read_text())
    shown = re.findall(r'<image href="data:image/jpeg;base64,([^"]*)"', (out / "index.html").read_text())
    assert len(shown) == 2 * len(views)
    for k, view in enumerate(views):
        own = found["moments"][view]
        for moment, data in zip(("address", "top"), shown[2 * k : 2 * k + 2], strict=True):
            frame = np.mean(own["address_window"]) if moment == "address" else own["top_frame"]
            grey = np.asarray(Image.open(io.BytesIO(base64.b64decode(data))).convert("L"), float).mean()
            assert (grey - BRIGHTNESS[view]) / 0.4 == pytest.approx(frame, abs=6.0)
