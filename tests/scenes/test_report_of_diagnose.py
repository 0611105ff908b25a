"""Every key of a diagnosis' JSON is what was found: a diagnosis with numbers that are all different."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from diagnosis_reports import PIECES, READ

from turnstill.model.films.diagnose import Diagnosis
from turnstill.model.films.fault_prior import HYPOTHESES
from turnstill.model.films.readings import Film
from turnstill.model.golfer.pieces import HEELS
from turnstill.scenes.diagnose import found as diagnosing
from turnstill.scenes.diagnose import work
from turnstill.scenes.diagnose.found import Apart, Diagnosed
from turnstill.scenes.diagnose.mend import Mend
from turnstill.scenes.diagnose.readings import Asked, Reading, Scale
from turnstill.scenes.diagnose.report import DiagnosisReport
from turnstill.scenes.words.feels import FEELS

READ_FACTOR = [100.0] * 5 + [180.0 / np.pi] * 8
PIECE_FACTOR = [180.0 / np.pi] * 6 + [100.0] * 2
"""Centimetres and degrees of m and rad, in the order of the readings and of the pieces."""


def numbers(shape: tuple[int, ...], start: float, step: float) -> np.ndarray:
    return (start + step * np.arange(np.prod(shape))).reshape(shape)


def aims(**asked: float) -> Film:
    """A golfer who asks so much of some pieces, rad and m, and nothing of the others."""
    return Film(SimpleNamespace(), dict.fromkeys((*PIECES, *HEELS), 0.0) | asked, np.zeros((1, 3)))


@pytest.fixture(scope="module")
def found(performed) -> Diagnosed:
    """A diagnosis whose numbers all differ; sway is to be mended first, then the lead knee, hip turn is but likely."""
    probability = np.array([0.61, 0.12, 0.23, 0.34, 0.85, 0.46, 0.97, 0.58])
    weight = numbers((1, 37), 0.001, 0.0003)
    weight[0, HYPOTHESES.index(("extension", "trail_flex_change"))] = 0.7
    diagnosis = Diagnosis(
        read=np.array([0, 9]),
        seen=np.array([[-0.044, 0.64]]),
        noise=np.diag([4.9e-5, 4.9e-3])[None],
        probability=probability[None],
        amount=numbers((1, 8), 0.051, 0.0011),
        low=numbers((1, 8), 0.021, 0.0012),
        high=numbers((1, 8), 0.091, 0.0013),
        overall_low=numbers((1, 8), -0.061, 0.0014),
        overall_high=numbers((1, 8), 0.131, 0.0015),
        nothing=np.array([0.017]),
        largest=np.array([[0.02, 0.03, 0.26, 0.05, 0.14, 0.07, 0.31, 0.12]]),
        largest_if=np.zeros((1, 37, 8)),
        candidates=np.array([[False, False, True, False, True, False, True, True]]),
        misfit=np.array([3.21]),
        fits=np.array([True]),
        weight=weight,
        hypotheses=SimpleNamespace(),
        film=aims(),
    )
    readings = (
        Reading("head_toward_target", -4.4, 0.7, True, "--read head_toward_target=-44mm"),
        Reading("hip_turn", 37.0, 4.0, False, "--hip-turn-deg 37"),
    )
    back = numbers((8, 13), -5.1, 0.11)
    back[6, :3], back[4, :3] = (3.3, 1.2, -0.9), (1.4, 0.3, 0.2)
    due, shown = numbers((13,), 0.3, 0.7), numbers((13,), 0.25, 0.9)
    shown[:3] = due[:3] - (4.0, 1.5, -1.0)
    return Diagnosed(
        performed=performed("sway", "tilt=steady+1", frames=2),
        asked=Asked(
            readings, dict.fromkeys(READ, 1.0), Scale(15.3, 19.4, (True, False)), {"mm": ("head_toward_target",)}
        ),
        found=diagnosis,
        likeliest=numbers((8,), 2.1, 0.31),
        from_centred=numbers((8,), 7.2, 0.43),
        made=numbers((8,), 41.3, 1.7),
        due=due,
        shown=shown,
        back=back,
        beyond=numbers((8, 8), -9.0, 0.37),
        apart=(Apart(("sway", "tilt"), "belt_line_tilt", 0.42), Apart(("tilt", "extension"), None, 0.03)),
        next_reading="pelvis_toward_target",
        next_worth=0.29,
        mend=None,
        unexplained=None,
    )


def test_keys_of_the_json_are_what_was_found(found) -> None:
    report, told = DiagnosisReport.of(found), found.found
    each = {one.piece: one for one in report.each_piece}
    assert [one.piece for one in report.each_piece] == [
        "sway", "lead_flex_change", "hip_turn", "hips_toward_ball", "trail_flex_change", "extension", "tilt",
        "shoulder_turn",
    ]  # fmt: skip
    departures = {one.piece: one for one in report.departures}
    for k, (piece, (_, unit)) in enumerate(PIECES.items()):
        one, to_border = each[piece], PIECE_FACTOR[k]
        assert one.unit == unit and one.probability == pytest.approx(told.probability[0, k])
        for field, values in {
            "most_likely": told.amount, "low": told.low, "high": told.high,
            "overall_low": told.overall_low, "overall_high": told.overall_high,
        }.items():  # fmt: skip
            assert getattr(one, field) == pytest.approx(values[0, k] * to_border, abs=1e-6), (piece, field)
        assert one.largest_probability == pytest.approx(told.largest[0, k])
        assert one.not_at_fault_sd == pytest.approx(2.0 if unit == "deg" else 0.75)
        for column, key in enumerate(("head_toward_target_cm", "head_up_cm", "head_toward_ball_cm")):
            assert getattr(one.head_by_itself, key) == pytest.approx(-found.back[k, column])
        departed = departures[piece]
        assert departed.made == pytest.approx(found.made[k])
        assert departed.from_what_holds_the_head == pytest.approx(found.likeliest[k])
        assert departed.from_centred == pytest.approx(found.from_centred[k])
        assert departed.unit == unit
    first, second = report.readings
    assert (first.reading, first.value, first.sd, first.sd_given) == ("head_toward_target", -4.4, 0.7, True)
    assert (second.reading, second.unit, second.sd_given) == ("hip_turn", "deg", False)
    assert first.given == "--read head_toward_target=-44mm"
    for one, column in ((first, 0), (second, 9)):
        assert one.without_a_fault == pytest.approx(found.due[column])
        assert one.most_probable == pytest.approx(found.shown[column])
    assert report.scale.model_dump() == {
        "head_width_cm": 15.3, "head_length_cm": 19.4, "measured": (True, False),
        "used": {"mm": ["head_toward_target"]},
    }  # fmt: skip
    assert report.misfit.model_dump() == {"chi_squared": 3.21, "degrees_of_freedom": 2}
    assert report.nothing_at_fault == 0.017
    # Two in ten have no fault, four in ten one of eight, four in ten two of eight.
    assert report.probability_before == pytest.approx(0.4 / 8.0 + 0.4 * 2.0 / 8.0)
    assert report.largest == "sway" and report.candidates == ["sway", "tilt", "lead_flex_change", "hips_toward_ball"]
    assert report.likeliest_at_fault == ["extension", "trail_flex_change"]
    assert [tuple(pair) for pair in report.cannot_tell_apart] == [("sway", "tilt"), ("tilt", "extension")]
    assert [one.model_dump() for one in report.told_apart_by] == [
        {"of": ("sway", "tilt"), "reading": "belt_line_tilt", "doubt_removed": 0.42},
        {"of": ("tilt", "extension"), "reading": None, "doubt_removed": 0.03},
    ]
    assert (report.measure_next, report.doubt_removed_by_next) == ("pelvis_toward_target", 0.29)
    assert report.preset == "sway" and not report.counted_from_centred
    assert report.pieces["sway_cm"] == 5 and report.pieces["tilt_deg"] == "steady+1"
    assert not report.head_still and report.check is None and report.fits and report.withheld == []


def test_the_feel_is_the_opposite_of_what_brings_the_head_back_furthest(found) -> None:
    feel = DiagnosisReport.of(found).feel
    assert feel is not None
    assert (feel.piece, feel.name, feel.unit, feel.then) == ("sway", "sway", "cm", ["lead_flex_change"])
    low, likely, high = (100.0 * values[0, 6] for values in (found.found.low, found.found.amount, found.found.high))
    assert feel.amount == pytest.approx(-likely) and [feel.low, feel.high] == pytest.approx([-high, -low])
    # A normal interval of 90 % is 3.29 standard deviations long.
    assert feel.sd == pytest.approx((high - low) / 3.2897, rel=1e-4)
    keys = [f"{name}_{unit}" for name, (_, unit) in READ.items()]
    changes = feel.alone_it_would_change.model_dump()
    assert changes == pytest.approx(dict(zip(keys, found.back[6], strict=True)))
    off = np.array([-4.0, -1.5, 1.0])
    nearer = np.linalg.norm(off) - np.linalg.norm(off + found.back[6, :3])
    assert feel.brings_head_back_cm == pytest.approx(nearer)
    assert feel.leaves_tilt_deg == pytest.approx(found.beyond[6, 2])
    assert feel.leaves_extension_deg == pytest.approx(found.beyond[6, 3])
    assert feel.face_on == "the middle of the hips stays on the line drawn through it at address"
    assert feel.down_the_line.startswith("hardly to be seen")
    assert feel.what.startswith("less sway") and "trail hip" in feel.do and feel.caution.startswith("Moving the hips")


def test_a_head_that_is_hardly_explained_leaves_no_feel_and_the_rest_as_it_was(found) -> None:
    report = DiagnosisReport.of(replace(found, unexplained="head_toward_target"))
    assert DiagnosisReport.of(found).doubted is None and report.doubted == "head_toward_target"
    assert report.feel is None and report.withheld == [] and report.measure_next == "pelvis_toward_target"
    assert report.each_piece == DiagnosisReport.of(found).each_piece
    (first,) = (one for one in report.readings if one.reading == "head_toward_target")
    assert f"{abs(first.most_probable):.1f} cm" in report.sentences[0] and "4.4 cm" in report.sentences[0]


def test_readings_that_nothing_fits_leave_no_feel_and_say_what_to_check(found) -> None:
    unknown = replace(found.found, fits=np.array([False]), amount=np.full((1, 8), np.nan), low=np.full((1, 8), np.inf))
    mend = Mend("sign", ("hip_turn",), "head_toward_target", 6.5)
    report = DiagnosisReport.of(replace(found, found=unknown, mend=mend, back=np.full((8, 13), np.nan)))
    assert report.feel is None and not report.fits
    assert report.check.model_dump() == {
        "slip": "sign", "factor": -1.0, "readings": ["hip_turn"], "furthest": "head_toward_target", "furthest_sd": 6.5,
    }  # fmt: skip
    assert all(one.most_likely is None and one.low is None and one.high is not None for one in report.each_piece)
    assert all(set(one.head_by_itself.model_dump().values()) == {None} for one in report.each_piece)
    assert any("hip turn -37.0° in place of 37.0°: was the sign" in line for line in report.sentences)
    no_slip = DiagnosisReport.of(replace(found, found=unknown, mend=replace(mend, slip=None)))
    assert no_slip.check.slip is None and no_slip.check.factor is None


@pytest.mark.parametrize(
    ("piece", "aim", "withheld"),
    [
        ("sway", -0.05, False),
        ("sway", 0.05, True),
        ("sway", 0.007, False),
        ("hip_turn", 0.5, False),
        ("tilt", 0.1, True),
    ],
)
def test_a_feel_never_leads_back_to_a_fault(found, piece: str, aim: float, withheld: bool) -> None:
    """Less than the turn that is counted from, which itself aims at a fault: the opposite would be that fault."""
    k = list(PIECES).index(piece)
    told = found.found
    less = [np.where(np.arange(8) == k, -np.abs(end), end) for end in (told.high, told.amount, told.low)]
    low, amount, high = (
        np.where(np.arange(8) == k, one, end) for one, end in zip(less, (told.low, told.amount, told.high), strict=True)
    )
    film = aims(**{piece: aim})
    only = np.where(np.arange(8) == k, 0.95, 0.1)[None]
    report = DiagnosisReport.of(
        replace(found, found=replace(told, low=low, amount=amount, high=high, film=film, probability=only))
    )
    assert (report.feel is None) == withheld and report.withheld == [piece] * withheld
    assert any("which is a fault by itself" in line for line in report.sentences) == withheld
    if not withheld:
        assert report.feel.piece == piece and report.feel.amount > 0.0


def test_a_head_that_is_no_reason_to_change_is_said_to_be_none(found) -> None:
    away = found.back.copy()
    away[6, :3] = (-2.2, 0.0, 0.0)
    only = np.where(np.arange(8) == 6, 0.95, 0.1)[None]
    report = DiagnosisReport.of(replace(found, back=away, found=replace(found.found, probability=only)))
    assert report.feel.brings_head_back_cm < 0.0
    assert report.sentences[0].startswith("The head is no reason to change sway, which tilt and extension can hold")
    assert "2.2 cm farther from the target" in report.sentences[1]


def test_where_even_the_sign_is_open_no_feel_is_given_of_a_piece(found) -> None:
    low = np.where(np.arange(8) == 6, -0.01, found.found.low)
    feel = DiagnosisReport.of(replace(found, found=replace(found.found, low=low))).feel
    assert feel is not None and (feel.piece, feel.then) == ("lead_flex_change", [])


def test_on_one_reading_alone_no_feel_is_given(found) -> None:
    one = replace(found.asked, readings=found.asked.readings[:1])
    report = DiagnosisReport.of(replace(found, asked=one))
    assert report.feel is None and report.withheld == []
    assert any("one reading (head toward the target) tells little" in line for line in report.sentences)


def test_a_feel_says_what_to_do_and_what_is_then_seen() -> None:
    """What is to be done is told as a command, what is seen as something that is."""
    for both in FEELS.values():
        for feel in both:
            for seen in (feel.face_on, feel.down_the_line):
                assert seen.startswith(("the ", "hardly to be seen"))
            assert feel.do.split()[0] in {"let", "keep", "turn", "stop", "stay"}
            assert feel.what.split()[0] in {"more", "less"}


@pytest.mark.parametrize(
    ("read", "still"),
    [
        ({"head_toward_target": 0.9, "head_up": -0.9}, True),
        ({"head_toward_target": 0.9, "head_up": -0.9, "head_toward_ball": 1.0, "hip_turn": 40.0}, True),
        ({"head_toward_target": 0.9, "head_up": -0.9, "head_toward_ball": 1.1}, False),
        ({"head_toward_target": -1.1, "head_up": 0.9}, False),
        ({"head_toward_target": 0.9, "hip_turn": 0.9}, False),
        ({"head_up": 0.9, "head_toward_ball": 0.9}, False),
    ],
)
def test_a_head_is_still_where_it_was_read_face_on_and_nowhere_off(found, read: dict, still: bool) -> None:
    readings = tuple(Reading(name, value, 1.0, True, name) for name, value in read.items())
    asked = replace(found.asked, readings=readings)
    assert DiagnosisReport.of(replace(found, asked=asked)).head_still == still


def test_pairs_are_the_likeliest_first_each_with_what_tells_it_apart_best(found, monkeypatch) -> None:
    """Sway and tilt, tilt and lead knee, lead knee and hips toward ball; of the doubt half, a third and nothing."""
    apart = np.zeros((1, 8, 8), bool)
    for a, b in ((7, 4), (2, 4), (6, 2)):
        apart[0, a, b] = apart[0, b, a] = True

    def doubt(a: int, b: int) -> float:
        share = found.found.largest[0, [a, b]] / found.found.largest[0, [a, b]].sum()
        return float(-(share * np.log(share)).sum())

    best = {(2, 6): (12, doubt(2, 6) / 2.0), (2, 4): (3, doubt(2, 4) / 3.0), (4, 7): (1, 0.049 * doubt(4, 7))}

    def worth(of: Diagnosis, sd: object, among: np.ndarray) -> np.ndarray:
        assert of is found.found and sd == found.asked.seen_sd
        row, (reading, most) = np.full((1, 13), 0.001), best[tuple(np.flatnonzero(among).tolist())]
        row[0, reading] = most
        return row

    monkeypatch.setattr(diagnosing, "cannot_tell_apart", lambda _: apart)
    monkeypatch.setattr(diagnosing, "worth_reading", worth)
    pairs = diagnosing._pairs(found.found, found.asked)
    assert [(pair.pieces, pair.reading) for pair in pairs] == [
        (("sway", "tilt"), "belt_line_tilt"),
        (("tilt", "lead_flex_change"), "pelvis_toward_target"),
        (("lead_flex_change", "hips_toward_ball"), None),
    ]
    assert [pair.worth for pair in pairs] == pytest.approx([1.0 / 2.0, 1.0 / 3.0, 0.049])


@pytest.mark.parametrize("inches", [False, True])
def test_what_is_shown_is_in_inches_where_asked_and_the_json_is_metric(found, monkeypatch, inches: bool) -> None:
    given: dict = {}
    monkeypatch.setattr(work, "diagnosed", lambda setup, **read: (found,) if read == {"read": ["all"]} else ())
    monkeypatch.setattr(work, "check_outputs", lambda *outputs: given.update(checked=outputs))
    monkeypatch.setattr(work, "deliver", lambda *what, **where: given.update(what=what, where=where))
    work.diagnose_to("centred", [], json_file="a.json", out="there", inches=inches, read=["all"])
    (report, page, table), where = given["what"], given["where"]
    assert where == {"numbers_file": "diagnosis.json", "json_file": "a.json", "out": "there"}
    assert given["checked"] == ({"--json": "a.json"}, "there", "diagnosis.json")
    assert report == DiagnosisReport.of(found)
    metric = f"{100.0 * found.found.amount[0, 6]:.1f} cm less sway"
    told = f"{100.0 * found.found.amount[0, 6] / 2.54:.2f} in less sway" if inches else metric
    assert report.sentences[0].startswith(f"What to do: {metric}")
    for shown in (page(), table()):
        text = " ".join(shown.split())
        assert told in text and (metric in text) != inches
