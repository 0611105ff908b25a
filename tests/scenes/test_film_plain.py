"""``turnstill film --plain``: what a phone would film, from places and in a tempo that a seed draws."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import av
import numpy as np
import pytest
from refusals import refused_by
from typer.testing import CliRunner

from turnstill.model.films import phone_camera
from turnstill.model.films.tracks import EXCHANGED, KEYPOINTS
from turnstill.model.golfer.impact import LEVEL_PAST
from turnstill.scenes.cli import app
from turnstill.scenes.film import plain, plain_phone, plain_tempo
from turnstill.scenes.film.plain_tempo import Tempo
from turnstill.scenes.read.tracks_file import Picture, read_track
from turnstill.scenes.setups.perform import swing_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.views.names import DOWN_THE_LINE, FACE_ON, VIEWS

RUNNER = CliRunner()
refused = partial(refused_by, "film")
SMALL = ("--plain", "--size", "180x320", "--fps", "30", "--tracks", "--out")
RIGHT, LEFT = (swing_of(apply(load("sway"), words), 9, through_impact=True) for words in ([], ["handedness=left"]))


def filmed(folder: Path, *arguments: str) -> str:
    result = RUNNER.invoke(app, ["film", "sway", *SMALL, str(folder / "a.mp4"), *arguments])
    assert result.exit_code == 0, result.output
    return result.stdout


@pytest.fixture(scope="module")
def films(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    folder = tmp_path_factory.mktemp("plain")
    return folder, filmed(folder, "--seed", "4")


def pictures(path: Path) -> list[np.ndarray]:
    with av.open(str(path)) as film:
        assert film.streams.video[0].average_rate == 30
        return [frame.to_ndarray(format="rgb24").astype(int) for frame in film.decode(video=0)]


def test_there_is_a_film_a_view_and_its_keypoints(films: tuple[Path, str]) -> None:
    folder, said = films
    assert {file.name for file in folder.iterdir()} == {f"a-{view}{end}" for view in VIEWS for end in (".mp4", ".csv")}
    assert "club is level past the ball" in said
    tempo = Tempo.drawn(np.random.default_rng([4, 0]), 30.0)
    for view in VIEWS:
        film = pictures(folder / f"a-{view}.mp4")
        assert film[0].shape == (320, 180, 3) and len(film) == len(tempo.progress())
        assert f"the top is at frame {tempo.top:.1f}" in said
        # Nothing but the golfer moves, and at address not even that.
        still = [np.abs(film[0] - film[k]).max() for k in range(int(tempo.takeaway))]
        assert max(still) < 40
        top = np.abs(film[0] - film[round(tempo.top)]).max(axis=-1) > 60
        assert 0.002 < top.mean() < 0.2
        assert np.abs(film[-1] - film[-5]).max() < 40  # At rest again.


def test_the_keypoints_are_where_the_picture_shows_the_golfer(films: tuple[Path, str]) -> None:
    folder, _ = films
    for view in VIEWS:
        film, track = pictures(folder / f"a-{view}.mp4"), read_track(str(folder / f"a-{view}.csv"), Picture())
        assert (track.width, track.height, track.fps, track.frames) == (180, 320, 30.0, len(film))
        assert track.seen.all()

        def colour(frame: int, *names: str, film: list = film, track=track) -> np.ndarray:
            x, y = np.mean([track.places[frame, KEYPOINTS.index(name)] for name in names], axis=0)
            return film[frame][round(y) - 1 : round(y) + 2, round(x) - 1 : round(x) + 2].mean(axis=(0, 1))

        for frame in (0, int(np.argmin(track.of("left_wrist")[:, 1])), track.frames - 1):
            shirt = colour(frame, "left_shoulder", "right_shoulder", "left_hip", "right_hip")
            assert shirt[2] > shirt[0] + 40  # Blue.
            red, green, blue = colour(frame, "nose", "left_ear", "right_ear")
            assert red > green + 10 and red > blue + 20  # Skin or hair.
            legs = colour(frame, "left_knee" if view == FACE_ON else "right_knee")
            assert np.abs(legs - np.median(legs)).max() < 30 and legs.max() < 130  # Grey trousers.


def test_a_seed_gives_the_same_film_again_and_a_view_is_the_same_alone(films: tuple[Path, str], tmp_path: Path) -> None:
    folder, _ = films
    filmed(tmp_path, "--seed", "4", "--views", DOWN_THE_LINE)
    assert {file.name for file in tmp_path.iterdir()} == {"a.mp4", "a.csv"}
    for end in (".mp4", ".csv"):
        assert (tmp_path / f"a{end}").read_bytes() == (folder / f"a-{DOWN_THE_LINE}{end}").read_bytes()


def test_phones_stand_where_they_may_and_hold_the_whole_golfer() -> None:
    drawn = {view: [] for view in VIEWS}
    for seed in range(40):
        for view in VIEWS:
            phone = plain_phone.drawn_phone(np.random.default_rng(seed), RIGHT, view, (720, 1280))
            drawn[view].append((phone.distance_m, phone.height_m, phone.off_square_deg))
            at = phone.camera.position
            assert at[2] == pytest.approx(phone.height_m) and np.hypot(*at[:2]) == pytest.approx(phone.distance_m)
            square = np.degrees(np.arctan2(at[1], at[0]) if view == FACE_ON else np.arctan2(at[0], -at[1]))
            assert square == pytest.approx(phone.off_square_deg)
            for name in ("vertex", "toe_lead", "heel_trail", "wrist_lead", "elbow_trail"):
                seen = phone.camera.project(RIGHT.skeleton.joints[name])
                assert (seen > 0).all() and (seen < [719, 1279]).all()
            level = phone.camera.R[0, 2]
            assert abs(np.degrees(np.arcsin(level))) <= plain_phone.ROLL_DEG + 1e-9
            assert abs(np.degrees(np.arcsin(phone.camera.R[2, 2]))) <= plain_phone.PITCH_DEG + 1e-9
    for rows in drawn.values():
        low, high = np.min(rows, axis=0), np.max(rows, axis=0)
        assert (low >= [2.5, 0.8, -6.0]).all() and (high <= [5.0, 1.6, 6.0]).all()
        assert (high - low > [1.5, 0.5, 8.0]).all()


@pytest.mark.parametrize("view", VIEWS)
def test_a_left_hander_is_filmed_as_the_mirror_image(view: str) -> None:
    right, left = (
        plain_phone.drawn_phone(np.random.default_rng(3), swing, view, (720, 1280)) for swing in (RIGHT, LEFT)
    )
    assert np.linalg.det(left.camera.R) == pytest.approx(1.0)
    for name in ("head", "wrist_lead", "ankle_trail"):
        here, there = (p.camera.project(s.skeleton.joints[name]) for p, s in ((right, RIGHT), (left, LEFT)))
        np.testing.assert_allclose(there, np.stack([719.0 - here[..., 0], here[..., 1]], axis=-1), atol=1e-6)


def test_a_left_handers_left_is_the_golfers_own(tmp_path: Path) -> None:
    filmed(tmp_path, "--seed", "4", "--left-handed", "--views", FACE_ON)
    left = read_track(str(tmp_path / "a.csv"), Picture())
    # Face-on a golfer's left lies at the picture's right, whichever hand leads.
    assert (left.of("left_hip")[:, 0] > left.of("right_hip")[:, 0]).all()
    assert left.of("left_wrist")[:, 0].max() > left.of("left_wrist")[0, 0] + 20  # Back is to the right.
    assert EXCHANGED[KEYPOINTS.index("left_hip")] == KEYPOINTS.index("right_hip")


def test_numbers_of_a_phone_come_back() -> None:
    plain = {"focal": 0.75, "distance": 3.1, "azimuth": 0.05, "height": 1.3, "pan": -0.1, "pitch": 0.02, "roll": 0.01}
    told = phone_camera.told(phone_camera.counted(plain))
    assert {name: float(value) for name, value in told.items()} == pytest.approx(plain)


def test_a_tempo_stands_still_goes_back_and_comes_down_fast() -> None:
    for seed in range(20):
        tempo = Tempo.drawn(np.random.default_rng(seed), 60.0)
        progress = tempo.progress()
        takeaway, top = int(np.floor(tempo.takeaway)), int(np.floor(tempo.top))
        assert (progress[: takeaway + 1] == 0.0).all() and progress[takeaway + 2] > 0.0
        assert progress[top] <= 1.0 < progress[top + 1]
        impact = np.interp(2.0, progress[top:], np.arange(top, len(progress)))
        assert (impact - tempo.top) / 60.0 == pytest.approx(tempo.down_s, abs=0.5 / 60.0)
        steps = np.diff(progress)
        assert (steps >= 0.0).all() and (progress[-15:] == 3.0).all()
        # In parts of the way back, as fast on past the ball as to it, and slower from there.
        room = LEVEL_PAST - 1.0
        assert steps[int(impact) + 1] * room == pytest.approx(steps[int(impact) - 2], rel=0.3)
        assert 0.6 <= tempo.still_s <= 1.2 and 0.75 <= tempo.back_s <= 1.1 and 0.24 <= tempo.down_s <= 0.34
        moments = np.array([0.0, 0.4, 1.0, 1.7, 2.0, 3.0])
        nearest = np.abs(progress[:, None] - moments).min(axis=1)
        assert np.abs(moments[tempo.moments(moments)] - progress) == pytest.approx(nearest)


def test_the_guides_numbers_are_the_codes() -> None:
    text = " ".join((Path(__file__).parents[2] / "docs" / "film.md").read_text(encoding="utf-8").split())
    (near, far), (low, high), (short, long_) = plain_phone.DISTANCE_M, plain_phone.HEIGHT_M, plain_phone.FOCAL
    for words in (
        f"{near:g} to {far:g} m away, {low:g} to {high:g} m high, up to {plain_phone.YAW_DEG:g}° off square, "
        f"{plain_phone.PITCH_DEG:g}° up or down, {plain_phone.ROLL_DEG:g}° turned, a lens of {short:g} to {long_:g} of",
        "a still address of {:g} to {:g} s".format(*plain_tempo.STILL_S),
        "a backswing of {:g} to {:g} s".format(*plain_tempo.BACK_S),
        "and {:g} to {:g} s from the top to the ball".format(*plain_tempo.DOWN_S),
        "{}x{} pixels and {:g} frames a second".format(*plain.SIZE, plain.FPS),
    ):
        assert words in text, words


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("sway", "centred", "--plain"), "A plain film is of one swing, but 2 were given"),
        (("sway", "--plain", "--views", "above"), "leave above out"),
        (("sway", "--plain", "--out", "a.gif"), "A plain film is an .mp4"),
        (("sway", "--plain", "--seconds", "3"), "--seconds is for films that loop"),
        (("sway", "--plain", "--seed", "-1"), "--seed was -1"),
        (("sway", "--plain", "--fps", "10"), "--fps was 10"),
        (("sway", "--plain", "--fps", "nan"), "--fps was nan"),
        (("sway", "--plain", "--size", "3840x160"), "no phone 2.5 to 5 m away has the whole golfer"),
        (("sway", "--seed", "1"), "give --plain as well"),
        (("sway", "--tracks"), "give --plain as well"),
        (("sway", "--fps", "30"), "give --plain as well"),
    ],
)
def test_mistakes_end_in_a_sentence_and_leave_nothing(
    arguments: tuple[str, ...], words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert words in refused(*arguments)
    assert not list(tmp_path.iterdir())


def test_no_film_is_left_where_one_cannot_be_put(tmp_path: Path) -> None:
    (tmp_path / f"a-{DOWN_THE_LINE}.csv").mkdir()
    assert "is a folder" in refused("sway", *SMALL, str(tmp_path / "a.mp4"))
    assert [file.name for file in tmp_path.iterdir()] == [f"a-{DOWN_THE_LINE}.csv"]
