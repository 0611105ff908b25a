"""Whether this machine can draw at all, asked in a child process because a missing OpenGL crashes VTK."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Sequence

from ...model.errors import TurnstillError

PROBE: tuple[str, ...] = (
    sys.executable,
    "-c",
    "from vtkmodules.vtkRenderingCore import vtkRenderWindow as Window, vtkRenderer\n"
    "import vtkmodules.vtkRenderingOpenGL2\n"
    "window = Window()\n"
    "window.SetOffScreenRendering(1)\n"
    "window.SetSize(8, 8)\n"
    "window.AddRenderer(vtkRenderer())\n"
    "window.Render()\n"
    "raise SystemExit(0 if window.SupportsOpenGL() else 1)\n",
)
"""Opens one small window off screen; ends with status 0 only where that works."""

_PROBE_SECONDS = 60.0
_passed: set[tuple[str, ...]] = set()


class OpenGLMissing(TurnstillError):
    """No picture can be drawn for want of OpenGL.

    Attributes:
        packages: the Debian packages that mend it.

    """

    packages = ("libegl1", "libgl1-mesa-dri")

    def __init__(self) -> None:
        super().__init__(
            "No OpenGL was found to draw pictures with; install the packages libegl1 and libgl1-mesa-dri, "
            "on Debian or Ubuntu by: "
            "sudo apt-get install --no-install-recommends libegl1 libgl1-mesa-dri"
        )


def require_opengl(probe: Sequence[str] = PROBE, meanwhile: Callable[[], object] = lambda: None) -> None:
    """Make sure that a window off screen can be opened; asks once a process.

    Where there is no display, VTK is told to draw through EGL, for this process and its children.

    Args:
        probe: the command of the child process that opens the first window.
        meanwhile: what is done while that runs, such as loading what draws.

    Raises:
        OpenGLMissing: if the child crashes, fails or does not come back.

    """
    if sys.platform.startswith("linux") and not os.environ.get("DISPLAY"):
        os.environ.setdefault("VTK_DEFAULT_OPENGL_WINDOW", "vtkEGLRenderWindow")
    command = tuple(probe)
    if command in _passed:
        meanwhile()
        return
    nothing = subprocess.DEVNULL
    try:
        child = subprocess.Popen(command, stdin=nothing, stdout=nothing, stderr=nothing)
    except OSError as failure:
        raise OpenGLMissing from failure
    try:
        meanwhile()
        status = child.wait(_PROBE_SECONDS)
    except subprocess.TimeoutExpired as failure:
        raise OpenGLMissing from failure
    finally:
        # It has ended by now, or nobody waits for it any more.
        child.kill()
        child.wait()
    if status != 0:
        raise OpenGLMissing
    _passed.add(command)
