"""What a club tends to do that passes the ball so high and so steeply: common practice, without a source."""

from __future__ import annotations

from .units import told_length

LEVEL_CM = 0.3
"""A club this near the ball's height meets it as it should (our choice)."""
BALL_CM = 4.3
"""A ball's diameter, 42.67 mm at least by the rules of golf (from memory)."""
MISSES_CM = 4.0
"""A clubhead so much farther out or in than the ball, half a clubhead, does not meet it (our choice)."""


FAT, OVER, RISING, THIN, HIGH = "fat", "over the ball", "on the way up", "thin", "a little high, toward thin"
_TENDS = {
    OVER: "It would pass over the ball unless the arms reach further down for it (common practice, no source).",
    RISING: "It meets the ball on the way up, as a driver from a tee may and an iron should not (common practice).",
    THIN: "It would meet the ball above its middle: thin (common practice, no source).",
    HIGH: "It would meet the ball a little high, toward thin (common practice, no source).",
}
_BESIDE = {
    THIN: "It comes higher than the ball’s middle, which would be thin (common practice, no source).",
    HIGH: "It comes a little high, toward thin (common practice, no source).",
}
"""Of a club that passes beside the ball."""


def called_by_height(
    up_cm: float, descent_deg: float, ground_before_ball_cm: float | None, *, misses: bool = False
) -> str:
    """What a club that passes so is called; empty where it meets the ball as it should.

    Arguments are those of `tends_by_height`; of one that passes beside the ball it is not told that it goes up there.
    """
    if ground_before_ball_cm is not None and up_cm < -LEVEL_CM:
        return FAT
    if up_cm > BALL_CM:
        return OVER
    if descent_deg < 0.0 and up_cm > -LEVEL_CM and not misses:
        return RISING
    if up_cm > BALL_CM / 2.0:
        return THIN
    return HIGH if up_cm > LEVEL_CM else ""


def tends_by_height(
    up_cm: float, descent_deg: float, ground_before_ball_cm: float | None, inches: bool = False, *, misses: bool = False
) -> str:
    """A sentence; empty where it meets the ball as it should.

    Args:
        up_cm: the clubhead above the ground where it passes the ball.
        descent_deg: how much it goes down there.
        ground_before_ball_cm: how far before the ball it comes down to the ground's level, where it does.
        inches: lengths in inches.
        misses: whether it passes beside the ball: then how it would meet it is not told, only what its height is.
    """
    called = called_by_height(up_cm, descent_deg, ground_before_ball_cm, misses=misses)
    if called == FAT:
        far = told_length(ground_before_ball_cm or 0.0, inches)
        return f"It comes to the ground {far} before the ball: fat (common practice, no source)."
    return (_TENDS | _BESIDE if misses else _TENDS).get(called, "")


def height_words(up_cm: float, inches: bool = False) -> str:
    """Where a club is at the ball: ``level with it``, ``1.2 cm below the ground``."""
    if abs(up_cm) < LEVEL_CM:
        return "level with it"
    return f"{told_length(abs(up_cm), inches)} {'above' if up_cm > 0 else 'below'} the ground"


def aside_words(out_cm: float, inches: bool = False) -> str:
    """How far beside the ball a club passes it, for example ``3.1 cm farther out than the ball``."""
    side = "farther out than the ball" if out_cm > 0 else "to the golfer’s side of the ball"
    return f"{told_length(abs(out_cm), inches)} {side}"
