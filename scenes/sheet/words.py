"""A sheet in plain sentences made from the computed numbers only."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from ...model.arrays import Array
from ...model.films import dose
from ...model.golfer.pieces import MAY_BE_STEADY
from ..setups.quantities import IMPACT_SECTION
from ..words.cautions import NOTICEABLE_CM, NOTICEABLE_DEG, arm_sentence, warnings
from ..words.low_point import WHY, low_point_sentence
from ..words.pieces import ALL_ELSE_STAYS, head_words, told_amount, ways
from ..words.units import told_length

if TYPE_CHECKING:
    from .report import AgainstReport, PlaceMovedReport, SheetMoment, SheetReport, TouchReport
    from .sheet import Sheet

FAR_CM = 2.0
"""A head that the change leaves farther off than this is pointed out (our choice)."""
PLACE_NAMES = {
    "breastbone": "breastbone, its upper end",
    "lead_shoulder": "lead shoulder",
    "trail_hip_pocket": "trail hip pocket",
    "belt_buckle": "belt buckle",
}
_STAND = {
    "wall_behind": "Stand with your back to a wall, the {starts} {far} from it",
    "before_head": "Have somebody hold a hand flat and still {far} from your head, on the ball's side",
    "trail_of_head": "Have somebody hold a hand flat and still {far} from your head, on the side away from the target",
    "lead_of_head": "Have somebody hold a hand flat and still {far} from your head, on the target's side",
    "over_head": "Have somebody hold a hand flat and still {far} over your head",
    "trail_of_hip": "Have somebody hold the end of a stick still {far} beside your trail hip, just behind the heels",
    "lead_of_hip": "Have somebody hold the end of a stick still {far} beside your lead hip, just behind the heels",
}
IMPACT_ELSEWHERE = "of impact turnstill strike and diagnose tell"
_TOP_ALONE = f"A sheet is of the way to the top alone: {IMPACT_ELSEWHERE}."
AT_HOME_CARE = "Slowly, without a club, the arms folded over the chest; never push against it."
_NOTHING_TO_TOUCH = (
    "No wall or stick tells the two swings apart by what this body would feel of a touch, so let the film tell."
)


def sentences(report: SheetReport, inches: bool = False) -> list[str]:
    """All that a sheet says, what to feel first."""
    return [
        head_sentence(report, inches),
        *feel_sentences(report, inches),
        *body_sentences(report, inches),
        *film_sentences(report),
        *at_home_sentences(report, inches),
        f"{WHY}: {_lower(why_sentence(report, inches))}",
        *report.feel.cautions,
    ]


def warnings_of(sheet: Sheet, inches: bool = False) -> list[str]:
    """What should not be overlooked in either swing; what is true of both is said once, and first what no sheet tells.

    What is left out is about the arms, of which a sheet says nothing.
    """
    now, after = (
        [line for line in warnings(side.swing, inches) if line != arm_sentence(side.swing)]
        for side in (sheet.now, sheet.after)
    )
    return [
        *([_TOP_ALONE] if sheet.now.setup.section(IMPACT_SECTION) else []),
        *(f"In both swings: {line}" for line in now if line in after),
        *(f"Now: {line}" for line in now if line not in after),
        *(f"After: {line}" for line in after if line not in now),
    ]


def head_sentence(report: SheetReport, inches: bool = False) -> str:
    """Where the head goes now, and after."""
    rest = "everything else as it was" if report.feel.piece in MAY_BE_STEADY else ALL_ELSE_STAYS
    return (
        f"Now the head ends the backswing {_head(report.now, inches)}; with {change_words(report, inches)}, {rest}, it "
        f"ends {_head(report.after, inches)}.{_wish(report, inches)}{_still_off(report)}"
    )


def _wish(report: SheetReport, inches: bool) -> str:
    """Where the head is wanted, if that is elsewhere than at address."""
    wanted = _wanted(report)
    if not wanted.any():
        return ""
    return f" It is wanted {head_words(wanted, inches)} than at address, on purpose, and counts as still there."


def _wanted(report: SheetReport) -> Array:
    """``(3,)`` cm from its place at address: toward ball, toward target, up."""
    return np.array([0.0, report.head_held.toward_target_cm, report.head_held.up_cm])


def _still_off(report: SheetReport) -> str:
    """What is left to do, or that this is not the way."""
    now, after = (float(np.linalg.norm(_place(moment) - _wanted(report))) for moment in (report.now, report.after))
    if after > now - NOTICEABLE_CM:
        return " So the head is no reason to change that."
    return " Another piece has moved it as well; that is for another day." if after > FAR_CM else ""


def _head(moment: SheetMoment, inches: bool) -> str:
    told = head_words_in(moment, inches, (0, 1, 2))
    return told if told.startswith("within") else f"{told} than at address"


def head_words_in(moment: SheetMoment, inches: bool, axes: tuple[int, ...]) -> str:
    """Where the head is, along the axes that a view shows."""
    return head_words(_place(moment), inches, axes)


def _place(moment: SheetMoment) -> Array:
    return np.array([moment.head_toward_ball_cm, moment.head_toward_target_cm, moment.head_up_cm])


def change_words(report: SheetReport, inches: bool = False) -> str:
    """For example ``10.0° more extension``."""
    feel = report.feel
    return f"{told_amount(abs(feel.change), feel.unit, inches)} {feel.what.partition(',')[0]}"


def felt_words(report: SheetReport, inches: bool = False) -> str:
    """How much to feel, whole degrees: ``18°``."""
    feel = report.feel
    return f"{abs(feel.felt):.0f}°" if feel.unit == "deg" else told_length(abs(feel.felt), inches)


def feel_sentences(report: SheetReport, inches: bool = False) -> list[str]:
    """What to feel, and why that is more than a film is to show."""
    feel = report.feel
    change = told_amount(abs(feel.change), feel.unit, inches)
    told = [f"Feel {felt_words(report, inches)} {feel.what}: {feel.do}."]
    more = "You are to feel more, since a" if abs(feel.felt) > abs(feel.change) else "A"
    part = f"In the end a film is to show {change}. {more} film shows only a part of what is felt (common practice)"
    if feel.expected is None:
        return [*told, f"{part}."]
    left = abs(feel.change) - abs(feel.expected)
    least = NOTICEABLE_DEG if feel.unit == "deg" else NOTICEABLE_CM
    rest = "" if left < least else f"; the other {told_amount(left, feel.unit, inches)} are for later films"
    told.append(
        f"{part}: {dose.PRIOR.mean:.0%} until your own films tell (assumption). So expect about "
        f"{told_amount(abs(feel.expected), feel.unit, inches)} on the next one{rest}."
    )
    whole = told_amount(abs(feel.change) / dose.PRIOR.mean, feel.unit, inches)
    why = f"Why not feel {whole}? Golfers differ, and whoever shows more of a feel would overdo it:"
    if feel.capped and feel.before_cap is not None:
        before, cap = (told_amount(abs(value), feel.unit, inches) for value in (feel.before_cap, feel.cap))
        told.append(
            f"{why} {before} would come nearest on average, but more than {cap} at once is not advised: go in "
            "steps and film between them."
        )
    else:
        told.append(f"{why} {felt_words(report, inches)} comes nearest on average.")
    return told


def body_sentences(report: SheetReport, inches: bool = False) -> list[str]:
    """What the change does to places that a hand can find."""
    told = []
    for one in report.on_the_body:
        place = PLACE_NAMES[one.place].capitalize()
        on_film, as_felt = both_moved_words(one.on_film, one.as_felt, inches)
        same = on_film == as_felt
        told.append(
            f"{place}: {on_film}, on film and as felt." if same else f"{place}: {on_film} on film, {as_felt} as felt."
        )
    return told


def both_moved_words(on_film: PlaceMovedReport, as_felt: PlaceMovedReport, inches: bool = False) -> tuple[str, str]:
    """For example ``5.1 cm (0.6 hand widths) nearer to the target and higher``, on film and as felt.

    The way is that of both together, so that what is felt is not told as another way than what is seen.
    """
    moved = [one for one in (on_film, as_felt) if one.distance_cm >= NOTICEABLE_CM]
    way = ways(sum((_vector(one) / one.distance_cm for one in moved), np.zeros(3))) if moved else ""

    def told(one: PlaceMovedReport) -> str:
        return f"{far_words(one.distance_cm, one.hand_widths, inches)} {way}" if one in moved else "hardly moves"

    return told(on_film), told(as_felt)


def _vector(moved: PlaceMovedReport) -> Array:
    return np.array([moved.toward_ball_cm, moved.toward_target_cm, moved.up_cm])


def far_words(distance_cm: float, hand_widths: float, inches: bool) -> str:
    """A length a hand can find: ``5.1 cm (0.6 hand widths)``."""
    return f"{told_length(distance_cm, inches)} ({hand_widths:.1f} hand widths)"


def film_sentences(report: SheetReport) -> list[str]:
    """How to check it on film."""
    feel = report.feel
    return [f"Face-on, {feel.face_on}; down the line, {feel.down_the_line}.", feel.check]


def _lower(text: str) -> str:
    return f"{text[0].lower()}{text[1:]}"


def at_home_sentences(report: SheetReport, inches: bool = False) -> list[str]:
    """What a wall or a stick would be touched by, with its care; or that none tells."""
    if not report.against:
        return [_NOTHING_TO_TOUCH]
    return [*(against_sentence(one, inches) for one in report.against), AT_HOME_CARE]


def against_sentence(one: AgainstReport, inches: bool = False) -> str:
    """How to stand, and what then touches now and after."""
    stand = _STAND[one.thing].format(starts=one.starts, far=far_words(one.distance_cm, one.hand_widths, inches))
    return f"{stand}. On the way to the top {_touch(one.now, inches)} now; after, {_touch(one.after, inches)}."


def _touch(touch: TouchReport, inches: bool) -> str:
    if touch.short_cm > 0.0:
        return f"the {touch.part} stays {told_length(touch.short_cm, inches)} short of it"
    return f"the {touch.part} would go {told_length(-touch.short_cm, inches)} past it"


def why_sentence(report: SheetReport, inches: bool = False) -> str:
    """Why it matters."""
    return low_point_sentence(report.arc_now, inches, after=report.arc_after)
