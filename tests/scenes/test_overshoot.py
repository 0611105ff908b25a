"""Where a feel by itself would take a head that was read, in a diagnosis."""

from __future__ import annotations

from diagnosis_reports import made, said

from turnstill.scenes.diagnose.report import DiagnosisReport


def heads(report: DiagnosisReport, **read: tuple[float, float]) -> DiagnosisReport:
    """The head read there alone, each way its value and what the feel adds; uncertain by 1 cm."""
    by_name = {one.reading: one for one in report.readings}
    feel = report.feel
    change = feel.alone_it_would_change.replaced(head_toward_ball_cm=0.0, head_toward_target_cm=7.7, head_up_cm=0.0)
    change = change.replaced(**{f"head_{way}_cm": more for way, (_, more) in read.items()})
    seen = [by_name[f"head_{way}"].replaced(value=value, sd=1.0) for way, (value, _) in read.items()]
    return report.replaced(readings=[*seen, by_name["hip_turn"]], feel=feel.replaced(alone_it_would_change=change))


def test_a_feel_that_takes_the_head_past_its_place_says_where_to() -> None:
    report = made(likeliest_at_fault=["sway"])
    past = heads(report, toward_ball=(-3.0, 8.2), up=(4.0, -3.4))
    start = "From where it was read, the head would then be"
    assert said(past, "By itself").endswith(f" {start} 5.2 cm nearer to the ball than at address.")
    assert f"{start} 2.05 in nearer to the ball than" in said(past, "By itself", inches=True)
    for most, told in ((-5.9, False), (-6.1, True)):  # From 4 up, uncertain by 1: twice that.
        assert (start in said(heads(report, up=(4.0, most)), "By itself")) == told
    # It was where it belongs, and the feel takes it away; a way that was not read is not told of.
    assert f"{start} 2.5 cm higher than" in said(heads(report, up=(0.5, 2.0)), "By itself")
    assert start not in said(heads(report, up=(4.0, 2.0)), "By itself")
    held = report.head_held.replaced(toward_target_cm=-2.0, up_cm=1.0)
    elsewhere = heads(report.replaced(head_held=held), up=(4.0, -6.0))
    assert said(elsewhere, "By itself").endswith(f"{start} 3.0 cm lower than where it is wanted.")


def test_another_piece_at_fault_that_would_keep_a_feel_from_overshooting_is_named() -> None:
    report = heads(made(), toward_ball=(-3.0, 8.2))

    def told(toward_ball: float, **given: object) -> str:
        each = [
            one.replaced(head_by_itself=one.head_by_itself.replaced(head_toward_ball_cm=toward_ball), **given)
            if one.piece == "extension"
            else one
            for one in report.each_piece
        ]
        return said(report.replaced(each_piece=each), "By itself").split("than at address")[1]

    assert report.likeliest_at_fault == ["sway", "extension"]
    assert told(4.3) == ", unless extension is put back too."
    assert told(3.1) == ", and with extension put back too still about 2.1 cm nearer to the ball."
    assert told(0.2) == told(-4.3) == told(4.3, low=-1.0) == "."
