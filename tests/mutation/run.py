"""Run the mutation sample, or one room's: ``python tests/mutation/run.py --only scenes/map --sample 60``."""

from __future__ import annotations

import argparse
import json
import os
import sys
import tempfile
import time
from pathlib import Path

for threads in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[threads] = "1"  # Two mutants at a time; and a process with threads is not to be forked.
sys.path[0] = str(Path(__file__).resolve().parents[1])

from mutation import forks, record, table  # noqa: E402
from mutation.runner import Effort, Verdict, verdicts  # noqa: E402
from mutation.sample import draw  # noqa: E402


def _options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="Which errors in what people see does no test notice?")
    parser.add_argument("--only", action="append", default=[], help="files whose path begins so, e.g. scenes/map")
    parser.add_argument(
        "--by", action="append", default=[], help="tests whose path begins so, e.g. tests/scenes/test_map"
    )
    parser.add_argument("--sample", type=int, default=400, help="how many mutants")
    parser.add_argument("--seed", type=int, default=11)
    parser.add_argument("--tests", type=int, default=25, help="most tests for one mutant")
    parser.add_argument("--seconds", type=float, default=60.0, help="most seconds of tests for one mutant")
    parser.add_argument("--at-a-time", type=int, default=2, help="how many mutants at a time")
    parser.add_argument("--key", action="append", default=[], help="these mutants of the sample only")
    parser.add_argument("--twice", action="store_true", help="judge each mutant twice and name those that differ")
    parser.add_argument("--json", type=Path, help="also write the verdicts here")
    parser.add_argument("--write", action="store_true", help="write the survivors and, of a whole run, the page")
    return parser.parse_args()


def _told(one: Verdict) -> str:
    mutant = one.mutant
    head = f"{one.outcome:10} {one.seconds:6.1f} s  {mutant.key}  {mutant.file}:{mutant.line}  {mutant.kind}"
    if one.outcome != "survived":
        return f"{head}  {one.by}"
    return f"{head}  ({one.tried} of {one.reaching} tests)\n    - {mutant.before}\n    + {mutant.after}"


def _judge(options: argparse.Namespace) -> list[Verdict]:
    mutants = draw(options.sample, options.seed, tuple(options.only))
    if options.key:
        mutants = [mutant for mutant in mutants if mutant.key in options.key]
    with tempfile.TemporaryDirectory() as scratch:
        tests, left_out = record.tests(Path(scratch) / "record", options.at_a_time, options.by)
        for name in left_out:
            print(f"left out, it does not pass as things stand: {name}")
        effort = Effort(options.tests, options.seconds)
        found: list[Verdict] = []
        for turn in range(1 + options.twice):
            known = {one.mutant.key: one.outcome for one in found}
            for one in verdicts(mutants, tests, effort, Path(scratch) / str(turn), options.at_a_time):
                if turn == 0:
                    found.append(one)
                    print(_told(one), flush=True)
                elif one.outcome != known[one.mutant.key]:
                    print(f"DIFFERS: {known[one.mutant.key]}, then {_told(one)}", flush=True)
    return found


def main() -> int:
    """Run, and tell."""
    options = _options()
    since = time.monotonic()
    try:
        forks.warm_up()
    except forks.WrongTree as wrong:
        print(wrong, file=sys.stderr)
        return 2
    found = _judge(options)
    print("\n".join(["", *table.summary(found), ""]))
    print(f"{table.share(found):.1%} of the viable are noticed; {time.monotonic() - since:.0f} s")
    if options.json:
        told = [
            {"key": v.mutant.key, "file": v.mutant.file, "line": v.mutant.line, "kind": v.mutant.kind} for v in found
        ]
        rest = [
            {"before": v.mutant.before, "after": v.mutant.after, "outcome": v.outcome, "by": v.by, "tried": v.tried,
             "reaching": v.reaching, "seconds": v.seconds} for v in found
        ]  # fmt: skip
        options.json.write_text(
            json.dumps([a | b for a, b in zip(told, rest, strict=True)], indent=1), encoding="utf-8"
        )
    if options.write:
        table.keep_survivors(found)
        if not (options.only or options.by or options.key):  # The page is of the whole sample.
            table.PAGE.write_text(table.page(found, options.sample, options.seed), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
