"""The tables of a fault classifier's score, which terminal and page both show."""

from __future__ import annotations

from ..scoring.shown import ShownTable
from .parts import ConfusionRow, HitScore, Reliability
from .report import FaultsReport
from .swings import OUTCOMES
from .words import fault_words


def tables(report: FaultsReport) -> list[ShownTable]:
    """All of a classifier's score."""
    judged = "swings with one fault at most" if report.one_of_nine else "all swings"
    return [
        ShownTable(
            "Right answers, per cent",
            ("which", "swings", "right", "95 % from", "to", "the same answer always", "right then"),
            [_hits(one) for one in (report.accuracy, *report.several)],
        ),
        ShownTable(
            f"Probabilities, of {judged}",
            ("", "the answers", "the shares alone"),
            [
                ("log loss, nats a swing", _number(report.log_loss), _number(report.log_loss_of_shares)),
                ("Brier score", _number(report.brier), _number(report.brier_of_shares)),
            ],
        ),
        ShownTable(
            "First choice (columns, by the rows' numbers) of swings with one fault at most, by their label (rows)",
            ("label", *(str(k) for k in range(len(OUTCOMES))), "no answer"),
            [_confused(k, one) for k, one in enumerate(report.confusion)],
        ),
        ShownTable(
            f"By fault, of {judged}: precision and recall in per cent, area under the ROC curve, log loss, that of the "
            "shares (chance), calibration error",
            ("fault", "swings", "said", "prec.", "recall", "area", "loss", "chance", "error"),
            [
                (
                    fault_words(one.fault), str(one.swings), str(one.named), _percent(one.precision_share),
                    _percent(one.recall_share), _number(one.auc_share), _number(one.log_loss),
                    _number(one.log_loss_of_shares), _number(one.calibration_error),
                )
                for one in report.by_fault
            ],
        ),
        *(_reliable(one) for one in report.reliability),
    ]  # fmt: skip


def _hits(one: HitScore) -> tuple[str, ...]:
    shares = (_percent(one.right_share), _percent(one.least_share), _percent(one.most_share))
    return (one.of, str(one.swings), *shares, fault_words(one.fixed), _percent(one.fixed_share))


def _confused(number: int, one: ConfusionRow) -> tuple[str, ...]:
    return (f"{number} {fault_words(one.fault)}", *(str(one.said[name]) for name in OUTCOMES), str(one.no_answer))


def _reliable(one: Reliability) -> ShownTable:
    return ShownTable(
        f"Calibration of {one.of}, per cent; expected error {_percent(one.calibration_error)}",
        ("probability", "answers", "said on average", "came about"),
        [
            (
                f"{100 * part.from_share:.0f} to {100 * part.to_share:.0f}", str(part.answers),
                _percent(part.said_share), _percent(part.true_share),
            )
            for part in one.bins
        ],
    )  # fmt: skip


def _percent(value: float | None) -> str:
    return "none" if value is None else f"{100 * value:.1f}"


def _number(value: float | None) -> str:
    return "none" if value is None else f"{value:.3f}"
