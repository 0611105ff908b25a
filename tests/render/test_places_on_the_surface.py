"""Pocket and buckle lie on the drawn body, and the others under its skin by what they are said to."""

from __future__ import annotations

import numpy as np
import pytest

from turnstill.model import Address, Body, Pieces
from turnstill.model.questions.places import places
from turnstill.model.swing.simulate import simulate
from turnstill.render.body.body_surface import BodySurface


@pytest.mark.parametrize(("stature", "mass", "sex"), [(1.88, 105.0, "male"), (1.62, 55.0, "female")])
def test_places_lie_on_the_drawn_body(stature: float, mass: float, sex: str) -> None:
    body = Body.from_stature(stature, mass, sex)
    swing = simulate(body, Address(), Pieces(), frames=2)
    surface = BodySurface(body, swing.skeleton[0], spacing_m=0.015)
    for moment in (0, 1):
        skin = np.asarray(surface.pose(swing.skeleton[moment]), float)
        away = np.linalg.norm(skin[:, None] - places(body, swing.skeleton)[moment], axis=-1).min(axis=0)
        breastbone, shoulder, pocket, buckle = away
        assert pocket < 0.015 and buckle < 0.015, (moment, away)
        assert breastbone < 0.04 and 0.02 < shoulder < 0.09, (moment, away)
