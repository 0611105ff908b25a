"""Turnstill: a 3D simulator of the pivot in a golf backswing.

A researcher's front door::

    import numpy as np
    import turnstill as ts

    swing = ts.simulate(ts.Body.from_stature(1.75, 78.0), ts.Address(), ts.Pieces(hip_turn=np.radians(50.0)))
    swing.measures.head_moved  # (41, 3) metres: toward ball, toward target, up
    ts.PIECES["hip_turn"]  # unit, range and meaning of a piece
    ts.simulate(*ts.preset("sway"))  # body, address, pieces and timing of a preset
    film = {"head_toward_target": -0.06, "head_up": -0.01, "shoulder_turn": np.radians(88.0)}
    ts.diagnose(swing.body, swing.address, film).largest  # (1, 8): which piece departs furthest

    rng = np.random.default_rng(1)
    swings = ts.simulate(ts.Body.draw(rng, 4), ts.Address.draw(rng, 4), ts.Pieces.draw(rng, 4))
    swings[2].achieved["hip_turn"]  # (41,): a batch is indexed like an array

Everything is radians and metres here; degrees and centimetres live at the command line and in files. ``dir(turnstill)``
lists the names, which are loaded when first used, so that ``turnstill --help`` need not wait for numpy.
"""

from __future__ import annotations

__version__ = "0.2.0.dev0"

# What typing says of itself, without its import: the console command is guarded as early as can be.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from .model import (
        ADDRESS,
        DEPARTURES,
        JOINTS,
        PIECES,
        READINGS,
        Address,
        Arc,
        Body,
        Diagnosis,
        Experiment,
        FaultPrior,
        Felt,
        HeadPlace,
        Impact,
        Measures,
        OutOfRange,
        Pieces,
        Shares,
        Skeleton,
        Steady,
        SteadyMap,
        StrikeCauses,
        Swing,
        TurnstillError,
        diagnose,
        experiment,
        felt,
        most_hip_turn,
        sensitivities,
        shares,
        simulate,
        steady_map,
        strike,
        strike_causes,
    )
    from .model.films.camera import Camera, down_the_line, face_on, from_above
    from .render.figure.look import Look
    from .render.stage.stage import Stage
    from .scenes.dataset.checking.work import check_dataset
    from .scenes.dataset.fault_scoring.work import score_faults
    from .scenes.dataset.layout.reading import open_dataset
    from .scenes.dataset.making.work import make_dataset
    from .scenes.dataset.scoring.work import score_keypoints
    from .scenes.setups.perform import preset
    from .scenes.setups.presets import preset_names

_HOMES = {
    "Camera": ".model.films.camera", "down_the_line": ".model.films.camera", "face_on": ".model.films.camera",
    "from_above": ".model.films.camera",
    "Look": ".render.figure.look", "Stage": ".render.stage.stage",
    "check_dataset": ".scenes.dataset.checking.work", "score_faults": ".scenes.dataset.fault_scoring.work",
    "score_keypoints": ".scenes.dataset.scoring.work",
    "make_dataset": ".scenes.dataset.making.work", "open_dataset": ".scenes.dataset.layout.reading",
    "preset": ".scenes.setups.perform", "preset_names": ".scenes.setups.presets",
}  # fmt: skip
"""Where the names live that the model does not hand on."""

__all__ = [
    "ADDRESS", "DEPARTURES", "JOINTS", "PIECES", "READINGS", "Address", "Arc", "Body", "Camera", "Diagnosis",
    "Experiment", "FaultPrior", "Felt", "HeadPlace", "Impact", "Look", "Measures", "OutOfRange", "Pieces", "Shares",
    "Skeleton", "Stage", "Steady", "SteadyMap", "StrikeCauses", "Swing", "TurnstillError", "__version__",
    "check_dataset", "diagnose", "down_the_line", "experiment", "face_on", "felt", "from_above", "make_dataset",
    "most_hip_turn", "open_dataset", "preset", "preset_names", "score_faults", "score_keypoints", "sensitivities",
    "shares", "simulate", "steady_map", "strike", "strike_causes",
]  # fmt: skip


def __getattr__(name: str) -> object:
    if name in __all__:
        from importlib import import_module

        return getattr(import_module(_HOMES.get(name, ".model"), __name__), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted(__all__)
