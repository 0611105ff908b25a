"""What commands have in common: how swings and bodies are named, and how errors are told.

Imports nothing heavy, so that ``--help`` comes at once.
"""

from __future__ import annotations

import functools
import inspect
import re
from collections.abc import Callable, Mapping
from typing import Annotated, Any, NoReturn, get_type_hints

import typer
from typer.models import OptionInfo

from ..delivery import written
from ..delivery.outcome import USER_ERROR, outcome
from ..delivery.terminal import say

_LIKE_AN_OPTION = re.compile(r"-h|--[A-Za-z][\w-]*(=.*)?")

Swing_ = Annotated[
    str,
    typer.Argument(metavar="PRESET_OR_FILE", help="A preset's name (turnstill presets lists them), or your own file."),
]
Set_ = Annotated[
    list[str] | None,
    typer.Option(
        "--set",
        metavar="NAME=VALUE",
        help="Change one thing, in degrees and centimetres or with its unit, and repeat for more: --set hip_turn=50 "
        "--set tilt=steady+10 --set sway=2in --set trail_hip_internal_rotation=25. steady is what keeps this body's "
        "head still. turnstill presets settable lists every name.",
    ),
]
# An amount is a text here, so that it may bring its unit; a plain number is in the unit that the option is named after.
Stature_ = Annotated[
    str | None, typer.Option("--stature-cm", "--stature", metavar="CM", help="Body height in cm, or such as 5ft10.")
]
Mass_ = Annotated[
    str | None, typer.Option("--mass-kg", "--mass", metavar="KG", help="Body mass in kg, or such as 170lb or 12st4.")
]
Sex_ = Annotated[str | None, typer.Option(metavar="male|female", help="Whose average proportions and ranges.")]
Left_ = Annotated[bool, typer.Option("--left-handed", help="A left-handed golfer: the mirror image.")]
Student_ = Annotated[
    str | None,
    typer.Option(
        metavar="FILE",
        help="A student's record: take the body and usual address kept there by turnstill record body.",
    ),
]
MOMENTS = 41
"""Of a swing where nothing else is asked, as the model has them."""
Frames_ = Annotated[int, typer.Option(metavar="NUMBER", help="Moments from address to top, 2 to 2001.")]
Json_ = Annotated[
    str | None, typer.Option("--json", metavar="FILE", help="Write everything as JSON; - means the screen.")
]
Inches_ = Annotated[
    bool, typer.Option("--inches", help="Show lengths in inches; plain numbers you give and the JSON stay metric.")
]

Through_ = Annotated[
    str, typer.Option("--through", metavar="top|impact", help="Where the swing ends: at the top, or past the ball.")
]
TOP, IMPACT = "top", "impact"


def goes_through_impact(through: str) -> bool:
    """What ``--through`` says.

    Raises:
        TurnstillError: for anything else.
    """
    if through not in (TOP, IMPACT):
        from ...model.errors import TurnstillError

        raise TurnstillError(f'--through was "{through[:40]}", but must be {TOP} or {IMPACT}.')
    return through == IMPACT


Views_ = Annotated[
    str | None,
    typer.Option(
        metavar="VIEW,VIEW",
        help="face-on, down-the-line, above, or several with commas between; the first two if not given.",
    ),
]


def fail(sentence: str) -> NoReturn:
    """Say it and end as a user's error."""
    say(sentence)
    raise typer.Exit(USER_ERROR)


def spoken_errors(command: Callable[..., None]) -> Callable[..., None]:
    """Turn everything a user can get wrong into one sentence and exit status 2."""

    @functools.wraps(command)
    def run(*args: Any, **options: Any) -> None:
        from ..delivery import this_command

        written.begin()
        try:
            this_command.begin()
            _check_no_option_for_a_value(run, options)
            command(*args, **options)
        except BaseException as wrong:
            known = outcome(wrong)
            if known is None:
                raise
            status, sentence = known
            if sentence:
                say(sentence)
            raise typer.Exit(status) from None

    return run


def _check_no_option_for_a_value(command: Callable[..., None], given: Mapping[str, object]) -> None:
    """``--json --inches`` is a value forgotten, not a file called ``--inches``.

    Raises:
        TurnstillError: for any option that takes a value and was given what looks like another option.
    """
    from ...model.errors import TurnstillError

    for name, hint in get_type_hints(command, include_extras=True).items():
        options = [one for one in getattr(hint, "__metadata__", ()) if isinstance(one, OptionInfo)]
        value = given.get(name)
        for text in value if isinstance(value, list) else [value]:
            if options and isinstance(text, str) and _LIKE_AN_OPTION.fullmatch(text):
                option = _spoken(options[0], name)
                raise TurnstillError(
                    f"{option} was given {text[:60]}, which is an option and no value; say what {option} is, or leave "
                    f"it out (a file of that name is ./{text[:60]})."
                )


def _spoken(option: OptionInfo, parameter: str) -> str:
    # An option's first name stands where typer's older way of declaring had the value if nothing is given.
    names = (one for one in (option.default, *(option.param_decls or ())) if str(one).startswith("--"))
    return str(next(names, f"--{parameter.replace('_', '-')}"))


_GOLFER: dict[str, tuple[Any, Any]] = {
    "settings": (Set_, None),
    "stature": (Stature_, None),
    "mass": (Mass_, None),
    "sex": (Sex_, None),
    "left_handed": (Left_, False),
}
"""Options that say who swings and what is set, with what they are where nobody says."""
_STUDENT = {"student": (Student_, None)}


def of_a_golfer(command: Callable[..., None], *, student: bool = True) -> Callable[..., None]:
    """Give a command the options that say who swings and what is set; it gets them all as its ``settings``.

    Args:
        command: with a parameter ``settings: list[str]`` where the options shall stand; an option in its type is what
            ``--set`` is there.
        student: also take the golfer from a student's record.
    """
    own, hints = inspect.signature(command), get_type_hints(command, include_extras=True)
    options = _GOLFER | (_STUDENT if student else {})

    @spoken_errors
    @functools.wraps(command)
    def run(**given: Any) -> None:
        who = {name: given.pop(name) for name in options}
        command(**given, settings=with_body(**who))

    parameters: dict[str, inspect.Parameter] = {}
    for name, parameter in own.parameters.items():
        if name != "settings":
            parameters[name] = parameter.replace(annotation=hints[name], kind=inspect.Parameter.KEYWORD_ONLY)
            continue
        help_of_set = getattr(hints[name], "__metadata__", None)
        for option, (kind, usual) in options.items():
            kind = Annotated[list[str] | None, *help_of_set] if option == name and help_of_set else kind
            parameters[option] = parameter.replace(name=option, default=usual, annotation=kind)
    run.__signature__ = own.replace(parameters=list(parameters.values()))  # type: ignore[attr-defined]
    run.__annotations__ = {name: parameter.annotation for name, parameter in parameters.items()}
    return run


class OptionSetting(str):
    """A setting that an option of its own was given for, which is what a message names."""

    __slots__ = ()

    @property
    def option(self) -> str:
        """For example ``--stature``."""
        return f"--{self.partition('=')[0]}"


def with_body(
    settings: list[str] | None,
    stature: str | None,
    mass: str | None,
    sex: str | None,
    left_handed: bool,
    student: str | None = None,
) -> list[str]:
    """The body's options as settings; they win over what a student's record keeps, and ``--set`` over both.

    Raises:
        TurnstillError: a record that cannot be read, or keeps no body.
    """
    given = {"stature": stature, "mass": mass, "sex": sex, "handedness": "left" if left_handed else None}
    own = [OptionSetting(f"{name}={value}") for name, value in given.items() if value is not None]
    kept = []
    if student is not None:
        from .student import student_settings

        kept = student_settings(student)
    return [*kept, *own, *(settings or [])]
