"""Films opened as phones make them: upright, at their own times, and one sentence for whatever is none."""

import filmed_files
import numpy as np
import pytest

from turnstill.model.errors import TurnstillError
from turnstill.scenes.read.film_frames import open_film

COUNT = 30
EVEN = np.arange(COUNT) / 30.0


@pytest.fixture(scope="module")
def plain(tmp_path_factory):
    return filmed_files.write(tmp_path_factory.mktemp("films") / "film.mp4", filmed_files.numbered(COUNT), EVEN)


def red_corner(picture):
    """Where the red corner lies: left or right, top or bottom."""
    rows, columns = np.nonzero((picture[..., 0] > 170) & (picture[..., 1] < 90))
    height, width = picture.shape[:2]
    return columns.mean() > width / 2, rows.mean() > height / 2


def number_of(picture):
    return round((float(picture[40:60, -10:-4].mean()) - 100.0) / 3.0)


def refused(path):
    with pytest.raises(TurnstillError) as told:
        open_film(str(path))
    assert str(told.value).count("\n") == 0 and str(told.value).endswith(".")
    return str(told.value)


def test_frames_come_in_order_and_one_by_one(plain):
    film = open_film(str(plain))
    assert (film.width, film.height, film.frames) == (128, 96, COUNT)
    assert film.fps == pytest.approx(30.0, rel=1e-6)
    np.testing.assert_allclose(film.seconds, EVEN, atol=1e-4)
    assert [number_of(picture) for picture in film.pictures()] == list(range(COUNT))
    for index in (0, 7, 10, 23, COUNT - 1):
        assert number_of(film.frame_at(index)) == index
    assert number_of(film.frame_at(1000)) == COUNT - 1
    for which in (range(0, COUNT, 6), range(13, 20), range(7, 29, 4), range(COUNT - 1, COUNT)):
        assert [number_of(picture) for picture in film.pictures(which=which)] == list(which)
    assert film.index_at(0.51) == 15


@pytest.mark.parametrize(
    ("shown", "corner", "size"),
    [
        (filmed_files.QUARTERS[0], (False, False), (128, 96)),
        (filmed_files.QUARTERS[90], (True, False), (96, 128)),
        (filmed_files.QUARTERS[180], (True, True), (128, 96)),
        (filmed_files.QUARTERS[270], (False, True), (96, 128)),
        (filmed_files.MIRRORED, (True, False), (128, 96)),
    ],
)
def test_a_phone_held_another_way_is_shown_upright(tmp_path, shown, corner, size):
    film = open_film(str(filmed_files.write(tmp_path / "t.mov", filmed_files.numbered(9), EVEN[:9], shown)))
    assert (film.width, film.height) == size
    for picture in (next(iter(film.pictures())), film.frame_at(5)):
        assert picture.shape == (*size[::-1], 3)
        assert red_corner(picture) == corner


def test_a_large_film_is_made_smaller_as_it_is_decoded(plain):
    film = open_film(str(plain))
    picture = next(iter(film.pictures(longest=64)))
    assert picture.shape == (48, 64, 3) and red_corner(picture) == (False, False)
    assert (film.width, film.height) == (128, 96)


def test_times_are_the_files_own(tmp_path):
    uneven = np.cumsum([0.0, *np.random.default_rng(3).uniform(0.02, 0.06, 19)])
    film = open_film(str(filmed_files.write(tmp_path / "uneven.mp4", filmed_files.numbered(20), uneven)))
    np.testing.assert_allclose(film.seconds, uneven, atol=2e-5)
    assert film.fps == pytest.approx(19.0 / uneven[-1], rel=1e-4)


def test_a_film_that_was_slowed_down_has_the_cameras_time(tmp_path):
    told = {"com.android.capture.fps": "240.0"}
    slow = filmed_files.write(tmp_path / "slow.mp4", filmed_files.numbered(20), EVEN[:20], metadata=told)
    assert open_film(str(slow)).fps == pytest.approx(240.0, rel=1e-6)
    quick = filmed_files.write(tmp_path / "quick.mp4", filmed_files.numbered(20), EVEN[:20] / 8.0, metadata=told)
    assert open_film(str(quick)).fps == pytest.approx(240.0, rel=1e-3)
    told = {"com.android.capture.fps": "30.0"}
    usual = filmed_files.write(tmp_path / "usual.mp4", filmed_files.numbered(20), EVEN[:20] * 1.1, metadata=told)
    assert open_film(str(usual)).fps == pytest.approx(30.0 / 1.1, rel=1e-3)


def test_the_rate_that_somebody_says_is_one_that_films_are_taken_at(plain):
    film = open_film(str(plain))
    np.testing.assert_allclose(film.at_rate(240.0).seconds, np.arange(COUNT) / 240.0)
    for rate in (0.0, -30.0, 1e6, float("nan")):
        with pytest.raises(TurnstillError, match="--fps"):
            film.at_rate(rate)


def test_what_is_no_whole_film_is_refused(plain, tmp_path):
    data = plain.read_bytes()
    (tmp_path / "cut.mp4").write_bytes(data[: 2 * len(data) // 3])
    assert "is cut short" in refused(tmp_path / "cut.mp4")
    last = filmed_files.write(tmp_path / "last.mp4", filmed_files.numbered(12), EVEN[:12], index_first=False)
    last.write_bytes(last.read_bytes()[:-300])
    assert "cut short or damaged" in refused(last)
    (tmp_path / "text.mp4").write_text("no film\n" * 200)
    assert "is no film" in refused(tmp_path / "text.mp4")
    (tmp_path / "empty.mov").write_bytes(b"")
    assert "is no film" in refused(tmp_path / "empty.mov")
    # A list of films elsewhere is not followed.
    (tmp_path / "list.mp4").write_text(f"#EXTM3U\n#EXT-X-TARGETDURATION:1\n#EXTINF:1,\n{plain}\n#EXT-X-ENDLIST\n")
    assert "is no film" in refused(tmp_path / "list.mp4")
    assert "There is no file" in refused(tmp_path / "none.mp4")
    assert "is a folder" in refused(tmp_path)
    short = filmed_files.write(tmp_path / "short.mp4", filmed_files.numbered(4), EVEN[:4])
    assert "must have 8 to" in refused(short)
