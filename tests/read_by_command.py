"""``turnstill read`` as a person types it, and tracks as files."""

from __future__ import annotations

import numpy as np
from typer.testing import CliRunner

from turnstill.model.films.tracks import KEYPOINTS
from turnstill.scenes.cli import app

RUNNER = CliRunner()


def save(track, path, first=0):
    lines = [f"# width={track.width} height={track.height} fps={track.fps:g}", "frame,keypoint,x,y,confidence"]
    for frame, k in zip(*np.nonzero(track.seen), strict=True):
        x, y = track.places[frame, k]
        lines.append(f"{frame + first},{KEYPOINTS[k]},{x:.2f},{y:.2f},{track.confidence[frame, k]:.2f}")
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return str(path)


def stature(filmed, k):
    return f"{100.0 * filmed.faulty.body.stature[k]:.1f}"


def read(*arguments):
    result = RUNNER.invoke(app, ["read", *arguments])
    assert result.exit_code == 0, result.output
    return result.stdout


def refused(*arguments):
    result = RUNNER.invoke(app, ["read", *arguments])
    assert result.exit_code == 2, (result.output, result.exception)
    assert result.stdout == ""
    return " ".join(result.stderr.split())
