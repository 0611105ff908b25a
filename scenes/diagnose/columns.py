"""The columns of a diagnosis' tables: each heading stands with the one field its numbers come from.

Readings, pieces and departures carry their unit in a field of their own, ``unit``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ..words.pieces import signed_amount
from .report import MomentDiagnosis


@dataclass(frozen=True)
class Column:
    """A column of amounts.

    Attributes:
        heading: on a page.
        field: of a row of the report.
        short: its heading in a terminal, a line each.
        signed: whether its numbers have a sign.
    """

    heading: str
    field: str
    short: str
    signed: bool = True

    def text(self, row: Any, inches: bool = False) -> str:
        """The row's amount with its unit."""
        shown = signed_amount(getattr(row, self.field), row.unit, inches)
        return shown if self.signed else shown.lstrip("+")


AS_EXPLAINED = Column("as explained", "most_probable", "as ex-\nplained")
READ = (
    Column("as read", "value", "as read"),
    Column("give or take", "sd", "give or\ntake", signed=False),
    Column("without a fault", "without_a_fault", "without\na fault"),
)
FROM_HOLD = Column("from what holds the head for the turn made", "from_what_holds_the_head", "from\nhold")
FROM_CENTRED = Column("from the centred turn", "from_centred", "from\ncentred")
DEPARTED = (Column("comes to", "made", "comes to"), FROM_HOLD, FROM_CENTRED)
LIKELY = Column("if so, by about", "most_likely", "if so,\nby about")
LOW, HIGH = Column("90 % between", "low", "90 %\nbetween"), Column("and", "high", "\nand")


def read_columns(report: MomentDiagnosis) -> tuple[Column, ...]:
    """What is shown of readings; where nothing fits, nothing explains them."""
    return (*READ, AS_EXPLAINED) if report.fits else READ
