"""One small error at a time in what people see: tests notice at least 85 % of them. Run with ``-m mutation``."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ENOUGH = 0.85


@pytest.mark.mutation
def test_most_errors_in_what_people_see_are_noticed(tmp_path: Path) -> None:
    """``TURNSTILL_MUTATION`` gives more options of run.py, e.g. ``--only scenes/map --sample 60``."""
    told = tmp_path / "verdicts.json"
    options = os.environ.get("TURNSTILL_MUTATION", "").split()
    script = Path(__file__).with_name("run.py")
    done = subprocess.run([sys.executable, str(script), "--json", str(told), *options], check=False)
    assert done.returncode == 0
    viable = [one for one in json.loads(told.read_text(encoding="utf-8")) if one["outcome"] != "not viable"]
    survived = [f"{one['file']}:{one['line']}: {one['after']}" for one in viable if one["outcome"] == "survived"]
    assert viable and len(survived) <= (1 - ENOUGH) * len(viable), survived
