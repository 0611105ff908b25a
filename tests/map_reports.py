"""A map whose numbers are all different, the head linear in both pieces."""

from __future__ import annotations

import numpy as np
from distinct import filled

from turnstill.scenes.map.report import MapAxis, MapReport, StillBand, StillestPlace

SWAY = MapAxis(piece="sway", unit="cm", values=[-6.0, -3.0, 0.0, 3.0, 6.0], this_swing=2.2, steady=2.2)
TILT = MapAxis(piece="tilt", unit="deg", values=[20.0, 30.0, 40.0, 50.0], this_swing=33.3, steady=38.8)
EXTENSION = MapAxis(piece="extension", unit="deg", values=[10.0, 20.0, 30.0, 40.0], this_swing=17.7, steady=27.7)
X, Y = np.array(SWAY.values), np.array(TILT.values)[:, None]
TARGET, BALL, UP = 0.9 * X + 0.31 * (Y - 35.0), 0.2 * X - 0.23 * (Y - 50.0), -0.4 * X + 0.7 * (Y - 35.0)
"""The head over a map, linear in both pieces, so that it is known between the map's places."""
GRIDS = {"head_toward_target_cm": TARGET, "head_toward_ball_cm": BALL, "head_up_cm": UP}
REACHED = np.array([[True] * 5, [True] * 5, [True] * 5, [True, True, True, False, False]])
STILL = np.zeros((4, 5), bool)
STILL[1, 2] = True
REPORT = filled(
    MapReport, x=SWAY, y=TILT, reached=REACHED.tolist(), still=STILL.tolist(), still_within_cm=0.5, steady_miss_cm=0.1,
    kept={"hip_turn": 45.5, "extension": 29.9, "hips_toward_ball": 1.7}, inclination_deg=(TARGET + 90.0).tolist(),
    still_band=StillBand(x=(-1.1, 1.3), y=(33.1, 36.6)), stillest=StillestPlace(x=0.4, y=34.4, off_cm=0.07),
    stopped_cells={"trunk": 2}, **{key: grid.tolist() for key, grid in GRIDS.items()},
)  # fmt: skip
