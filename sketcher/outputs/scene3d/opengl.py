"""Whether this machine can draw in 3D: tried in a process of its own, since without OpenGL the drawing library ends ours."""

from __future__ import annotations

import os
import subprocess
import sys
from functools import cache

from sketcher.model.errors import SketchError

SECONDS = 60.0
"""[s]: far longer than the slowest software renderer takes to start."""

_TRIAL = """
from vtkmodules.vtkRenderingCore import vtkRenderer, vtkRenderWindow
import vtkmodules.vtkRenderingOpenGL2
window = vtkRenderWindow()
window.SetOffScreenRendering(1)
window.SetSize(8, 8)
window.AddRenderer(vtkRenderer())
window.Render()
raise SystemExit(0 if window.SupportsOpenGL() else 3)
"""


def use_window_without_display() -> None:
    """Where there is no display, ask for the kind of window that needs none, before one is looked for in vain."""
    if sys.platform.startswith("linux") and not os.environ.get("DISPLAY"):
        os.environ.setdefault("VTK_DEFAULT_OPENGL_WINDOW", "vtkEGLRenderWindow")


@cache
def require_opengl() -> None:
    """Raises SketchError with what to install where a trial window cannot be drawn."""
    use_window_without_display()
    try:
        trial = subprocess.run([sys.executable, "-c", _TRIAL], capture_output=True, timeout=SECONDS, check=False)
    except (OSError, subprocess.TimeoutExpired):
        trial = None
    if trial is None or trial.returncode != 0:
        raise SketchError(
            "pictures need OpenGL, and none works on this machine",
            "On Debian or Ubuntu: sudo apt-get install libegl1 libgl1-mesa-dri. Figures need none, nor do drawings: "
            "--view profile -o FILE.svg.",
        )
