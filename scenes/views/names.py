"""How the views are called and asked for, what their marks mean, and what each shows of a swing."""

from __future__ import annotations

from collections.abc import Sequence

from ...model.errors import TurnstillError

FACE_ON, DOWN_THE_LINE, ABOVE = "face-on", "down-the-line", "above"
VIEW_TITLES = {
    FACE_ON: "Face-on",
    DOWN_THE_LINE: "Down the line",
    ABOVE: "From above",
}
VIEWS = (FACE_ON, DOWN_THE_LINE)
"""What coaches film, and what is shown where nothing else is asked for."""
VIEW_NOTES = {
    FACE_ON: "Lean is the trunk's angle from the vertical in this view, away from the target positive; "
    "the yellow plumb line goes through the head at address.",
    DOWN_THE_LINE: "Inclination is the trunk's angle from the vertical in this view, toward the ball positive.",
    ABOVE: "The golfer faces down the picture, the target at the side as face-on. Hip line and shoulder line, drawn "
    "longer than they are with a dot at the lead end, have their turn away from the target; the line along each foot "
    "has its flare, outward positive.",
}
SEEN = {
    FACE_ON: ((1, 2), ("lean_face_on_deg",)),
    DOWN_THE_LINE: ((0, 2), ("inclination_down_the_line_deg",)),
    ABOVE: ((0, 1), ("hip_turn_deg", "shoulder_turn_deg")),
}
"""View to the axes in which it shows the head move, and to the angles of a moment that it shows."""
_TRUNK = {
    FACE_ON: "its lean face-on, away from the target positive",
    DOWN_THE_LINE: "its inclination down the line",
}


def chosen_views(words: str | None) -> tuple[str, ...]:
    """Views asked for, separated by commas, in the order asked; ``VIEWS`` if not asked.

    Raises:
        TurnstillError: for none, for a view there is not, or for one twice.
    """
    if words is None:
        return VIEWS
    asked = tuple(word.strip().replace(" ", "-") for word in words.split(","))
    if not set(asked) <= set(VIEW_TITLES) or len(set(asked)) < len(asked):
        *others, last = VIEW_TITLES
        raise TurnstillError(
            f"--views was {words[:60]!r}, but must be {', '.join(others)} or {last}, or several of them with commas "
            "between, each once."
        )
    return asked


def angles_told(views: Sequence[str]) -> str:
    """Which angles a film of these views writes."""
    trunk = ", ".join(_TRUNK[view] for view in views if view in _TRUNK)
    told = [f"The angle is the trunk's from the vertical: {trunk}."] if trunk else []
    if ABOVE in views:
        told.append(
            "From above, the angles are the turns of hip line and shoulder line away from the target and the flare of "
            "each foot."
        )
    return " ".join(told)
