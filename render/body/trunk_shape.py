"""Trunk, neck and head as members of a body's shape, over the survey's breadths, depths and girths."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from scipy.optimize import brentq

from ...model.chain.skeleton import Skeleton
from ..shapes.signed_distance import Cone, Ellipsoid, Tube

ROUND = 2 * np.pi
FLATTEST, SQUAREST = 1.7, 3.6
"""Exponents a trunk's section may have: between a rounded diamond and a rounded box (assumption)."""

BLEND_M = 0.015
"""What the smooth union of trunk, buttocks and thighs adds all round the seat, metres: they are made smaller by it."""
HEIGHT_OVER_LENGTH = 1.15
"""Chin to crown over the head's length (assumption; 0.130 and 0.114 of stature in published tables)."""
ACROMION = 0.150
"""How far skin lies above a lean person's shoulder joint, of the upper arm's length: 46 of 306 mm. From the joint's
centre up, a humeral head's radius of 24 mm; 9 to the acromion (8.8 (1.3) standing, 166 shoulders, J Orthop Surg Res
2020;15, s13018-020-01935-9, abstract R); 8 of acromion and 5 of skin (all others from memory)."""
PADDED = 0.2
"""Of the flesh that a shoulder has at its side beyond that: how much lies above it too (assumption: bone is felt there
on nearly everybody)."""
JOINED_M = 0.005
"""What the smooth union of slope and arm adds above a shoulder, metres: both are made lower by it."""
SKULL = np.array(
    [
        # way from chin to crown, front and back in head lengths, half breadth in head breadths (by eye)
        [0.00, 0.34, -0.16, 0.12],
        [0.03, 0.405, -0.06, 0.20],
        [0.10, 0.435, 0.04, 0.28],
        [0.20, 0.440, 0.17, 0.365],
        [0.33, 0.440, 0.32, 0.435],
        [0.47, 0.442, 0.43, 0.475],
        [0.58, 0.468, 0.48, 0.495],
        [0.70, 0.470, 0.50, 0.500],
        [0.82, 0.400, 0.46, 0.455],
        [0.91, 0.300, 0.36, 0.360],
        [0.97, 0.175, 0.21, 0.220],
        [1.00, 0.050, 0.06, 0.060],
    ]
)


def perimeter(front: float, back: float, half: float, power: float) -> float:
    """Length around a section of two half superellipses, metres."""
    angle = np.linspace(0.0, np.pi, 181)
    c, s = np.cos(angle), np.sin(angle)
    x = np.where(c >= 0, front, back) * np.sign(c) * np.abs(c) ** (2 / power)
    y = half * np.abs(s) ** (2 / power)
    return 2 * float(np.hypot(np.diff(x), np.diff(y)).sum())


def fitting_power(girth: float, front: float, back: float, half: float) -> float:
    """The exponent that gives a section its girth, or the nearest allowed one."""
    short = perimeter(front, back, half, FLATTEST) - girth
    long = perimeter(front, back, half, SQUAREST) - girth
    if short >= 0:
        return FLATTEST
    if long <= 0:
        return SQUAREST
    return float(brentq(lambda power: perimeter(front, back, half, power) - girth, FLATTEST, SQUAREST))


def fitting_half(girth: float, front: float, back: float, power: float) -> float:
    """The half breadth that gives a section its girth."""
    return float(brentq(lambda half: perimeter(front, back, half, power) - girth, 0.2 * girth / 4, 0.9 * girth / 2))


def levels(female: float) -> dict[str, float]:
    """Heights of the survey's trunk landmarks as shares of the way from the hips to the neck's base.

    From ``survey.RATIOS``: landmark height less trochanterion height over cervicale height less trochanterion height.
    """
    from ...model.golfer.survey import ratio

    def share(name: str) -> float:
        hip, neck = float(ratio("trochanterion_height", female)), float(ratio("cervicale_height", female))
        return (float(ratio(name, female)) - hip) / (neck - hip)

    names = {"crotch": "crotch_height", "seat": "buttock_height", "waist": "omphalion_height",
             "ribs": "tenth_rib_height", "chest": "chest_height", "axilla": "axilla_height"}  # fmt: skip
    return {short: share(name) for short, name in names.items()}


def trunk(shape: Mapping[str, float], rest: Skeleton, female: float) -> Tube:
    """The trunk from crotch to the base of the neck, without shoulders."""
    top, at = float(rest.joints["neck_base"][2]), levels(female)
    spine_x = float(rest.joints["neck_base"][0])
    seat_depth, waist_depth, chest_depth = shape["buttock_depth"], shape["waist_depth"], shape["chest_depth"]
    hip, waist = shape["hip_breadth"] / 2 - BLEND_M, shape["waist_breadth"] / 2
    # Breasts make up part of a woman's chest depth; the ribcage behind them is shallower.
    ribs = chest_depth * (1 - 0.13 * female)
    seat_front, seat_back = 0.44 * seat_depth - BLEND_M, 0.52 * seat_depth - BLEND_M
    waist_back = 0.020 + 0.27 * waist_depth - spine_x
    waist_front = waist_depth - waist_back
    chest_back = 0.30 * chest_depth - spine_x
    chest_front = ribs - chest_back
    neck = shape["neck_circumference"] / ROUND
    girth = shape["chest_circumference"] * (1 - 0.035 * female)
    chest = fitting_half(girth, chest_front, chest_back, 2.5)
    seat_power = fitting_power(shape["buttock_circumference"] - 2 * np.pi * BLEND_M, seat_front, seat_back, hip)
    waist_power = fitting_power(shape["waist_circumference"], waist_front, waist_back, waist)
    between = 0.5 * (at["waist"] + max(at["seat"], 0.0))
    # A waist between ribs and hips is a woman's (and a lean one's): the survey's breadth is the navel's.
    hollow = 0.90 * min(waist, 0.5 * (waist + chest)) if female else 0.5 * (0.97 * waist + 0.97 * chest)
    table = [
        # share, front, back, half breadth, exponent
        [at["crotch"] - 0.13, 0.20 * seat_depth, 0.16 * seat_depth, 0.22 * hip, 2.0],
        [at["crotch"] - 0.03, 0.33 * seat_depth, 0.34 * seat_depth, 0.62 * hip, 2.0],
        [at["seat"], seat_front, seat_back, hip, seat_power],
        [between, 0.5 * (seat_front + waist_front) + 0.004, 0.53 * seat_back + 0.47 * waist_back,
         (0.985 - 0.02 * (1 - female)) * hip * 0.6 + 0.4 * waist, 0.5 * (seat_power + waist_power)],
        [at["waist"], waist_front, waist_back, waist, waist_power],
        [at["ribs"], 0.5 * (waist_front + chest_front), 0.55 * waist_back + 0.45 * chest_back, hollow, 2.4],
        [at["chest"], chest_front, chest_back, chest, 2.5],
        [at["axilla"] + 0.02, 0.92 * chest_front, 1.02 * chest_back, 0.94 * chest, 2.4],
        [0.84, 0.64 * chest_front, 0.97 * chest_back, 0.76 * chest, 2.2],
        [0.92, 0.32 * chest_front, 0.80 * chest_back, 0.54 * chest, 2.1],
        [1.00, 0.04 * chest_front, 0.46 * chest_back, 0.90 * neck, 2.0],
    ]  # fmt: skip
    rows = [[share * top, f, b, half, half, 0.0, 0.0, power] for share, f, b, half, power in table]
    # The centre of a section lies between its front and its back, so that its broadest place does too.
    for row in rows:
        middle = 0.5 * (row[1] - row[2])
        row[1:3] = [row[1] - middle, row[2] + middle]
        row[5] = middle
    return Tube.through(np.zeros(3), np.eye(3), rows)


def bosom(shape: Mapping[str, float], rest: Skeleton, chest: Tube) -> list[Ellipsoid]:
    """A woman's breasts, as far forward as her chest depth says."""
    height = levels(1.0)["chest"] * float(rest.joints["neck_base"][2])
    front = 0.30 * shape["chest_depth"] - float(rest.joints["neck_base"][0])
    front = shape["chest_depth"] - front
    size = 0.215 * shape["chest_breadth"] + 0.008
    return [
        Ellipsoid(
            np.array([front - 0.95 * size, out * 0.275 * shape["chest_breadth"], height]),
            np.eye(3),
            size * np.array([0.95, 1.08, 1.12]),
        )
        for out in (1.0, -1.0)
    ]


def buttocks(shape: Mapping[str, float], rest: Skeleton) -> list[Ellipsoid]:
    """Both buttocks, as far back as the buttock depth says."""
    hip, depth = shape["hip_breadth"] / 2 - BLEND_M, shape["buttock_depth"] - BLEND_M
    height = levels(0.0)["seat"] * float(rest.joints["neck_base"][2]) - 0.012
    size = np.array([0.34 * depth, 0.50 * hip, 0.42 * depth])
    centre = np.array([-0.56 * depth + size[0], 0.48 * hip, height])
    return [Ellipsoid(centre * [1, out, 1], np.eye(3), size) for out in (1.0, -1.0)]


def shoulders(shape: Mapping[str, float], rest: Skeleton) -> list[Cone]:
    """The slope from the neck over the collar bones to the shoulder joints."""
    base, r = rest.joints["neck_base"], shape["neck_circumference"] / ROUND
    inner = base + np.array([0.008, 0.0, -0.042])
    found = []
    for side in ("lead", "trail"):
        shoulder = rest.joints[f"shoulder_{side}"]
        out, thick = np.sign(shoulder[1]), 0.80 * deltoid_radius(shape, rest)
        found.append(
            Cone(
                inner + np.array([0, out * 0.3 * r, 0]),
                shoulder + np.array([0.0, -out * 0.018, over_shoulder(shape, rest) - thick]),
                0.74 * r,
                thick,
            )
        )
    return found


def deltoid_radius(shape: Mapping[str, float], rest: Skeleton) -> float:
    """How far the shoulder's muscle stands out from its joint to the side, before and behind, metres."""
    apart = abs(float(rest.joints["shoulder_lead"][1] - rest.joints["shoulder_trail"][1]))
    return float(np.clip(0.5 * (shape["bideltoid_breadth"] - apart), 0.044, 0.095)) * 0.92


def over_shoulder(shape: Mapping[str, float], rest: Skeleton) -> float:
    """How far slope and arm, not yet joined, reach above a shoulder's joint, metres: there it is bone, not muscle."""
    bone = ACROMION * float(np.linalg.norm(rest.joints["shoulder_lead"] - rest.joints["elbow_lead"]))
    return bone + PADDED * max(deltoid_radius(shape, rest) - bone, 0.0) - JOINED_M


def neck(shape: Mapping[str, float], rest: Skeleton) -> Tube:
    """The neck, from below its base into the skull."""
    base, head = rest.joints["neck_base"], rest.joints["head"]
    end = head + np.array([-0.012, 0.0, -0.010])
    # The column runs along the back of the neck: its middle lies before it.
    start = base + np.array([0.018, 0.0, -0.004])
    up = (end - start) / np.linalg.norm(end - start)
    x = np.cross([0.0, 1.0, 0.0], up)
    # Skull and shoulders run into a short neck and make it stouter than asked; how much was fitted to 40 drawn bodies.
    filled = float(np.clip(0.763 - 3.129 * (rest.joints["vertex"][2] - base[2]), -0.08, 0.17))
    r = shape["neck_circumference"] / ROUND * (1 - 1.25 * filled - 2.2 * max(filled - 0.085, 0.0))
    length = float(np.linalg.norm(end - start))
    table = [
        [-0.30 * length, 1.05 * r, 0.95 * r, 1.10 * r, 1.10 * r, 0.0, 0.0, 2.0],
        [0.00, 0.95 * r, 0.92 * r, 0.96 * r, 0.96 * r, 0.0, 0.0, 2.0],
        [0.35 * length, 0.93 * r, 0.92 * r, 0.93 * r, 0.93 * r, 0.0, 0.0, 2.0],
        [0.60 * length, 0.93 * r, 0.93 * r, 0.93 * r, 0.93 * r, 0.0, 0.0, 2.0],
        [length, 0.75 * r, 0.75 * r, 0.80 * r, 0.80 * r, 0.0, 0.0, 2.0],
    ]
    return Tube.through(start, np.stack([x, np.cross(up, x), up], axis=-1), table)


def skull(shape: Mapping[str, float], rest: Skeleton) -> Tube:
    """The head from chin to crown, the profile of ``SKULL``."""
    length, breadth = shape["head_length"], shape["head_breadth"]
    height = HEIGHT_OVER_LENGTH * length
    centre = rest.joints["head"]
    crown = float(rest.joints["vertex"][2])
    middle = float(np.clip(rest.joints["nose"][0] - centre[0] - 0.020 - 0.442 * length, -0.03, 0.03))
    # Hair, scalp and the grid's own loss: the tape lies outside of the calipers' length and breadth.
    size = 1.02
    reach = 0.5 * size * 0.97 * length
    power = fitting_power(1.015 * shape["head_circumference"], reach, reach, 0.5 * size * breadth)
    rows: list[list[float]] = []
    for way, front, back, half in SKULL:
        x = 0.5 * (front - back) * length
        deep = max(0.5 * size * (front + back) * length, 0.004)
        side = size * half * breadth
        rows.append([crown - (1 - way) * height, deep, deep, side, side, centre[0] + middle + x, 0.0, power])
    return Tube.through(np.zeros(3), np.eye(3), np.array(rows, dtype=float))
