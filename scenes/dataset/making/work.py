"""Making a data set: what is missing of it, by whom, and what is told beside it when all is there."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

from ....model.errors import TurnstillError
from ....render.stage.opengl import require_opengl
from ...delivery import written
from ...delivery.progress import Progress
from ...delivery.terminal import tell
from ..layout.beside import Beside
from ..layout.finishing import finish
from ..layout.names import CHECKSUMS_FILE, shard_path
from ..layout.placing import clear_parts
from ..layout.reading import DataSet, open_dataset
from ..layout.request import take_folder
from ..plan.loading import load_recipe
from ..plan.recipe import Recipe
from ..plan.schedule import Shard, pictures_of, shard_numbers
from .cluster import make_shards_on
from .engine import make_shards
from .shard import drawing

MOST_WORKERS = 256
_NEEDED = ("pyarrow", "pycocotools", "cv2")


def make_to(recipe: str, out: str, *, workers: int, scheduler: str | None) -> None:
    """Make the data set that a recipe asks for in the folder ``out``, and say where it is.

    Raises:
        TurnstillError: for anything a user can mend; what was whole stays.
    """
    if scheduler is not None and workers != 1:
        raise TurnstillError(
            "--workers is of processes here, but with --scheduler a cluster draws; leave out one of them."
        )
    made = make_dataset(recipe, out, workers=workers, scheduler=scheduler)
    counts = [f"{sum(1 for _ in made.keys(split))} {split}" for split in made.splits]
    tell(f"The data set is {out} (pictures: {', '.join(counts)})")


def make_dataset(
    recipe: Recipe | str | Path, out: str | Path, *, workers: int = 1, scheduler: str | None = None
) -> DataSet:
    """Make a data set, or what is missing of it.

    The same recipe makes the same bytes, however many workers draw it and however often it was stopped. A script that
    calls this needs the usual ``if __name__ == "__main__":`` round it, since workers are processes.

    Args:
        recipe: one that was loaded, the name of one that comes along, or the path of your own.
        out: the folder it goes to.
        workers: processes that draw.
        scheduler: address of a dask scheduler; its workers draw then, and must see ``out`` under the same path.

    Returns:
        The data set, open.

    Raises:
        TurnstillError: for a recipe that makes no sense, a folder that holds something else or another request, a full
            disk, no OpenGL, packages that are missing; shards that were whole stay, and a rerun goes on from there.
    """
    if not 1 <= workers <= MOST_WORKERS:
        raise TurnstillError(f"--workers was {workers}, but must be a whole number from 1 to {MOST_WORKERS}.")
    require_packages()
    asked = recipe if isinstance(recipe, Recipe) else load_recipe(str(recipe))
    if scheduler is None:
        require_opengl()
    folder = Path(out)
    take_folder(folder, asked.request())
    shards = shard_numbers(asked)
    missing = [one for one in shards if not shard_path(folder, one.split, one.index).is_file()]
    known: dict[Path, Beside] = {}

    def done(shard: Shard, beside: Beside) -> None:
        known[shard_path(folder, shard.split, shard.index)] = beside

    if missing or not (folder / CHECKSUMS_FILE).is_file():
        (folder / CHECKSUMS_FILE).unlink(missing_ok=True)
        steps = sum(pictures_of(asked, shard) for shard in missing)
        try:
            with Progress(steps, pace="pictures") as progress:
                if scheduler is not None:
                    make_shards_on(scheduler, asked, missing, folder, drawing, progress.made, progress.let_in, done)
                elif missing:
                    most = min(workers, len(missing))
                    make_shards(asked, missing, folder, most, drawing, progress.made, progress.let_in, done)
        finally:
            whole = sum(shard_path(folder, one.split, one.index).is_file() for one in shards)
            if 0 < whole < len(shards):
                written.keep(f"{whole} of {len(shards)} shards in {out}")
        clear_parts(folder)
        finish(folder, known)
    written.keep(str(out))
    return open_dataset(folder)


def require_packages() -> None:
    """Make sure of what data sets are written with.

    Raises:
        TurnstillError: naming the extra that brings it.
    """
    lacking = [name for name in _NEEDED if find_spec(name) is None]
    if lacking:
        raise TurnstillError(f"Data sets need {', '.join(lacking)}; pip install 'turnstill[data]'.")
