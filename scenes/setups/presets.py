"""Presets by name and users' own files by path, each possibly extending another."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from importlib import resources
from pathlib import Path
from typing import Any

from ... import presets as _package
from ...model.errors import TurnstillError
from ..delivery.reading import plain_bytes
from ..delivery.sqlite_names import DATABASE
from ..words.legible import sound
from . import quantities
from .preset_file import parse
from .quantities import SECTIONS, Departure, Value, echo, nearest
from .set_otherwise import set_otherwise

LARGEST_FILE_BYTES = 1_000_000
"""A preset that sets everything there is has a few thousand; what is larger was named by mistake."""
DEEPEST_CHAIN = 8
"""How many files may extend one another in a row."""

Knots = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Setup:
    """A golfer, an address and a swing as asked for, in the units of the keys.

    Attributes:
        name: how it is called: the preset's name or the file's.
        shows: one line on what it shows, or on what was changed of what shows something.
        values: section to key to value, see ``turnstill.scenes.setups.quantities``.
        timing: piece to knots (progress, share).
    """

    name: str
    shows: str = ""
    values: Mapping[str, Mapping[str, Value]] = field(default_factory=dict)
    timing: Mapping[str, Knots] = field(default_factory=dict)

    def section(self, section: str) -> Mapping[str, Value]:
        """Key to value of one section."""
        return self.values.get(section, {})

    def changed(self, section: str, key: str, value: Value | None) -> Setup:
        """A copy with one value changed, or with nothing said of it."""
        others = {name: one for name, one in self.section(section).items() if name != key}
        values = {**self.values, section: others if value is None else {**self.section(section), key: value}}
        return Setup(self.name, self.shows, values, self.timing)

    def renamed(self, name: str) -> Setup:
        """A copy with another name."""
        return Setup(name, self.shows, self.values, self.timing)

    def showing(self, shows: str) -> Setup:
        """A copy that shows something else."""
        return Setup(self.name, shows, self.values, self.timing)

    def over(self, base: Setup) -> Setup:
        """What is said here, and the base where nothing is; what the base shows only where the swing is still that."""
        values = {s: {**base.section(s), **self.section(s)} for s in SECTIONS}
        both = Setup(self.name, self.shows, values, {**base.timing, **self.timing})
        if both.shows:
            return both
        changed = set_otherwise(both, base)
        return both.showing(f"{base.name} {changed}" if changed else base.shows)


def preset_names() -> list[str]:
    """Names of the presets that come with the package, the centred one first."""
    files = (item.name for item in resources.files(_package).iterdir())
    names = sorted(name.removesuffix(".toml") for name in files if name.endswith(".toml"))
    return sorted(names, key=lambda name: name != "centred")


def backswing_names() -> list[str]:
    """Those of the presets that say nothing of impact: the others are the centred swing up to the top."""
    return [name for name in preset_names() if not load(name).section(quantities.IMPACT_SECTION)]


def preset_text(name: str) -> str:
    """The TOML of a preset that comes with the package.

    Raises:
        TurnstillError: if there is none of that name.
    """
    if name not in preset_names():
        raise TurnstillError(_no_such(name))
    return (resources.files(_package) / f"{name}.toml").read_text(encoding="utf-8")


def load(name_or_file: str) -> Setup:
    """A preset by its name or a user's own file by its path, with all it extends.

    A name of the package's presets wins over a file of the same name; ``./name`` means the file.

    Raises:
        TurnstillError: for an unknown name or a file that is not a sound preset.
    """
    return _load(name_or_file, Path(), ())


def from_text(name: str, text: str) -> Setup:
    """A setup from what stands in a preset file, which may extend a preset of the package but no file.

    Args:
        name: the file's, without its ending.
        text: what stands in it.

    Raises:
        TurnstillError: where it is not a sound preset.
    """
    label = f"{sound(name)}.toml"
    content = parse(text, label)
    own, base = setup_of(sound(name), content), content.get("extends")
    if base is None and _is_empty(own):
        raise TurnstillError(
            f"{label} sets nothing; open a file that turnstill saved, or one with a section such as [pieces]."
        )
    if base is None:
        return own
    if base not in preset_names():
        raise TurnstillError(
            f"{label} extends {echo(base)}, which is no preset that comes with turnstill; name this file on the "
            "command line instead."
        )
    return own.over(load(base))


def _load(name_or_file: str, folder: Path, above: tuple[str, ...]) -> Setup:
    text, label, name, own_folder, identity = _read(name_or_file, folder)
    if identity in above:
        raise TurnstillError(f"{label} extends itself, directly or by way of others; remove one extends.")
    if len(above) >= DEEPEST_CHAIN:
        raise TurnstillError(f"{label} is the end of more than {DEEPEST_CHAIN} files that extend one another.")
    content = parse(text, label)
    own = setup_of(name, content)
    if "extends" not in content or content["extends"] is None:
        if _is_empty(own):
            # It would be the centred swing, which nobody who wrote a file meant.
            raise TurnstillError(
                f"{label} sets nothing, so it is no swing; write a section such as [pieces] or an extends line into it "
                "(turnstill presets show centred prints a file to start from)."
            )
        return own
    try:
        base = _load(content["extends"], own_folder, (*above, identity))
    except TurnstillError as wrong:
        # The innermost message names its own file; only a base that is not there needs to say who asked for it.
        if isinstance(wrong, _NotThere):
            raise TurnstillError(f"{label}: extends: {wrong}") from wrong
        raise
    return own.over(base)


def _is_empty(own: Setup) -> bool:
    """Whether a file says nothing of a swing."""
    return not own.timing and not any(own.values.values())


class _NotThere(TurnstillError):
    """A preset or file that does not exist."""


def _read(name_or_file: str, folder: Path) -> tuple[str, str, str, Path, str]:
    """Text, label, name, folder and identity of a preset or a file."""
    if name_or_file in preset_names():
        return preset_text(name_or_file), f"preset {name_or_file}", name_or_file, Path(), name_or_file
    try:
        path = folder / Path(name_or_file).expanduser()
        looks_like_a_file = path.suffix == ".toml" or len(Path(name_or_file).parts) > 1 or path.exists()
        identity = str(path.resolve())
    except (OSError, ValueError, RuntimeError) as wrong:  # Null bytes, endless links, an unknown home.
        raise _NotThere(_no_such(name_or_file)) from wrong
    if not looks_like_a_file or not name_or_file:
        raise _NotThere(_no_such(name_or_file))
    label = (
        path.name if path.name and path.name.isprintable() and len(path.name) < 100 else echo(path.name or name_or_file)
    )
    return _read_file(path, label), label, sound(path.stem), path.parent, identity


def _read_file(path: Path, label: str) -> str:
    instead = "give a preset's name or a TOML file"
    try:
        data = plain_bytes(path, label, most=LARGEST_FILE_BYTES, what="preset", instead=instead)
    except FileNotFoundError as missing:
        raise _NotThere(f"There is no file {label}; {instead}.") from missing
    if data.startswith(DATABASE):
        raise TurnstillError(
            f"{label} is a student's record and no swing; give it with --student, and here {instead[5:]}."
        )
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as wrong:
        raise TurnstillError(f"{label} is not UTF-8 text; save it as UTF-8.") from wrong


def _no_such(name: str) -> str:
    names = preset_names()
    return f"There is no preset or file {echo(name)}.{nearest(name, names)} turnstill presets lists those there are."


def setup_of(name: str, content: Mapping[str, Any]) -> Setup:
    """The setup that a preset's checked content says."""
    body = dict(content.get("body") or {})
    values = {
        quantities.ADDRESS_SECTION: content.get("address") or {},
        quantities.PIECES_SECTION: content.get("pieces") or {},
        quantities.HEAD_SECTION: content.get("head") or {},
        quantities.IMPACT_SECTION: content.get("impact") or {},
        quantities.ARMS_SECTION: content.get("arms") or {},
        quantities.LENGTHS_SECTION: body.pop("lengths_cm", None) or {},
        quantities.RANGES_SECTION: body.pop("ranges_deg", None) or {},
        quantities.BODY_SECTION: body,
    }
    return Setup(name, content.get("shows", ""), values, content.get("timing") or {})


def content_of(setup: Setup) -> dict[str, Any]:
    """What a preset file would hold to say a setup: what `setup_of` reads again, in the sections' order."""
    sections: dict[str, Any] = {"shows": setup.shows} if setup.shows else {}
    for section in SECTIONS:
        values = {
            key: one.in_full if isinstance(one, Departure) else one for key, one in setup.section(section).items()
        }
        if not values:
            continue
        outer, _, inner = section.partition(".")
        where = sections.setdefault(outer, {}) if inner else sections
        where[inner or outer] = values
    if setup.timing:
        sections["timing"] = {piece: [list(knot) for knot in knots] for piece, knots in setup.timing.items()}
    return sections
