"""What is said of a map, word for word, from numbers made for it."""

from __future__ import annotations

import pytest
from distinct import filled

from turnstill.scenes.map.report import MapAxis, MapHead, MapReport, StillBand, StillestPlace
from turnstill.scenes.map.words import sentences
from turnstill.scenes.map.work import map_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply

TILT = MapAxis(piece="tilt", unit="deg", values=[20.0, 30.0, 40.0], this_swing=33.3, steady=38.8)
EXTENSION = MapAxis(piece="extension", unit="deg", values=[10.0, 20.0, 30.0], this_swing=17.7, steady=27.7)
SWAY = MapAxis(piece="sway", unit="cm", values=[-4.0, 0.0, 4.0], this_swing=2.2, steady=2.2)
TURN = MapAxis(piece="hip_turn", unit="deg", values=[30.0, 40.0, 50.0], this_swing=44.4, steady=44.4)
REPORT = filled(
    MapReport, x=TILT, y=EXTENSION, kept={"tilt": 36.6, "extension": 26.6}, steady_miss_cm=0.19, still_within_cm=0.5,
    this_swing=MapHead(head_toward_target_cm=-1.5, head_toward_ball_cm=0.2, head_up_cm=2.5),
    still_band=StillBand(x=(21.1, 31.2), y=(11.3, 28.4)), reached=[[True, True], [True, True]], stopped_cells={},
)  # fmt: skip
STILL = "still means within 0.5 cm of its place at address as seen face-on, sideways and in height together"


def test_four_sentences_where_the_head_can_be_held() -> None:
    assert sentences(REPORT) == [
        "This swing has 33.3° of tilt and 17.7° of extension: its head ends 2.5 cm higher and 1.5 cm farther from the "
        "target.",
        "What holds this head for this turn is 38.8° of tilt and 27.7° of extension.",
        f"The still band reaches over tilt from 21.1° to 31.2° and extension from 11.3° to 28.4°, though not over "
        f"every pair of these; {STILL}.",
        "The joints allow every place on this map.",
    ]


def test_inches_and_a_piece_in_centimetres() -> None:
    swing, held, band, _ = sentences(
        REPORT.replaced(x=SWAY, y=TILT, still_band=StillBand(x=(-1.0, 3.0), y=(21.0, 39.0))), inches=True
    )
    assert swing == (
        "This swing has 0.87 in of sway and 33.3° of tilt: its head ends 0.98 in higher and 0.59 in farther from the "
        "target."
    )
    assert held == (
        "What holds this head for this swing's turn is 38.8° of tilt, with the extension that goes with it; here "
        "extension is kept at 26.6°."
    )
    assert band.startswith("The still band reaches over sway from -0.39 in to 1.18 in and tilt from 21.0° to 39.0°, ")
    assert "still means within 0.20 in of its place" in band


def test_extension_alone_and_neither() -> None:
    _, held, *_ = sentences(REPORT.replaced(x=EXTENSION, y=SWAY))
    assert held == (
        "What holds this head for this swing's turn is 27.7° of extension, with the tilt that goes with it; here tilt "
        "is kept at 36.6°."
    )
    assert not any("holds this head" in line for line in sentences(REPORT.replaced(x=TURN, y=SWAY)))


def test_a_head_that_cannot_be_held_is_not_said_to_be_held() -> None:
    lost = REPORT.replaced(steady_miss_cm=0.84)
    assert sentences(lost)[1] == (
        "What leaves this head nearest to its place for this turn is 38.8° of tilt and 27.7° of extension, 0.8 cm off."
    )
    assert sentences(lost.replaced(y=SWAY), inches=True)[1] == (
        "What leaves this head nearest to its place for this swing's turn is 38.8° of tilt, with the extension that "
        "goes with it, 0.33 in off; here extension is kept at 26.6°."
    )
    for said in (" ".join(sentences(lost)), " ".join(sentences(lost.replaced(x=SWAY)))):
        assert "holds this head" not in said
    assert "What holds" in sentences(REPORT.replaced(steady_miss_cm=0.5))[1]
    assert "What leaves" in sentences(REPORT.replaced(steady_miss_cm=0.501))[1]


def test_a_swing_whose_head_cannot_be_held_is_told_so_once() -> None:
    mapped = map_of(apply(load("centred"), ["hip_turn=30"]), size=5)
    report = MapReport.of(mapped)
    assert report.steady_miss_cm > 0.2
    said = " ".join(report.sentences)
    assert "What leaves this head nearest to its place for this turn" in said and "What holds" not in said
    assert any(line.startswith("No tilt and extension can hold this head") for line in report.warnings)


def test_a_band_at_the_maps_edge_and_no_band() -> None:
    edge = REPORT.replaced(still_band=StillBand(x=(20.0, 31.2), y=(11.3, 30.0)))
    assert (
        "tilt from 20.0° to 31.2° (to the map's edge) and extension from 11.3° to 30.0° (to the map's edge), though"
        in sentences(edge)[2]
    )
    none = REPORT.replaced(still_band=None, stillest=StillestPlace(x=22.5, y=13.5, off_cm=1.84))
    assert sentences(none)[2] == (
        f"Nowhere on this map is the head still ({STILL}); the nearest, 1.8 cm off, is at 22.5° of tilt and 13.5° of "
        "extension."
    )
    assert sentences(none, inches=True)[2].count("0.72 in off") == 1
    assert len(sentences(none.replaced(stillest=None))) == 3


@pytest.mark.parametrize(
    ("cells", "by"),
    [
        ({}, ""),
        ({"trunk": 4}, ", mostly because of the trunk's range"),
        (
            {"lead_hip_flexion": 1, "trunk": 4, "trail_knee_flexion": 3, "lead_ankle_eversion": 2},
            ", mostly because of the trunk's range, trail knee flexion and lead ankle eversion",
        ),
    ],
)
def test_reach_is_said_with_what_stops_most_of_it(cells: dict[str, int], by: str) -> None:
    part = REPORT.replaced(reached=[[True, True, False], [True, False, False]], stopped_cells=cells)
    assert sentences(part)[-1] == (
        f"The joints allow 50% of the places on this map; the others are out of reach{by}, and show the nearest that "
        "the joints allow."
    )
