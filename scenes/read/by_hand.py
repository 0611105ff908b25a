"""What somebody read at impact by hand, beside films that tell address and top themselves."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from ...model.errors import TurnstillError
from ..diagnose.moments import TOP
from ..diagnose.of_body import asked_at_impact
from ..diagnose.readings import Asked, Number, by_moment
from ..setups.presets import Setup, load
from ..setups.quantities import echo


@dataclass(frozen=True)
class ByHand:
    """Readings at impact as they were given.

    Attributes:
        read: ``impact.NAME=VALUE`` in any unit.
        sd: likewise, the uncertainty of one.
        group_sd: ``head``, ``pelvis`` and ``angle`` to the uncertainty of all of that group.
    """

    read: Sequence[str] = ()
    sd: Sequence[str] = ()
    group_sd: Mapping[str, Number | None] = field(default_factory=dict)

    def check(self) -> None:
        """Refuse what is no reading at impact, before films are looked at.

        Raises:
            TurnstillError: in one sentence.
        """
        for option, texts in (("--read", self.read), ("--sd", self.sd)):
            if of_top := by_moment(texts)[TOP.name]:
                raise TurnstillError(
                    f"{option} {echo(of_top[0])} is of the top, which the films tell by themselves; readings by hand "
                    f"are of impact ({option} impact.NAME=VALUE), or all of them go to turnstill diagnose."
                )
        sure = [f"--{group}-sd-{'deg' if group == 'angle' else 'cm'}" for group, sd in self.group_sd.items() if sd]
        if not self.read and (self.sd or sure):
            raise TurnstillError(
                f"{'--sd' if self.sd else sure[0]} is of readings at impact, and there are none; give --read "
                "impact.NAME=VALUE too, or leave it out."
            )
        self.asked(load("centred"))

    def asked(self, setup: Setup) -> Asked | None:
        """All that was read of a golfer; None where nothing was.

        Raises:
            TurnstillError: for anything that cannot be a reading or an uncertainty.
        """
        if not self.read:
            return None
        return asked_at_impact(self.read, self.sd, setup, self.group_sd)
