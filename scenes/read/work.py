"""The ``read`` command: films, or their tracks, to the screen and to JSON."""

from __future__ import annotations

from ...model.errors import OutOfRange, TurnstillError
from ...model.films.film_moments import VIEWS
from ...model.films.film_sides import IN_WORDS
from ...model.golfer.survey import STATURE_RANGE_M
from ..delivery.deliver import deliver
from ..delivery.outputs import check_outputs
from ..delivery.writing import STANDARD_OUTPUT
from ..diagnose.work import go_on
from ..setups.quantities import echo, read_number
from .by_hand import ByHand
from .found import films_read
from .given import Given, is_film
from .keeping import Keeping, Own
from .report import ReadReport
from .tracks_file import Picture

NUMBERS_FILE = "read.json"
"""In a folder of results: the report, and the list of the folder's files."""
NO_FILM = "none"
"""In the place of a film that was not made."""


def read_to(
    face_on: str,
    down_the_line: str,
    *,
    stature: str | None,
    sex: str | None,
    left_handed: bool | None,
    frames: dict[str, str | None],
    fps: float | None,
    size: str | None,
    face_detector: bool,
    detector: str | None,
    cache: bool,
    json_file: str | None,
    out: str | None,
    inches: bool,
    by_hand: ByHand,
    keeping: Keeping | None = None,
) -> None:
    """Print what films say, and write it as JSON where asked.

    Args:
        face_on: that film's file or that of its track, or ``none``.
        down_the_line: likewise.
        stature: in cm or with its unit.
        sex: ``male`` or ``female``.
        left_handed: found if not said.
        frames: by view, ``ADDRESS,TOP`` as set by eye.
        fps: frames a second, over what files say.
        size: ``WIDTHxHEIGHT`` in pixels.
        face_detector: whether nose, eyes and ears come from one.
        detector: the folder of the detector that looks at films, the usual one if not given.
        cache: tracks of films are kept beside them, and read there.
        json_file: where the JSON goes; ``-`` is standard output.
        out: the folder of the page.
        inches: lengths shown in inches.
        by_hand: what somebody read at impact.
        keeping: the record that keeps what they say.

    Raises:
        TurnstillError: for anything a user can mend; no file is then written.
    """
    said = Picture(*_size(size), fps)
    names = {view: name for view, name in zip(VIEWS, (face_on, down_the_line), strict=True) if name != NO_FILM}
    if not names:
        raise TurnstillError("There is no film to read; name at least one, or its track.")
    for view, text in frames.items():
        if text is not None and view not in names:
            raise TurnstillError(
                f"--{view.replace('_', '-')}-frames was given, but no film {IN_WORDS[view]}; name that "
                "film, or leave the frames out."
            )
    if not cache and not any(map(is_film, names.values())):
        raise TurnstillError(
            "--no-cache is about what is kept beside films, but tracks alone were given; leave it out."
        )
    if sex not in (None, "male", "female"):
        raise TurnstillError(f"--sex was {echo(str(sex))}, but must be male or female.")
    by_hand.check()
    by_eye = {view: _frames(view, text) for view, text in frames.items()}
    given = Given(names, said, detector, cache, by_eye)
    own = keeping.opened() if keeping else Own()
    check_outputs({"--json": json_file, **(keeping.new_file() if keeping else {})}, out, NUMBERS_FILE)
    tracks, makers = given.tracks()
    found = films_read(
        tracks,
        stature_m=_stature(stature or own.stature),
        female=(sex or own.sex) == "female",
        left_handed=own.left_handed if left_handed is None else left_handed,
        frames=by_eye,
        face_detector=face_detector,
        makers=makers,
        by_hand=by_hand,
    )
    report = ReadReport.of_films(found)
    entry = keeping.entry_of(report, names.values()) if keeping else None
    shown = ReadReport.of_films(found, inches) if inches else report

    # Nothing is done next on films that hardly go together. The commands name a whole body: too much for a screen.
    then = [] if report.hardly_together else go_on("centred", list(found.settings), report)

    def page() -> str:
        from .page import read_page
        from .panel_pictures import panel_pictures

        return read_page(shown, panel_pictures(found, report, given.pictures), inches, then)

    def table() -> str:
        from .table import read_table

        return read_table(shown, inches)

    deliver(report, page, table, numbers_file=NUMBERS_FILE, json_file=json_file, out=out)
    if keeping is not None and entry is not None:
        keeping.keep(entry, report, on_screen=json_file != STANDARD_OUTPUT)


def _stature(given: str | None) -> float | None:
    if given is None:
        return None
    stature = read_number("--stature-cm", given, "cm")[0] / 100.0
    low, high = STATURE_RANGE_M
    if not low <= stature <= high:
        raise OutOfRange("--stature-cm", 100.0 * stature, 100.0 * low, 100.0 * high)
    return stature


def _size(given: str | None) -> tuple[int | None, int | None]:
    if given is None:
        return None, None
    width, _, height = given.lower().partition("x")
    if not (width.strip().isdecimal() and height.strip().isdecimal()):
        raise TurnstillError(f"--size was {echo(given)}, but must be WIDTHxHEIGHT in pixels, such as 720x1280.")
    return int(width), int(height)


def _frames(view: str, given: str | None) -> tuple[float | None, float | None]:
    """Address and top; either may be left out, as in ``,81``."""
    if given is None:
        return None, None
    address, _, top = given.partition(",")
    try:
        found = tuple(float(part) if part.strip() else None for part in (address, top))
    except ValueError:
        raise TurnstillError(
            f"--{view.replace('_', '-')}-frames was {echo(given)}, but must be ADDRESS,TOP as frames of the film, such "
            "as 40,95."
        ) from None
    return found[0], found[1]
