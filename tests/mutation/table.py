"""The table of a mutation run, room by room, and its survivors with what was said of each."""

from __future__ import annotations

import json
import tomllib
from collections import Counter
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from .hook.reached import ROOT
from .runner import Verdict

PAGE = ROOT / "docs" / "mutation.md"
LOOKED_AT = Path(__file__).with_name("looked_at.toml")
ABOUT = """\
A mutation run makes one small error at a time in what people see (`scenes/` and `render/pictures`) and asks whether
a test fails. The errors are cosmic-ray's (arithmetic, comparisons, numbers, conditions, loops, decorators, exceptions)
and our own: neighbours, table values, arguments or fields of a sentence swapped, a key or an attribute in place of
its sibling, the first for the last, other decimals; and in the templates of pages, values, headings or names swapped,
a sibling's value, a condition turned round, nothing of many. The sample is seeded; every file has its share and the
kinds take turns. Left out is what is no behaviour: annotations, imports, `__all__`, what only a type checker reads,
guards of `zip`, what a dataclass may do, and caches. A mutant that cannot be imported is not viable; what takes three
times the usual time and 20 s more is noticed. DEVELOPERS.md says how to run it."""
NOTICED = ("killed", "timeout")


def room(file: str) -> str:
    """``scenes/map/words.py`` is in ``scenes/map``."""
    return "/".join(file.split("/")[:2]) if file.count("/") > 1 else file


def share(verdicts: Iterable[Verdict]) -> float:
    """Part of the viable mutants that a test noticed."""
    viable = [one for one in verdicts if one.outcome != "not viable"]
    return sum(one.outcome in NOTICED for one in viable) / len(viable) if viable else 1.0


def _rows(groups: dict[str, list[Verdict]], heading: str) -> list[str]:
    lines = [f"| {heading} | viable | killed | timeouts | survived | share noticed |", "|---|---|---|---|---|---|"]
    for name, of_group in [*sorted(groups.items()), ("**all**", [one for group in groups.values() for one in group])]:
        count = Counter(one.outcome for one in of_group)
        viable = len(of_group) - count["not viable"]
        lines.append(
            f"| {name} | {viable} | {count['killed']} | {count['timeout']} | {count['survived']} "
            f"| {share(of_group):.0%} |"
        )
    return lines


def summary(verdicts: list[Verdict]) -> list[str]:
    """Tables by room and by kind of change."""
    rooms: dict[str, list[Verdict]] = {}
    kinds: dict[str, list[Verdict]] = {}
    for one in verdicts:
        rooms.setdefault(room(one.mutant.file), []).append(one)
        kinds.setdefault(one.mutant.kind, []).append(one)
    return [*_rows(rooms, "room"), "", *_rows(kinds, "kind of change")]


def looked_at() -> dict[str, dict[str, str]]:
    """What was said of survivors, by key."""
    return tomllib.loads(LOOKED_AT.read_text(encoding="utf-8")) if LOOKED_AT.exists() else {}


def _survivors(verdicts: list[Verdict], remarks: dict[str, dict[str, str]]) -> list[str]:
    lines: list[str] = []
    survived = sorted((v for v in verdicts if v.outcome == "survived"), key=lambda v: (v.mutant.file, v.mutant.line))
    for one in survived:
        mutant = one.mutant
        remark = remarks.get(mutant.key, {}).get("remark", "") or "not looked at yet"
        reach = (
            "no test reaches it" if not one.reaching else f"{one.tried} of the {one.reaching} tests that reach it ran"
        )
        lines += [
            f"**{mutant.file}:{mutant.line}** · `{mutant.key}` · {mutant.kind} · {reach}", "",
            "```diff", f"- {mutant.before}", f"+ {mutant.after}", "```", "", remark, "",
        ]  # fmt: skip
    return lines


def page(verdicts: list[Verdict], count: int, seed: int) -> str:
    """The page of a whole run."""
    unfit = sum(one.outcome == "not viable" for one in verdicts)
    lines = [
        "# What the tests notice", "", ABOUT, "",
        f"{len(verdicts)} mutants (sample {count}, seed {seed}), {unfit} of them not viable; {share(verdicts):.1%} of",
        "the viable ones are noticed.", "",
        *summary(verdicts), "",
        "## Survivors", "",
        *_survivors(verdicts, looked_at()),
    ]  # fmt: skip
    return "\n".join(lines).rstrip() + "\n"


def keep_survivors(verdicts: list[Verdict]) -> None:
    """Give each survivor its place in ``looked_at.toml``; what was said stays, also of those that no longer survive."""
    kept: dict[str, dict[str, Any]] = {key: one for key, one in looked_at().items() if one["remark"]}
    for one in verdicts:
        if one.outcome == "survived":
            mutant = one.mutant
            remark = kept.get(mutant.key, {}).get("remark", "")
            kept[mutant.key] = {"file": mutant.file, "before": mutant.before, "after": mutant.after, "remark": remark}
    lines = ["# What was said of each survivor of the mutation run; docs/mutation.md is made from it.", ""]
    for key, said in sorted(kept.items(), key=lambda item: (item[1]["file"], item[0])):
        lines += [f"[{key}]" if not key.isdigit() else f'["{key}"]']
        lines += [f"{name} = {json.dumps(text, ensure_ascii=False)}" for name, text in said.items()]
        lines += [""]
    LOOKED_AT.write_text("\n".join(lines), encoding="utf-8")
