"""Where a piece stands after a record's films: against the whole of it as one Gaussian, and on drawn golfers."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm

from turnstill.model.films import dose
from turnstill.model.films.dose import Amount
from turnstill.model.films.fault_prior import FaultPrior
from turnstill.model.films.standing import (
    Step,
    change_expected,
    change_read,
    fault_from,
    standing,
    within_reach,
)
from turnstill.model.golfer.pieces import DEPARTURES, PIECES

SLOPES = np.random.default_rng(5).normal(size=(8, 3)) * 0.3
SCATTER = np.array([dose.SCATTER[PIECES[name].unit] for name in DEPARTURES])


def drawn_steps(rng: np.random.Generator, count: int) -> list[Step]:
    steps = []
    for _ in range(count):
        head = np.where(rng.random(3) < 0.7, rng.normal(0.0, 0.05, 3), np.nan)
        piece = None if rng.random() < 0.4 else str(rng.choice(DEPARTURES))
        change = None if piece is None else Amount(rng.normal(0.0, 0.1), rng.uniform(0.01, 0.1))
        steps.append(Step(piece, change, head, float(rng.uniform(0.005, 0.02))))
    return steps


@pytest.mark.parametrize("seed", range(6))
def test_films_one_by_one_agree_with_all_of_them_as_one_gaussian(seed: int) -> None:
    rng = np.random.default_rng(seed)
    steps = drawn_steps(rng, 5)
    prior = FaultPrior()
    for piece in ("extension", "sway"):
        k, worked = DEPARTURES.index(piece), {piece, *(step.piece for step in steps)}
        # Every departure at every step is the start and the changes summed; the heads are linear in them.
        start = np.array([prior.slab[n] if n == piece else prior.spike[n] for n in DEPARTURES])
        mean, blocks = np.zeros((5, 8)), np.zeros((5, 8, 5, 8))
        for i in range(5):
            for j in range(5):
                blocks[i, :, j, :] += np.diag(start**2)
        for t, step in enumerate(steps):
            added = np.array([SCATTER[m] if t and n in worked else 0.0 for m, n in enumerate(DEPARTURES)]) ** 2
            if step.piece is not None:
                m = DEPARTURES.index(step.piece)
                mean[t:, m] += step.change.mean
                added[m] += step.change.sd**2
            blocks[t:, :, t:, :] += np.diag(added)[None, :, None, :]
        whole = blocks.reshape(40, 40)
        rows, read, noise = [], [], []
        for t, step in enumerate(steps):
            for d in np.flatnonzero(np.isfinite(step.head)):
                row = np.zeros((5, 8))
                row[t] = SLOPES[:, d]
                rows.append(row.ravel())
                read.append(step.head[d])
                noise.append((t, d, step.head_sd**2 + (dose.SLOPE_SD * step.head[d]) ** 2))
        H, y = np.array(rows), np.array(read)
        R = np.diag([one[2] for one in noise])
        for a, (t, d, _) in enumerate(noise):
            for b, (u, e, _) in enumerate(noise):
                R[a, b] += (SLOPES[:, d] * SCATTER**2 * SLOPES[:, e]).sum() if t == u else 0.0
        gain = whole @ H.T @ np.linalg.inv(H @ whole @ H.T + R)
        after, left = mean.ravel() + gain @ (y - H @ mean.ravel()), whole - gain @ H @ whole
        found = standing(steps, SLOPES, piece)
        assert found.mean == pytest.approx(after[32 + k], abs=1e-9)
        assert found.sd == pytest.approx(np.sqrt(left[32 + k, 32 + k]), abs=1e-9)


def test_without_a_film_a_piece_stands_where_the_prior_has_it_and_where_it_went() -> None:
    nothing = np.full(3, np.nan)
    assert standing([], SLOPES, "tilt").mean == 0.0
    assert standing([], SLOPES, "tilt").sd == pytest.approx(FaultPrior().slab["tilt"])
    went = standing([Step("sway", Amount(-0.03, 0.01), nothing, 0.01)], SLOPES, "sway")
    assert went.mean == pytest.approx(-0.03) and went.sd == pytest.approx(np.hypot(FaultPrior().slab["sway"], 0.01))
    other = standing([Step("sway", Amount(-0.03, 0.01), nothing, 0.01)], SLOPES, "tilt")
    assert other.mean == 0.0


def test_what_changed_is_as_sure_as_reading_or_as_responses_are() -> None:
    read = change_read("tilt", 0.1, np.radians(4.0))
    assert read.mean == 0.1 and read.sd == pytest.approx(np.radians(np.sqrt(4.0**2 + 2 * 2.0**2)))
    felt = change_expected(-0.2)
    assert felt.mean == pytest.approx(-0.2 * dose.PRIOR.mean) and felt.sd == pytest.approx(0.2 * dose.PRIOR.sd)


@pytest.mark.parametrize(
    ("missing", "stands", "wanted"),
    [
        (0.05, -0.08, 0.05),  # short by more: all of it
        (0.05, -0.02, 0.02 + 0.0075),  # short by less: to its place and everybody's scatter
        (0.05, 0.002, 0.0055),
        (0.05, 0.03, 0.0),  # too much already
        (-0.05, 0.02, -0.0275),
        (-0.05, -0.03, 0.0),
        (-0.05, 0.09, -0.05),
        (0.0, 0.03, 0.0),
    ],
)
def test_a_piece_is_taken_to_its_place_and_no_farther(missing: float, stands: float, wanted: float) -> None:
    found = within_reach(Amount(np.array(missing), np.array(0.02)), Amount(np.array(stands), np.array(0.01)), "sway")
    assert found.mean == pytest.approx(wanted, abs=1e-12) and found.sd == 0.02


@pytest.mark.parametrize("piece", DEPARTURES)
def test_a_fault_begins_where_it_is_as_probable_as_not(piece: str) -> None:
    prior = FaultPrior()
    x = fault_from(piece)
    grid = np.linspace(-12.0, 12.0, 480_001) * prior.slab[piece]
    holed = (
        norm.pdf(grid, scale=prior.slab[piece])
        * (1 - np.exp(-0.5 * (grid / (prior.hole * prior.slab[piece])) ** 2)) ** 2
    )
    holed /= holed.sum() * (grid[1] - grid[0])
    _, one, two = prior.faults
    at_fault = one / 8 + two * 2 / 8
    fault = at_fault * np.interp(x, grid, holed)
    assert fault == pytest.approx((1 - at_fault) * norm.pdf(x, scale=prior.spike[piece]), rel=1e-3)
    # Nobody's everyday departure is a fault, and not every fault is hidden.
    assert dose.SCATTER[PIECES[piece].unit] < x < prior.slab[piece]


def test_on_drawn_golfers_it_is_as_sure_as_it_says(monkeypatch: pytest.MonkeyPatch) -> None:
    # How far the pieces move the head is known here; its share of the noise is taken from the head as read.
    monkeypatch.setattr("turnstill.model.films.standing.SLOPE_SD", 0.0)
    rng, count = np.random.default_rng(3), 1500
    prior, k, off = FaultPrior(), DEPARTURES.index("extension"), []
    spike = np.array([prior.spike[name] for name in DEPARTURES])
    for _ in range(count):
        x = spike * rng.normal(size=8)
        x[k] = prior.slab["extension"] * rng.normal()
        steps = []
        for number in range(4):
            if number:
                # What is worked on also goes a little by itself.
                x[k] += SCATTER[k] * rng.normal() + 0.08 + 0.05 * rng.normal()
            change = Amount(np.array(0.08), np.array(0.05)) if number else None
            head = SLOPES.T @ (x + SCATTER * rng.normal(size=8)) + 0.01 * rng.normal(size=3)
            steps.append(Step("extension" if number else None, change, head, 0.01))
        found = standing(steps, SLOPES, "extension")
        off.append((found.mean - x[k]) / found.sd)
    assert abs(np.mean(off)) < 4.0 / np.sqrt(count)
    assert np.std(off) == pytest.approx(1.0, abs=4.0 / np.sqrt(2 * count))
