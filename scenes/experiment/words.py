"""An experiment in plain sentences made from the computed numbers only, and where it disagrees with common advice."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Any

from ..setups.knobs import told_value
from ..words.cautions import NOTICEABLE_CM, NOTICEABLE_DEG, listed, spoken
from ..words.units import shown_length

Step = dict[str, Any]

_ADVICE: dict[str, tuple[str, int]] = {
    "flare": ("feet turned out help the hips turn", 1),
    "lead_flare": ("feet turned out help the hips turn", 1),
    "trail_flare": ("feet turned out help the hips turn", 1),
    "knee_flex_change": ("knees that change flex help the hips turn", 1),
    "lead_flex_change": ("knees that change flex help the hips turn", 1),
    "trail_flex_change": ("knees that change flex help the hips turn", -1),
    "stance_width": ("a narrower stance lets the hips turn further", -1),
    "lead_heel_rise": ("a lead heel that comes up lets the hips turn further", 1),
    **{
        f"{side}hip_{way}_rotation": ("freer hips turn further", 1)
        for side in ("", "lead_", "trail_")
        for way in ("internal", "external")
    },
}
"""What is widely taught (common practice, no source), and which way of the quantity is said to give more hip turn."""
_BY_FLARE = {
    "lead": (
        "turning the lead foot out takes that leg outward with it, and turning the hips away from the target rotates "
        "the same leg outward as well, so the two add up",
        ("lead_hip_external_rotation", "lead_shin_external_rotation"),
    ),
    "trail": (
        "turning the trail foot out takes that leg the way the hips go, so hip and shin have less left to rotate "
        "inward",
        ("trail_hip_internal_rotation", "trail_shin_internal_rotation"),
    ),
}
_MORE_THAN_THERE_IS = (
    " The most hip turn available is counted with knees, sway and hips toward ball held as asked. A swing "
    "that asks for more gets a little more than that by giving up some of the rest."
)
_LEFT_OUT = (
    " One thing alone is tried here, by bones and joints: what usually goes along with it, muscles, balance and the "
    "downswing are left out, and the advice may be about those."
)
_SMALL_DEG = 3.0
"""Less hip turn than this is less than bodies of the same size differ by (our judgement)."""
_SAME_TURN_DEG = 0.5
_WIDE_DEG = 0.05
_SAME_STRAIN = 0.1


def number(value: float) -> str:
    """A whole number of degrees."""
    return f"{round(value) + 0:d}"


def value_words(report: dict[str, Any], value: float) -> str:
    """A value of what was tried, with its unit."""
    tried = report["experiment"]
    return told_value(value, tried["unit"], tried["from_steady"])


def limit_words(names: Sequence[str]) -> str:
    """Ranges in words, for example ``trail hip internal rotation and trail shin internal rotation``."""
    return listed([spoken(name) for name in names]) if names else "nothing within 156°"


def runs(steps: Sequence[Step]) -> list[dict[str, Any]]:
    """Stretches of steps where the same ranges stop the most hip turn."""
    found: list[dict[str, Any]] = []
    for step in steps:
        if found and found[-1]["ranges"] == step["limited_by"]:
            found[-1]["to_value"] = step["value"]
        else:
            found.append({"from_value": step["value"], "to_value": step["value"], "ranges": step["limited_by"]})
    return found


def sentences(report: dict[str, Any], inches: bool = False) -> list[str]:
    """What came of it, in the order a golfer asks."""
    steps = [step for step in report["steps"] if step["converged"]]
    if len(steps) < 2:
        return ["Too few steps could be computed to say anything; try values nearer to a usual stance."]
    lines = [_room(report, steps), _stops(report, steps)]
    lines += _advice(report, steps)
    lines += [_got(report, steps), _rest(report, steps, inches)]
    return [line for line in lines if line]


def _turn(step: Step) -> float:
    return float(step["available_hip_turn_deg"])


def _room(report: dict[str, Any], steps: Sequence[Step]) -> str:
    what, (first, last) = report["experiment"]["words"], (steps[0], steps[-1])
    best = max(steps, key=_turn)
    ends = f"{value_words(report, first['value'])} to {value_words(report, last['value'])} of {what}"
    if _turn(best) - min(map(_turn, steps)) < NOTICEABLE_DEG:
        return f"From {ends} the most hip turn available stays at {number(_turn(best))}°."
    text = f"From {ends} the most hip turn available goes from {number(_turn(first))}° to {number(_turn(last))}°"
    inner = min(_turn(best) - _turn(first), _turn(best) - _turn(last)) >= NOTICEABLE_DEG
    worst = min(steps, key=_turn)
    if inner:
        return f"{text}, with the most, {number(_turn(best))}°, at {value_words(report, best['value'])}."
    if min(_turn(first), _turn(last)) - _turn(worst) >= NOTICEABLE_DEG:
        return f"{text}, with the least, {number(_turn(worst))}°, at {value_words(report, worst['value'])}."
    return f"{text}."


def _stops(report: dict[str, Any], steps: Sequence[Step]) -> str:
    found = runs(steps)
    shin = any("shin" in name for run in found for name in run["ranges"])
    gloss = " (The shin rotates between knee and foot.)" if shin else ""
    if len(found) == 1:
        many = len(found[0]["ranges"]) > 1
        return f"What stops it is {limit_words(found[0]['ranges'])}{' together' if many else ''}, at every step.{gloss}"
    parts = []
    for k, run in enumerate(found):
        first, last = (value_words(report, run[key]) for key in ("from_value", "to_value"))
        if k == 0:
            where = f"at {first}" if first == last else f"from {first} to {last}"
        elif k == len(found) - 1:
            where = f"at {first}" if first == last else f"from {first} on"
        else:
            where = f"at {first}" if first == last else f"from {first} to {last}"
        parts.append(f"{where} {limit_words(run['ranges'])}")
    return f"What stops it changes: {'; '.join(parts)}.{gloss}"


def _advice(report: dict[str, Any], steps: Sequence[Step]) -> list[str]:
    name = report["experiment"]["name"]
    if name not in _ADVICE or report["experiment"]["from_steady"]:
        return _why(report, steps)
    said, way = _ADVICE[name]
    ordered = sorted(steps, key=lambda step: way * step["value"])
    best = max(ordered, key=_turn)
    gain, loss = _turn(best) - _turn(ordered[0]), _turn(best) - _turn(ordered[-1])
    # The earliest step that already has what the best one has.
    enough = next(step for step in ordered if _turn(step) > _turn(best) - NOTICEABLE_DEG)
    at = value_words(report, enough["value"])
    to, past = ("up to about", "past that") if way > 0 else ("down to about", "below that")
    lead = f"Common advice is that {said}. "
    if gain < NOTICEABLE_DEG and loss < NOTICEABLE_DEG:
        verdict = "For the most hip turn the model finds no noticeable difference here."
    elif loss < NOTICEABLE_DEG:
        plateau = enough is not ordered[-1]
        verdict = "The model agrees" + (f" {to} {at}; {past} nothing more comes." if plateau else ".")
    elif gain < NOTICEABLE_DEG and loss < _SMALL_DEG:
        verdict = (
            f"The model finds next to nothing: following it takes {number(loss)}° of hip turn away, less than bodies "
            f"differ by.{_LEFT_OUT}"
        )
    elif gain < NOTICEABLE_DEG:
        free = next(a for a, b in pairwise(ordered) if _turn(b) <= _turn(best) - NOTICEABLE_DEG)
        to = "up to" if way > 0 else "down to"
        none = "" if free is ordered[0] else f", none of it {to} about {value_words(report, free['value'])}"
        verdict = f"The model disagrees here: following it takes {number(loss)}° of hip turn away{none}.{_LEFT_OUT}"
    else:
        verdict = (
            f"The model agrees in part: {to} {at} it gives {number(gain)}° of hip turn, {past} it takes "
            f"{number(loss)}° away.{_LEFT_OUT}"
        )
    return [lead + verdict, *_why(report, steps)]


def _comparable(steps: Sequence[Step]) -> list[Step]:
    """Steps whose hips turned alike, so that what a joint does in them can be compared."""
    turned = [step for step in steps if abs(step["hip_turn_deg"] - step["hip_turn_asked_deg"]) < _SAME_TURN_DEG]
    return [step for step in turned if abs(step["hip_turn_deg"] - turned[0]["hip_turn_deg"]) < 2 * _SAME_TURN_DEG]


def _why(report: dict[str, Any], steps: Sequence[Step]) -> list[str]:
    """What the joints that stop the turn do at this swing's top, and for flare the reason in words."""
    same = _comparable(steps)
    if len(same) < 2:
        return []
    first, last = same[0], same[-1]
    lines = []
    for side, (reason, joints) in _BY_FLARE.items():
        if report["experiment"]["name"] not in ("flare", f"{side}_flare"):
            continue
        slope = sum(last["used_deg"][j] - first["used_deg"][j] for j in joints) / (last["value"] - first["value"])
        if slope * (1 if side == "lead" else -1) > _WIDE_DEG:
            way = "outward" if side == "lead" else "inward"
            more = "more" if slope > 0 else "less"
            lines.append(
                f"Why, for the {side} foot: {reason}; each degree of flare asks {abs(slope):.1f}° {more} {way} "
                f"rotation of hip and shin together."
            )
    names = list(dict.fromkeys(name for step in steps for name in step["limited_by"]))
    parts = [part for name in names if (part := _use(name, first, last))]
    if parts:
        span = f"from {value_words(report, first['value'])} to {value_words(report, last['value'])}"
        lines.append(
            f"At the top of this swing, its hips at {number(first['hip_turn_deg'])}°, {span}: {'; '.join(parts)}."
        )
    return lines


def _use(name: str, first: Step, last: Step) -> str:
    if name.endswith("knee_straight"):
        return ""  # its flexion is told with the rest
    used, end = ([step[key][name] for step in (first, last)] for key in ("used_deg", "range_deg"))
    there = f"{number(end[0])}°" if abs(end[1] - end[0]) < NOTICEABLE_DEG else f"{number(end[0])}° to {number(end[1])}°"
    words = limit_words([name])
    if max(abs(used[1] - used[0]), abs(end[1] - end[0])) < NOTICEABLE_DEG:
        return ""
    if abs(used[1] - used[0]) < NOTICEABLE_DEG:
        return f"{words} stays at {number(used[1])}° of the {there} available"
    return f"{words} goes from {number(used[0])}° to {number(used[1])}° of the {there} available"


def _got(report: dict[str, Any], steps: Sequence[Step]) -> str:
    if any("hip_turn" in name for name in report["experiment"]["sets"]):
        return ""
    asked = steps[0]["hip_turn_asked_deg"]
    short = [step for step in steps if step["hip_turn_deg"] < asked - NOTICEABLE_DEG]
    if not short:
        return f"The {number(asked)}° of hip turn that this swing asks for are there at every step."
    beyond = any(step["hip_turn_deg"] > step["available_hip_turn_deg"] + NOTICEABLE_DEG / 2 for step in short)
    least = min(short, key=lambda step: float(step["hip_turn_deg"]))
    return (
        f"This swing asks for {number(asked)}° of hip turn and does not get them at "
        f"{listed([value_words(report, step['value']) for step in short])}: at {value_words(report, least['value'])} "
        f"it gets {number(least['hip_turn_deg'])}°, stopped by {limit_words(least['swing_limited_by'])}."
        f"{_MORE_THAN_THERE_IS if beyond else ''}"
    )


def _rest(report: dict[str, Any], steps: Sequence[Step], inches: bool) -> str:
    """What else changes noticeably at the top, and how."""

    def cm(value: float) -> str:
        return shown_length(value, inches).replace("-", "−")

    def deg(value: float) -> str:
        return f"{number(value)}°".replace("-", "−")

    unit = "in" if inches else "cm"
    rows: tuple[tuple[str, str, Callable[[float], str], float], ...] = (
        (f"head toward the target ({unit})", "head_toward_target_cm", cm, NOTICEABLE_CM),
        (f"head toward the ball ({unit})", "head_toward_ball_cm", cm, NOTICEABLE_CM),
        (f"head up ({unit})", "head_up_cm", cm, NOTICEABLE_CM),
        (f"pelvis toward the target ({unit})", "pelvis_toward_target_cm", cm, NOTICEABLE_CM),
        ("lead knee", "lead_knee_flex_deg", deg, NOTICEABLE_DEG),
        ("trail knee", "trail_knee_flex_deg", deg, NOTICEABLE_DEG),
        ("belt line tilt", "belt_line_tilt_deg", deg, NOTICEABLE_DEG),
        ("inclination", "inclination_deg", deg, NOTICEABLE_DEG),
        ("tilt", "tilt_deg", deg, NOTICEABLE_DEG),
        ("extension", "extension_deg", deg, NOTICEABLE_DEG),
    )
    changed = []
    for label, key, told, least in rows:
        values = [float(step[key]) for step in steps]
        if max(values) - min(values) >= least and (course := _course(values, told, least)):
            changed.append(f"{label} {course}")
    strain = [float(step["strain"]) for step in steps]
    most = max(steps[-1]["strain_of"], key=lambda name: float(steps[-1]["strain_of"][name]))
    same = max(strain) - min(strain) < _SAME_STRAIN
    course = "" if same else _course(strain, "{:.1f}".format, _SAME_STRAIN)
    amount = course or f"stays at {strain[-1]:.1f}"
    text = f"strain of the legs {amount}, most of it at the end in {_angle(most)}"
    return f"From the first step to the last, at the top: {'; '.join([*changed, text])}."


def _course(values: Sequence[float], told: Callable[[float], str], least: float) -> str:
    """Where values begin and end, and how far beyond both in between; empty where none of it shows in what is told."""
    first, last, low, high = values[0], values[-1], min(values), max(values)
    below, above = min(first, last) - low, high - max(first, last)
    by_way = f" by way of {told(low if below > above else high)}" if max(below, above) >= least else ""
    return f"{told(first)} to {told(last)}{by_way}" if by_way or told(first) != told(last) else ""


def _angle(name: str) -> str:
    """A joint angle in words, both of its ways."""
    words = spoken(name).replace(" internal", "").replace(" external", "")
    return words.replace("abduction", "abduction or adduction").replace("ankle inversion", "ankle's sideways tilt")
