"""What a page may ask for: every value is held to the ranges that files and the command line are held to."""

from __future__ import annotations

import json
from typing import Annotated, Any, Literal, NoReturn, TypeVar

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from ...model.errors import TurnstillError
from ..setups.options import IMPACT
from ..setups.preset_file import checked
from ..setups.presets import Setup, from_text, setup_of
from ..setups.quantities import BODY_SECTION, SECTIONS, echo

LARGEST_MESSAGE = 64_000
"""Bytes; a swing that sets everything there is has a tenth of it."""
LONGEST_NAME = 60
MOST_SWINGS = 2
_WHERE = "see the messages in docs/live.md"
Message = TypeVar("Message", bound=BaseModel)
Through = Literal["top", "impact"]
"""Where a swing ends, as ``--through`` says it."""
Name = Annotated[str, Field(min_length=1, max_length=LONGEST_NAME)]


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


class SwingMessage(_Strict):
    """A whole setup, as a preset file has it; what is not said is the centred preset's.

    Attributes:
        name: how the swing is called.
        values: section to key to value.
        timing: piece to knots.
        through: where the swing ends.
        most_hip_turn: also tell how far the hips could turn.
        drawn: also tell how the figure moves.
    """

    name: Name = "swing"
    values: dict[str, Any] = {}
    timing: dict[str, Any] = {}
    through: Through = "top"
    most_hip_turn: bool = False
    drawn: bool = True

    @property
    def on(self) -> bool:
        """Whether the swing goes on through impact."""
        return self.through == IMPACT

    def setup(self) -> Setup:
        """The setup that is asked for.

        Raises:
            TurnstillError: for a section or a key there is not, or a value that is not allowed.
        """
        document: dict[str, Any] = {"timing": self.timing} if self.timing else {}
        for section, values in self.values.items():
            if section not in SECTIONS:
                raise TurnstillError(f"{echo(section)} is no section of a swing; there are {', '.join(SECTIONS)}.")
            outer, _, inner = section.partition(".")
            if inner:
                body = document.setdefault(BODY_SECTION, {})
                if isinstance(body, dict):
                    document[outer] = {**body, inner: values}
            else:
                said = document.get(outer)
                document[outer] = {**said, **values} if said and isinstance(values, dict) else values
        if not self.name.isprintable():
            raise TurnstillError("The name of a swing must be one line of letters that can be seen.")
        return setup_of(self.name, checked(document))


class OpenMessage(_Strict):
    """A preset file that is opened in the page.

    Attributes:
        name: of the file, without its ending.
        text: what stands in it.
    """

    name: Name
    text: Annotated[str, Field(max_length=LARGEST_MESSAGE)]

    def setup(self) -> Setup:
        """The setup that it holds.

        Raises:
            TurnstillError: where it is not a sound preset.
        """
        if not self.name.isprintable():
            raise TurnstillError("The name of a swing must be one line of letters that can be seen.")
        return from_text(self.name, self.text)


class EntryMessage(_Strict):
    """What a student's record is told beside the body: the fields of ``turnstill record add``, as texts."""

    piece: str | None = None
    felt: str | None = None
    note: str | None = None


class SaveMessage(_Strict):
    """What shall be kept, and under which name.

    Attributes:
        kind: what is made of the swings.
        name: of the file or folder, without its ending.
        setups: one or two swings.
        through: where the swings of a page, a picture or a film end.
        replace: an earlier one of that name may be replaced.
        entry: for a student's record, what was worked on.
    """

    kind: Literal["preset", "page", "picture", "film", "sheet", "student record"] = Field(alias="as")
    name: Name
    setups: Annotated[list[SwingMessage], Field(min_length=1, max_length=MOST_SWINGS)]
    through: Through = "top"
    replace: bool = False
    entry: EntryMessage | None = None

    @property
    def strikes(self) -> bool:
        """Whether the swings go on to the ball in what is kept; a sheet is of the top, a record of the golfer alone."""
        return self.through == IMPACT and self.kind not in ("sheet", "student record")


class NotUnderstood(TurnstillError):
    """A message that is no JSON, or not one of ours."""


def read(kind: type[Message], data: bytes) -> Message:
    """A message from the bytes that came.

    Raises:
        NotUnderstood: for bytes that are no JSON text, in one sentence.
        TurnstillError: for a message with what does not belong there.
    """
    try:
        document = json.loads(data.decode("utf-8"), parse_constant=_no_number)
    except RecursionError as deep:
        raise NotUnderstood("The message is nested too deeply.") from deep
    except ValueError as wrong:  # No UTF-8, no JSON, and integers that Python refuses to read.
        raise NotUnderstood(f"The message is not a JSON text in UTF-8; {_WHERE}.") from wrong
    if not isinstance(document, dict):
        raise NotUnderstood(f"The message was {echo(document)}, but must be a JSON object; {_WHERE}.")
    try:
        return kind.model_validate(document)
    except ValidationError as problems:
        raise TurnstillError(_sentence(problems.errors(include_url=False)[0])) from None


def _no_number(text: str) -> NoReturn:
    raise ValueError(text)


def _sentence(problem: Any) -> str:
    """One sentence about the first thing that is wrong with a message."""
    place = ".".join(str(part) for part in problem["loc"])[:80] or "the message"
    if problem["type"] == "extra_forbidden":
        return f"{echo(place)} does not belong into this message; {_WHERE}."
    if problem["type"] == "missing":
        return f"{place} is missing in this message; {_WHERE}."
    if problem["type"] in ("string_too_short", "string_too_long"):
        least, most = (problem["ctx"].get(f"{end}_length") for end in ("min", "max"))
        wanted = f"at least {least}" if most is None else f"at most {most}"
        return f"{place} was {echo(problem['input'])}, but must have {wanted} characters."
    allowed = str(problem["msg"]).removeprefix("Input should ").removeprefix("be ")
    return f"{place} was {echo(problem['input'])}, but must be {allowed}."
