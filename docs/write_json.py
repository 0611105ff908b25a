"""Write the tables of docs/json.md and docs/dataset_fields.md and a JSON schema of each from the report models.

    python docs/write_json.py            # write them
    python docs/write_json.py --check    # say what is stale, exit 1 if anything is

A table stands there between ``<!-- keys of NAME -->`` and ``<!-- end -->``, NAME being a report model. What a
key means is the docstring under its field, so that code and documentation are one text.
"""

from __future__ import annotations

import json
import re
import sys
from importlib import import_module
from pathlib import Path

from turnstill.scenes.setups.reports import Report

DOCS = Path(__file__).parent
GUIDES = ("json.md", "dataset_fields.md")
COMMANDS = {
    "simulate": "simulate.report:SwingReport",
    "compare": "compare.report:ComparisonReport",
    "experiment": "experiment.report:ExperimentReport",
    "diagnose": "diagnose.report:DiagnosisReport",
    "read": "read.report:ReadReport",
    "record-show": "record.report:ShowReport",
    "record-next": "record.next_report:NextReport",
    "shares": "shares.report:SharesReport",
    "sheet": "sheet.report:SheetReport",
    "strike": "strike.report:StrikeReport",
    "map": "map.report:MapReport",
    "dataset-score-keypoints": "dataset.scoring.report:ScoreReport",
    "dataset-score-faults": "dataset.fault_scoring.report:FaultsReport",
    "dataset-sample": "dataset.layout.sample:Sample",
}
"""Command to the model of its JSON; and of a data set the label of a picture."""
_TABLE = re.compile(r"(<!-- keys of (\w+) -->\n).*?(<!-- end -->)", re.S)


def model_of(place: str) -> type[Report]:
    """The model at ``module:name`` below ``turnstill.scenes``."""
    module, name = place.split(":")
    model: type[Report] = getattr(import_module(f"turnstill.scenes.{module}"), name)
    return model


def models() -> dict[str, type[Report]]:
    """Every report model of every command by its name."""
    found: dict[str, type[Report]] = {}
    for place in COMMANDS.values():
        model_of(place)
    waiting: list[type[Report]] = [Report]
    while waiting:
        model = waiting.pop()
        found[model.__name__] = model
        waiting += model.__subclasses__()
    return found


def table(model: type[Report]) -> str:
    """A model's keys as a Markdown table, those it has alone or shares, in the order of the JSON."""
    rows = ["| key | what it is |", "|---|---|"]
    for name, field in model.model_fields.items():
        if not field.description:
            raise SystemExit(f"{model.__name__}.{name} has no docstring, so no table can say what it is.")
        rows.append(f"| `{field.serialization_alias or name}` | {' '.join(field.description.split())} |")
    return "\n".join(rows) + "\n"


def fresh() -> dict[Path, str]:
    """Every file with what it should hold."""
    known = models()
    guides = {
        DOCS / name: _TABLE.sub(
            lambda found: found[1] + table(known[found[2]]) + found[3], (DOCS / name).read_text(encoding="utf-8")
        )
        for name in GUIDES
    }
    schemas = {
        DOCS / "schemas" / f"{command}.json": json.dumps(
            model_of(place).model_json_schema(mode="serialization"), indent=1, ensure_ascii=False
        )
        + "\n"
        for command, place in COMMANDS.items()
    }
    return {**guides, **schemas}


def main() -> None:
    """Write, or check."""
    stale = [path for path, text in fresh().items() if not path.exists() or path.read_text(encoding="utf-8") != text]
    if "--check" in sys.argv:
        print("\n".join(f"{path.relative_to(DOCS.parent)} is stale; run docs/write_json.py" for path in stale))
        sys.exit(bool(stale))
    for path in stale:
        path.parent.mkdir(exist_ok=True)
        path.write_text(fresh()[path], encoding="utf-8")
        print(f"wrote {path.relative_to(DOCS.parent)}")


if __name__ == "__main__":
    main()
