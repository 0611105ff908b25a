"""The next feel of a piece: what is missing of it, how much of that it can make up for, and what to ask for.

A feel gives back what was overdone or adds what is missing, and never makes a fault of its own: it takes its piece to
its reference and no farther. Where that leaves the head about where it is, a piece that was overdone is offered.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ...model.chain.steady import STILL_M
from ...model.errors import TurnstillError
from ...model.films import dose, standing
from ...model.films.dose import Amount, Dose
from ...model.golfer.pieces import PIECES
from ..setups.quantities import to_model
from ..words.cautions import NOTICEABLE_CM
from ..words.pieces import NAMES
from .films import FACE_ON, Film, Record, films_of, heads_m, stands

NOTICEABLE_M = NOTICEABLE_CM / 100.0


@dataclass(frozen=True)
class NextFeel:
    """What to ask of one piece; rad or m.

    Attributes:
        piece: of `PIECES`.
        missing: what would bring the head nearest to its place, or what was given.
        film: the film of the head that says so; None where it was given.
        stands: how far the piece is from its reference by now; None where what is missing was given, which says it.
        wanted: as much of what is missing as does not take the piece past its reference.
        dose: of what is wanted.
    """

    piece: str
    missing: Amount
    film: Film | None
    stands: Amount | None
    wanted: Amount
    dose: Dose

    @property
    def since(self) -> bool:
        """Whether what later films showed of the piece was taken off."""
        return self.film is not None and self.missing is not self.film.missing

    @property
    def inside(self) -> bool:
        """Whether the head was still on the film."""
        return self.film is not None and self.film.off() <= STILL_M and not self.since

    @property
    def held_back(self) -> bool:
        """Whether less is wanted than the head asks for."""
        return abs(float(self.wanted.mean)) < abs(float(self.missing.mean))

    def off(self, made_up: float) -> float | None:
        """How far off the head would be with so much made up for, m; None where no film says."""
        if self.film is None:
            return None
        return self.film.off(float(self.film.missing.mean - self.missing.mean) + made_up)

    @property
    def gain(self) -> float:
        """How much nearer to its place the head would be with what is wanted, m."""
        now, then = self.off(0.0), self.off(float(self.wanted.mean))
        return np.inf if now is None or then is None else now - then

    @property
    def hardly_helps(self) -> bool:
        """Whether the head would be about where it is, and not still, with all that is wanted."""
        then = self.off(float(self.wanted.mean))
        return then is not None and then > STILL_M and self.gain < NOTICEABLE_M

    @property
    def refused(self) -> bool:
        """Whether nothing of it is asked for, because what would help would be a fault of the piece's own."""
        return self.held_back and self.hardly_helps and not self.inside


def next_feel(record: Record, piece: str, given: Amount | None = None) -> NextFeel:
    """What to ask next of a piece.

    Args:
        record: worked out.
        piece: to work on.
        given: what is missing of it, rad or m; as the head says if not given.

    Raises:
        TurnstillError: where no film says what is missing.
    """
    unit = PIECES[piece].unit
    if given is None:
        film, missing = _missing_by_head(record, piece)
        where = stands(record, piece)
        wanted = standing.within_reach(missing, where, piece)
    else:
        film, missing, where, wanted = None, given, None, given
    noise = np.sqrt(2.0) * dose.SCATTER[unit]
    found = dose.next_feel(wanted, record.response(piece), dose.FEEL_CAP[unit], noise)
    return NextFeel(piece, missing, film, where, wanted, found)


def overdone_instead(record: Record, asked: NextFeel) -> NextFeel | None:
    """The overdone piece whose easing brings the head nearest, where the one asked about does not mend it."""
    if asked.film is None or asked.inside or not (asked.held_back or asked.hardly_helps):
        return None
    eased = []
    for piece in dict.fromkeys(entry.piece for _, entry in record.entries if entry.piece):
        films = films_of(record, piece)
        # Both must speak of the same film, or their heads cannot be compared.
        if piece == asked.piece or not films or films[-1].number != asked.film.number:
            continue
        one = next_feel(record, piece)
        if films[-1].way * one.wanted.mean < 0 and one.dose.shown and one.gain >= max(NOTICEABLE_M, asked.gain):
            eased.append(one)
    return max(eased, key=lambda one: one.gain, default=None)


def _missing_by_head(record: Record, piece: str) -> tuple[Film, Amount]:
    """What is missing as of the last film: by the head as last seen, less what films have shown of the piece since."""
    unit, films = PIECES[piece].unit, films_of(record, piece)
    if not films:
        read = bool(np.isfinite(heads_m([entry for _, entry in record.entries])[:, list(FACE_ON)]).any())
        why = (
            f"{NAMES[piece].capitalize()} moves the head too little face-on to be dosed by it"
            if read
            else "No film in the record says where the head was face-on"
        )
        raise TurnstillError(
            f"{why}, so say what is missing with --missing, for example what turnstill diagnose finds"
            f"{'' if read else ', or add a film with --head-toward-target-cm'}."
        )
    film, missing = films[-1], films[-1].missing
    place = [number for number, _ in record.entries].index(film.number)
    for _, entry in record.entries[place + 1 :]:
        if entry.piece == piece and entry.got is not None:
            sd = np.hypot(missing.sd, to_model(unit, entry.got_read_sd))
            missing = Amount(np.asarray(missing.mean - to_model(unit, entry.got)), np.asarray(sd))
    return film, missing
