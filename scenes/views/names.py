"""How the two views are called, what their marks mean, and what each shows of the head."""

from __future__ import annotations

VIEW_TITLES = {
    "face-on": "Face-on",
    "down-the-line": "Down the line",
}
VIEW_NOTES = {
    "face-on": "Lean is the trunk's angle from the vertical in this view, away from the target positive; "
    "the yellow plumb line goes through the head at address.",
    "down-the-line": "Inclination is the trunk's angle from the vertical in this view, toward the ball positive.",
}
SEEN = {
    "face-on": ((1, 2), "lean_face_on_deg"),
    "down-the-line": ((0, 2), "inclination_down_the_line_deg"),
}
"""View to the axes in which it shows the head move, and to the lean it shows."""
