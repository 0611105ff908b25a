"""How well faults are told from keypoints alone, exact and blurred, and which of them: the tables of docs/dataset.md.

Run as ``python tests/benchmarks/fault_baseline.py [SUBJECTS]``; needs scikit-learn.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))
from fault_baseline import JOINTS, Filmed, features, filmed, scored, torso_px

from turnstill.model.golfer.pieces import DEPARTURES
from turnstill.scenes.dataset.fault_scoring.report import FaultsReport
from turnstill.scenes.dataset.fault_scoring.words import fault_words
from turnstill.scenes.dataset.plan.loading import load_recipe

SHARES = (0.0, 0.01, 0.02, 0.05, 0.1)
"""Of the torso: one sd of what each joint is off, each way."""


def row(name: str, one: FaultsReport, other: FaultsReport) -> str:
    """A table's row: one answer out of nine, and faults apart."""
    cells = [name]
    for report in (one, other):
        hit = report.accuracy
        assert hit.right_share and hit.least_share and hit.most_share
        cells.append(f"{hit.right_share:.0%} ({hit.least_share:.0%} to {hit.most_share:.0%})")
        cells.append(f"{report.log_loss:.2f} of {report.log_loss_of_shares:.2f}")
        cells.append(f"{report.reliability[-1].calibration_error:.3f}")
    return "| " + " | ".join([*cells, f"{other.several[-1].right_share:.0%}"]) + " |"


def main() -> None:
    """Print the tables."""
    subjects = int(sys.argv[1]) if len(sys.argv) > 1 else 600
    data = filmed(load_recipe("plain").model_copy(update={"subjects": subjects}))
    by_blur = {share: data.blurred(share, np.random.default_rng(0)) if share else data for share in SHARES}
    some = {f"{share:g}": shown for share, shown in by_blur.items()}
    some |= {f"0.02, {view}": by_blur[0.02].from_view(k) for k, view in enumerate(("face-on", "down the line"))}
    some |= {f"{share:g}, no arms": by_blur[share].without_arms() for share in (0.02, 0.05)}
    found: dict[str, FaultsReport] = {}
    for name, shown in some.items():
        found[name] = scored(shown, of_one=False)
        print(row(name, scored(shown, of_one=True), found[name]), flush=True)
    both_ways(data)
    print("\npixels of a torso", torso_px(data.pixels).mean(axis=0).round(1))
    moved(data)
    print("\n| fault | " + " | ".join(found) + " |")
    for k, fault in enumerate(found["0"].by_fault):
        cells = [
            f"{report.by_fault[k].recall_share:.0%}, {report.by_fault[k].auc_share:.2f}" for report in found.values()
        ]
        print("| " + " | ".join([fault_words(fault.fault), *cells]) + " |")
    chance = found["0"].accuracy
    print(f"\n{chance.swings} swings with one fault at most; always {chance.fixed}: {chance.fixed_share:.0%}")
    exact = found["0"].several[-1]
    print(f"{exact.swings} swings; always {exact.fixed}: {exact.fixed_share:.0%}\n")
    for line in scored(by_blur[0.02], of_one=True).confusion:
        print(f"{line.fault:18}", *(f"{count:4}" for count in line.said.values()))


def both_ways(data: Filmed) -> None:
    """What comes of one class for too little and too much."""
    print(
        "\n"
        + row("too little and too much as one", *(scored(data, of_one=one, ways_apart=False) for one in (True, False)))
    )


def moved(data: Filmed) -> None:
    """How far single faults move some joints at the top: half of too much less too little, torso lengths, each view."""
    gone = features(data.pixels, data.left_handed).reshape(len(data.split), -1, 2, len(JOINTS), 2)[:, :, 1]
    for k, fault in enumerate(DEPARTURES):
        only = data.swings.faulty[:, k] & data.swings.single
        much, little = (gone[only & (data.too_much[:, k] == way)].mean(axis=0) for way in (True, False))
        half = np.linalg.norm(much - little, axis=-1) / 2
        shown = ("hip_lead", "hip_trail", "knee_lead", "knee_trail", "shoulder_lead", "wrist_lead")
        told = (f"{name} " + " ".join(f"{one:.2f}" for one in half[:, JOINTS.index(name)]) for name in shown)
        print(f"{fault:18}", *told)


if __name__ == "__main__":
    main()
