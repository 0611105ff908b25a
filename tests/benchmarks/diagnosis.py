"""One diagnosis of a film, beside scipy's least squares on the same hypotheses of the same chain.

Run as ``python tests/benchmarks/diagnosis.py``.
"""

from __future__ import annotations

import one_core  # before numpy, whose threads start with the import

# isort: split

import numpy as np
from scipy.optimize import least_squares

from turnstill.model.arrays import Array
from turnstill.model.films.diagnose import Diagnosis, diagnose
from turnstill.model.films.fault_prior import HYPOTHESES, FaultPrior
from turnstill.model.films.readings import READINGS, USUAL_SD
from turnstill.model.golfer.address import Address
from turnstill.model.golfer.body import Body

REPEATS, AT_MOST_MS = 9, 300.0
READ = {
    "head_toward_target": -0.060, "head_up": -0.020, "head_toward_ball": 0.015, "pelvis_toward_target": -0.010,
    "pelvis_toward_ball": 0.005, "inclination_change": -0.02, "lean_face_on": 0.07, "shoulder_plane": 0.60,
    "shoulder_turn": 1.54, "hip_turn": 0.80, "lead_knee_flex": 0.65, "trail_knee_flex": 0.18, "belt_line_tilt": 0.17,
}  # fmt: skip
"""An invented film, rad and m."""
SUBSETS = {
    "head alone": ("head_toward_target", "head_up", "head_toward_ball"),
    "head and turns": ("head_toward_target", "head_up", "shoulder_turn", "hip_turn"),
    "all thirteen": tuple(READ),
}
PEER_HYPOTHESES = 5
COMMAND = ("diagnose", "--head-toward-target-cm", "-6", "--head-up-cm", "-2")


def main() -> None:
    """Print the table."""
    print(one_core.machine(), "\n")
    body, rows = Body.from_stature(1.75, 80.0), []
    for name, names in SUBSETS.items():
        seen = {reading: READ[reading] for reading in names}
        found = diagnose(body, Address(), seen)
        ms = one_core.median_seconds(lambda s=seen: diagnose(body, Address(), s), REPEATS) * 1e3  # type: ignore[misc]
        peer, higher = scipy_ms(found, seen)
        rows.append((name, f"{ms:.0f}", f"{AT_MOST_MS:.0f}", f"{peer:,.0f}", f"{peer / ms:.0f}", f"{higher:.3f}"))
    head = ("readings", "ms", "at most, ms", "scipy, 37 hypotheses, ms", "times ours", "ours higher by at most")
    print(one_core.table(head, rows))
    print(f"\nturnstill {' '.join(COMMAND)}, cold: {one_core.cold_seconds(COMMAND):.2f} s")


def scipy_ms(found: Diagnosis, seen: dict[str, float]) -> tuple[float, float]:
    """What scipy takes for all hypotheses, from those most probable, and by how much its minima are lower (of the
    quantity whose half is the exponent of the evidence).
    """
    order = np.argsort(-found.weight[0])[:PEER_HYPOTHESES]
    prior, who = FaultPrior(), np.zeros(1, dtype=np.intp)
    sd = np.array([USUAL_SD[READINGS[name]] for name in seen])
    values = np.array(list(seen.values()))
    # The readings' own noise alone: what is unknown of body and address is left out on both sides.
    sure = FaultPrior(stature=1e-9, address={})
    ours = diagnose(Body.from_stature(1.75, 80.0), Address(), seen, prior=sure)
    seconds, lower = 0.0, 0.0
    for k in order:
        spread = np.sqrt(prior.variance[k])

        def residual(scaled: Array, spread: Array = spread) -> Array:
            shown = found.film.readings(who, (scaled * spread)[None])[0, found.read]
            return np.concatenate([(values - shown) / sd, scaled])

        took, best = one_core.cpu_seconds(lambda r=residual: least_squares(r, np.zeros(8)))  # type: ignore[misc]
        seconds += took
        mine = float(np.sum(residual(ours.hypotheses.departures[0, k] / spread) ** 2))
        lower = max(lower, mine - 2.0 * best.cost)
    return seconds / len(order) * len(HYPOTHESES) * 1e3, lower


if __name__ == "__main__":
    main()
