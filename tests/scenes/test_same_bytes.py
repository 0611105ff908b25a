"""The same command writes the same bytes, whatever the order of hashes, the locale and the processor's cores."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

NON_ASCII = 'shows = "Zwölf Grad – ähnlich"\nextends = "centred"\n[pieces]\nhip_turn_deg = 50\n'
RUN = """
import shlex, sys
import typer
from turnstill.scenes.cli import app
sys.stdout.reconfigure(errors="backslashreplace")
for line in sys.argv[1:]:
    typer.main.get_command(app)(shlex.split(line), standalone_mode=False)
"""
WAYS = [
    {"PYTHONHASHSEED": "1", "LC_ALL": "C.UTF-8", "OPENBLAS_NUM_THREADS": "1"},
    {"PYTHONHASHSEED": "2", "LC_ALL": "C", "PYTHONIOENCODING": "latin-1", "OPENBLAS_NUM_THREADS": "2"},
]
QUICK = [
    "simulate ./zwölf.toml --frames 5 --json - --csv a.csv",
    "shares ./zwölf.toml --frames 5 --out shares --json -",
    "diagnose ./zwölf.toml --head-toward-target-cm -6 --head-sd-cm 1 --out diagnose --json -",
    "map ./zwölf.toml --size 5 --out map --json -",
]
ALL = [
    *QUICK,
    "record add s.turnstill --date 2025-03-01 --head-toward-target-cm -6 --note 'müde; =1+1'",
    "record add s.turnstill --date 2025-03-08 --piece extension --felt 10 --got 6 --head-toward-target-cm -3",
    "record show s.turnstill --out record --csv entries.csv --json -",
    "record show s.turnstill --csv -",
    "record next s.turnstill --json -",
    "experiment lead_flare ./zwölf.toml --from 0 --to 40 --steps 3 --out experiment --json -",
    "export ./zwölf.toml --frames 5 --glb a.glb --trc a.trc --c3d a.c3d --bvh a.bvh",
    "film ./zwölf.toml --seconds 1 --size 240x160 --out a.mp4",
    "film ./zwölf.toml --seconds 1 --size 240x160 --out a.gif",
    "film ./zwölf.toml --seconds 1 --size 240x160 --out a.webp",
    "strip centred ./zwölf.toml --moments 2 --views above,face-on --out a.png",
    "sheet ./zwölf.toml --feel tilt=-6 --out a.html --json sheet.json",
    "compare centred ./zwölf.toml --out compare",
    "presets show too-much-tilt",
]


def written(folder: Path, way: dict[str, str], lines: list[str]) -> dict[str, bytes]:
    """What commands write, standard output too."""
    folder.mkdir()
    (folder / "zwölf.toml").write_text(NON_ASCII, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-c", RUN, *lines], cwd=folder, env=os.environ | way, capture_output=True, timeout=900
    )
    assert done.returncode == 0, done.stderr.decode(errors="replace")
    files = {str(one.relative_to(folder)): one.read_bytes() for one in folder.rglob("*") if one.is_file()}
    return files | {"standard output": done.stdout}


def same(tmp_path: Path, lines: list[str]) -> dict[str, bytes]:
    first, second = (written(tmp_path / str(k), way, lines) for k, way in enumerate(WAYS))
    assert first.keys() == second.keys()
    assert [name for name in first if first[name] != second[name]] == []
    return first


def test_pages_and_numbers_are_the_same_to_the_byte(tmp_path: Path) -> None:
    files = same(tmp_path, QUICK)
    assert "Zwölf Grad – ähnlich".encode() in files["standard output"]
    assert {"a.csv", "shares/index.html", "diagnose/index.html", "map/index.html"} <= set(files)


@pytest.mark.heavy
def test_every_command_writes_the_same_bytes(tmp_path: Path) -> None:
    files = same(tmp_path, ALL)
    assert {"compare/index.html", "compare/comparison.json", "a.mp4", "a.gif", "a.webp", "a.glb", "a.png"} <= set(files)
    assert len(files) > 25
