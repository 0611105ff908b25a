"""Films that are not what they are given as: a sentence, and never a confident answer."""

from __future__ import annotations

from dataclasses import replace

import film_judge
import filmed_swings
import numpy as np
import pytest

from turnstill.model.errors import TurnstillError
from turnstill.model.films.detector_noise import KNOWN
from turnstill.model.films.film_moments import VIEWS
from turnstill.model.golfer.pieces import DEPARTURES
from turnstill.scenes.read.found import films_read
from turnstill.scenes.read.report import ReadReport
from turnstill.scenes.read.track_text import Maker

COUNT = 6


@pytest.fixture(scope="module")
def filmed():
    return film_judge.filmed(1, COUNT, filmed_swings.Conditions(), 900)


def read(filmed, k, **tracks):
    body = filmed.faulty.body
    return ReadReport.of_films(
        films_read(tracks, stature_m=float(body.stature[k]), female=bool(body.female[k]), left_handed=None, frames={})
    )


def own(filmed, k):
    return {view: getattr(filmed, view)[k] for view in VIEWS}


@pytest.fixture(scope="module")
def right(filmed):
    return read(filmed, 0, **own(filmed, 0))


def test_films_of_one_golfer_go_together(filmed, right):
    assert not right.hardly_together
    assert right.films_apart < 14.5
    assert read(filmed, 0, face_on=filmed.face_on[0]).films_apart is None


@pytest.mark.heavy
def test_films_of_two_golfers_are_refused_or_doubted_or_their_answer_is_one_of_theirs(filmed):
    noticed, wrong = 0, 0
    for k in range(COUNT):
        other = (k + 1) % COUNT
        try:
            found = read(filmed, k, face_on=filmed.face_on[k], down_the_line=filmed.down_the_line[other])
        except TurnstillError as told:
            noticed += "not of one golfer" in str(told)
            continue
        if found.hardly_together:
            noticed += 1
            assert found.feel is None
            assert "hardly go together" in found.warnings[0]
        elif found.each_piece[0].probability > film_judge.SURE:
            named = DEPARTURES.index(found.each_piece[0].piece)
            wrong += not filmed.faulty.at_fault[[k, other], named].any()
    assert noticed >= COUNT / 2
    assert wrong == 0


def test_where_nobody_can_tell_whether_films_go_together_that_is_said(filmed):
    """With the habits of the detector that comes along, D told nothing; so it is not asked for."""
    makers = dict.fromkeys(VIEWS, Maker(f"{next(iter(KNOWN))}-1", "face_detector"))
    tracks, stature = own(filmed, 0), float(filmed.faulty.body.stature[0])
    found = films_read(tracks, stature_m=stature, female=False, left_handed=None, frames={}, makers=makers)
    report = ReadReport.of_films(found)
    assert report.films_apart is None and not report.hardly_together
    assert "Whether both films are of one golfer cannot be told" in report.warnings[0]


@pytest.mark.parametrize("k", range(COUNT))
def test_views_given_in_the_wrong_order_are_refused(filmed, k):
    line, face = filmed.down_the_line[k], filmed.face_on[k]
    for tracks in ({"face_on": line, "down_the_line": face}, {"face_on": line}, {"down_the_line": face}):
        with pytest.raises(TurnstillError, match="looks like one from"):
            read(filmed, k, **tracks)


def exchanged(track):
    return track.exchanged(np.ones(track.frames, dtype=bool))


@pytest.mark.parametrize("views", [VIEWS, ("down_the_line",)])
def test_left_and_right_exchanged_throughout_down_the_line_are_put_back_and_told(filmed, views):
    tracks = {view: one for view, one in own(filmed, 0).items() if view in views}
    found = read(filmed, 0, **(tracks | {"down_the_line": exchanged(filmed.down_the_line[0])}))
    assert found.readings == read(filmed, 0, **tracks).readings
    assert found.moments["down_the_line"].exchanged_share == 1.0
    assert any("100% of the frames down the line left and right" in note for note in found.warnings)


def test_a_rate_of_frames_that_is_wrong_by_two_is_told_and_changes_no_answer(filmed, right):
    assert not any("frames a second" in note for note in right.warnings)
    slow = read(filmed, 0, **{view: replace(one, fps=one.fps / 2.0) for view, one in own(filmed, 0).items()})
    assert slow.each_piece[0].piece == right.each_piece[0].piece
    notes = [note for note in slow.warnings if "times as long as swings usually do" in note]
    assert len(notes) == 2
    for view, note in zip(VIEWS, notes, strict=True):
        rate = getattr(filmed, view)[0].fps
        assert f"{slow.moments[view].times_usual:.1f} times as long" in note
        assert f"by {rate / 2.0:g} frames a second. If the camera filmed at {rate:g}, say so with --fps" in note


def test_one_films_wrong_rate_is_told(filmed):
    face, line = own(filmed, 0).values()
    notes = read(filmed, 0, face_on=replace(face, fps=face.fps / 2.0), down_the_line=line).warnings
    assert sum("times as long as swings usually do" in note for note in notes) == 1


def test_a_track_of_two_persons_is_refused(filmed):
    places = filmed.face_on[0].places.copy()
    places[len(places) // 2 :] += [300.0, 0.0]
    with pytest.raises(TurnstillError, match="The film face-on: The track goes from one person to another"):
        read(filmed, 0, face_on=filmed.face_on[0].replace(places))
