"""The ``film`` command's work: one or two swings as a film that loops."""

from __future__ import annotations

from collections.abc import Sequence

from ..delivery.outputs import check_outputs
from ..delivery.progress import Progress
from ..delivery.terminal import tell
from ..delivery.writing import new_file
from ..setups.naming import default_folder
from ..setups.options import TOP, goes_through_impact
from ..views.names import chosen_views
from . import film_file
from .asked import asked_swings, simulated, tell_notes
from .layout import default_size, panes, size_of
from .reel import Reel, frames, legend
from .timing import timing, timing_through_impact

SECONDS = 4.0


def film_to(
    names: Sequence[str],
    settings: list[str],
    *,
    views: str | None = None,
    out: str | None,
    seconds: float,
    size: str | None = None,
    through: str = TOP,
) -> None:
    """Make the film and write it.

    Raises:
        TurnstillError: for anything a user can mend; no half-written film is then left behind.
    """
    on = goes_through_impact(through)
    setups = asked_swings("film", names, settings)
    target = out if out is not None else default_folder(setups) + film_file.MP4
    suffix = film_file.suffix_of(target)
    seen = chosen_views(views)
    when = (timing_through_impact if on else timing)(seconds, film_file.RATE[suffix])
    if size is None:
        scale = film_file.SCALE[suffix]
        whole = tuple(2 * round(length * scale / 2) for length in default_size(len(setups), seen))
        width, height = whole
    else:
        width, height = size_of(size)
    check_outputs({"--out": target})
    film_file.check_codec(suffix)
    # The file is outermost: whatever ends the block, even after the last frame, leaves it as it was.
    with new_file(target) as part, Progress(len(setups) + len(when.order) + 1) as progress:
        swings = simulated(setups, progress, on)
        layout = panes(len(setups), seen, (width, height))
        with Reel(swings, [setup.name for setup in setups], layout, (width, height), labels=legend) as reel:
            shown = progress.over(frames(reel, when.picks, when.order), "drawing")
            if suffix == film_file.MP4:
                film_file.write_mp4(part, shown, (width, height), when.rate)
            else:
                film_file.write_pictures(part, suffix, shown, when.order, when.rate)
    tell_notes(setups, swings)
    tell(f"The film is {target}")
