"""A stranger looks at the pictures: a general-purpose pose detector, in a virtual environment of its own.

Run with ``-m detector -s`` to see the tables; docs/detector.md says how to make the environment and what is measured.
"""

from __future__ import annotations

import numpy as np
import pytest
from outside.pose_detector import kept, sheet, tables
from outside.pose_detector.environment import NoDetector, detect, detector_python
from outside.pose_detector.golfers import LEFT_HANDERS
from outside.pose_detector.scores import QUARTERS, Judged

from turnstill.render.stage.opengl import OpenGLMissing, require_opengl
from turnstill.scenes.setups.presets import backswing_names
from turnstill.scenes.views.names import VIEWS

pytestmark = pytest.mark.detector
WORST = 12


@pytest.fixture(scope="module")
def judged(tmp_path_factory: pytest.TempPathFactory) -> Judged:
    try:
        python = detector_python()
        require_opengl()
    except (NoDetector, OpenGLMissing) as missing:
        pytest.skip(str(missing))
    keep = kept.folder_kept()
    folder = keep or tmp_path_factory.mktemp("pictures")
    truths = kept.pictures_in(folder)
    answer = Judged.of(truths, detect(python, folder, [one.file for one in truths]))
    told = "\n\n".join(part(answer) for part in tables.ALL)
    print(f"\n{told}\n", flush=True)
    if keep:
        sheet.sheet(answer, folder, sheet.worst(answer, WORST)).save(keep.with_name(f"{keep.name}-worst.png"))
        print(f"the {WORST} worst pictures: {keep.with_name(f'{keep.name}-worst.png')}")
    return answer


def test_the_pictures_are_as_many_and_as_various_as_they_should_be(judged: Judged) -> None:
    truths = judged.truths
    assert len(truths) == 120
    assert [sum(one.view == view for one in truths) for view in VIEWS] == [60, 60]
    assert {one.about.partition(",")[0] for one in truths} == set(backswing_names())
    progress = np.array([one.progress for one in truths])
    assert progress.min() == 0.0
    assert progress.max() == 1.0
    assert np.all(np.histogram(progress, bins=4, range=(0.0, 1.0))[0] >= 24)
    assert sum(one.left_handed for one in truths) == 4 * LEFT_HANDERS


def test_a_person_is_found_in_every_picture(judged: Judged) -> None:
    assert judged.files(~judged.person_found) == []


def test_visible_joints_are_found_where_they_are(judged: Judged) -> None:
    assert judged.pck(0.5, judged.visible) >= 0.97
    assert judged.pck(0.2, judged.visible) >= 0.92


def test_the_lead_shoulder_is_drawn_where_others_see_it_near_the_top(judged: Judged) -> None:
    """It was drawn 0.15 too low while the collar bone did not rise with the arm."""
    near_the_top = judged.offsets_of("shoulder_lead", "face-on", QUARTERS.index("last"))
    assert len(near_the_top) >= 12
    assert np.abs(np.median(near_the_top, axis=0)).max() <= 0.06


def test_left_and_right_are_never_swapped(judged: Judged) -> None:
    assert judged.files(judged.turned_round) == []
    assert judged.files((judged.swapped & judged.pair_visible).any(axis=1)) == []
