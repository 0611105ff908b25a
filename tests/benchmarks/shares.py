"""Shares of one swing of 41 moments by the default golfer, the simulated swing itself not counted.

Run as ``python tests/benchmarks/shares.py``.
"""

from __future__ import annotations

import one_core  # before numpy, whose threads start with the import

# isort: split

from turnstill.model.questions.shares import sensitivities, shares
from turnstill.scenes.setups.perform import swing_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply

FRAMES, REPEATS, AT_MOST_MS = 41, 9, 300.0
ALL_EIGHT = (
    "hip_turn=38", "shoulder_turn=80", "tilt=30", "extension=20", "lead_flex_change=10", "trail_flex_change=-5",
    "sway=3", "hips_toward_ball=2",
)  # fmt: skip
ASKINGS = (
    ("too-little-extension", (), "steady"),
    ("sway", (), "steady"),
    ("braced-knees", (), "steady"),
    ("centred", ("sway=2", "tilt=30", "hip_turn=38", "extension=20"), "steady"),
    ("centred", ALL_EIGHT, "steady"),
    ("centred", (), "turn"),
    ("centred", (), "address"),
)
COMMAND = ("shares", "sway")


def main() -> None:
    """Print the tables."""
    print(one_core.machine(), "\n")
    rows = []
    for name, settings, against in ASKINGS:
        swing = swing_of(apply(load(name), settings), FRAMES)
        found = shares(swing, against)
        ms = one_core.median_seconds(lambda s=swing, a=against: shares(s, a), REPEATS) * 1e3  # type: ignore[misc]
        asked = f"{name}, {len(settings)} pieces set" if settings else name
        rows.append((asked, against, f"{len(found.combinations)}", f"{ms:.0f}", f"{AT_MOST_MS:.0f}"))
    print(one_core.table(("swing", "against", "combinations", "ms", "at most, ms"), rows))
    swing = swing_of(load("sway"), FRAMES)
    ms = one_core.median_seconds(lambda: sensitivities(swing), REPEATS) * 1e3
    print(f"\nSensitivities of all eight pieces at the top: {ms:.0f} ms")
    print(f"turnstill {' '.join(COMMAND)}, cold: {one_core.cold_seconds(COMMAND):.2f} s")


if __name__ == "__main__":
    main()
