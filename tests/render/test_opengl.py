from __future__ import annotations

import os
import sys

import pytest

from turnstill.model.errors import TurnstillError
from turnstill.render.stage.opengl import OpenGLMissing, require_opengl

CRASH = (sys.executable, "-c", "import os, signal; os.kill(os.getpid(), signal.SIGSEGV)")


@pytest.mark.parametrize("probe", [CRASH, (sys.executable, "-c", "raise SystemExit(1)"), ("/no/such/program",)])
def test_a_machine_that_cannot_draw_gets_one_sentence(probe: tuple[str, ...]) -> None:
    with pytest.raises(OpenGLMissing) as caught:
        require_opengl(probe)
    message = str(caught.value)
    assert isinstance(caught.value, TurnstillError)
    assert "libegl1" in message and "libgl1-mesa-dri" in message
    assert "apt-get install --no-install-recommends libegl1 libgl1-mesa-dri" in message
    assert "\n" not in message and ". " not in message


def test_a_passed_probe_is_not_asked_again(tmp_path: object) -> None:
    note = f"{tmp_path}/asked"
    probe = (sys.executable, "-c", f"open({note!r}, 'a').write('x')")
    require_opengl(probe)
    require_opengl(probe)
    with open(note) as asked:  # noqa: PTH123
        assert asked.read() == "x"


def test_without_a_display_vtk_draws_through_egl(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.delenv("VTK_DEFAULT_OPENGL_WINDOW", raising=False)
    seen = "import os; raise SystemExit(os.environ.get('VTK_DEFAULT_OPENGL_WINDOW') != 'vtkEGLRenderWindow')"
    require_opengl((sys.executable, "-c", seen))
    assert os.environ["VTK_DEFAULT_OPENGL_WINDOW"] == "vtkEGLRenderWindow"


def test_this_machine_can_draw() -> None:
    require_opengl()
