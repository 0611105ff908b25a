"""What films say, kept in a student's record as if it had been read off them by hand."""

from __future__ import annotations

import shlex
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ...model.errors import TurnstillError
from ..delivery.terminal import say, tell
from ..delivery.this_command import note_read
from ..record.acknowledge import acknowledge
from ..record.entry import FROM_FILMS, HEADS, LONGEST_NOTE, Entry, ImpactReading
from ..record.store import add_once
from ..record.work import entry_given
from ..setups.student import files_of, kept_of
from ..words.legible import sound

if TYPE_CHECKING:
    from .report import ReadReport


@dataclass(frozen=True)
class Own:
    """What a record keeps of its student that films are read with; None where it keeps none."""

    stature: str | None = None
    sex: str | None = None
    left_handed: bool | None = None


@dataclass(frozen=True)
class Keeping:
    """Where to keep a reading, and what nobody reads off films.

    Attributes:
        target: the record; it is begun if it is not there yet.
        told: date, piece, felt and note, those that were given, as texts.
    """

    target: str
    told: Mapping[str, str]

    def opened(self) -> Own:
        """What the record keeps of the student.

        Raises:
            TurnstillError: it is no record, or what was told is no entry's.
        """
        self._entry({"head_up_cm": 0.0})
        if not self._there:
            return Own()
        note_read(*files_of(self.target))
        kept = kept_of(self.target)
        stature, sex, hand = (kept.get(name) for name in ("stature_cm", "sex", "handedness"))
        return Own(
            None if stature is None else str(stature),
            None if sex is None else str(sex),
            None if hand is None else hand == "left",
        )

    def new_file(self) -> dict[str, str]:
        """The record as an output, where it is not there yet."""
        return {} if self._there else {"--record": self.target}

    @property
    def _there(self) -> bool:
        try:
            return Path(self.target).exists()
        except (OSError, ValueError):
            return False

    def entry_of(self, report: ReadReport, films: Iterable[str]) -> Entry:
        """What goes into the record: how far the head moved, as sure as the least sure of it, and the inclination.

        Args:
            report: of the films.
            films: their names.

        Raises:
            TurnstillError: nothing of it may go there.
        """
        if report.hardly_together:
            raise TurnstillError(
                "These two films hardly go together, so nothing is kept of them; make sure that both show the same "
                "golfer, or read one of them alone."
            )
        read = {one.reading: one for one in report.readings}
        heads = [name for name in HEADS if name.removesuffix("_cm") in read]
        then = report.at_impact.readings if report.at_impact is not None else []
        if not heads and not then:
            raise TurnstillError("These films leave open how the head moved, so there is nothing to keep; film again.")
        found = {name: round(read[name.removesuffix("_cm")].value, 2) for name in heads}
        if heads:
            found["head_sd_cm"] = round(max(max(read[name.removesuffix("_cm")].sd for name in heads), 0.1), 2)
        if "inclination_change" in read:
            found["inclination_change_deg"] = round(read["inclination_change"].value, 2)
        own = f"{FROM_FILMS}: {', '.join(sound(Path(name).name) for name in films)}"
        by_hand = tuple(ImpactReading(one.reading, one.value, one.sd if one.sd_given else None) for one in then)
        return self._entry(found, own, by_hand)

    def _entry(
        self, found: Mapping[str, float], own: str = FROM_FILMS, at_impact: tuple[ImpactReading, ...] = ()
    ) -> Entry:
        note = self.told.get("note")
        given: dict[str, Any] = dict(self.told) | {name: repr(value) for name, value in found.items()}
        given["note"] = f"{own[: LONGEST_NOTE // 2]}; {note}" if note else own[:LONGEST_NOTE]
        return entry_given(given | {"at_impact": at_impact})

    def keep(self, entry: Entry, report: ReadReport, *, on_screen: bool) -> None:
        """Write it, and say so and what comes next; on standard error where standard output carries the JSON.

        Raises:
            TurnstillError: nothing was written.
        """
        number, there = add_once(self.target, entry)
        told = f"Entry {number} of {self.target} has just that" if there else f"Entry {number} is in {self.target}"
        if not on_screen:
            say(told)
            return
        acknowledge(told)
        tell(f"For the next feel: {self._next(report)}")

    def _next(self, report: ReadReport) -> str:
        words = ["turnstill", "record", "next", self.target]
        feel = report.feel
        if feel is not None:
            words += [
                "--piece",
                feel.piece,
                "--missing",
                f"{feel.amount:.1f}",
                "--missing-sd",
                f"{max(feel.sd, 0.1):.1f}",
            ]
        elif "piece" not in self.told:
            words += ["--piece", report.each_piece[0].piece]
        return shlex.join(words)
