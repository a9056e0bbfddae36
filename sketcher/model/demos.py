"""The demo boats and layouts: in the checkout where there is one, else as installed with the package."""

from __future__ import annotations

from pathlib import Path

from sketcher.model.errors import SketchError

_PACKAGE = Path(__file__).resolve().parents[1]


def demo_folder() -> Path:
    """The folder that holds `hulls` and `scenes`. Raises SketchError where neither place has them."""
    for folder in (_PACKAGE.parent, _PACKAGE):
        if (folder / "hulls").is_dir() and (folder / "scenes").is_dir():
            return folder
    raise SketchError("the demo boats are not installed", "Install sketcher again, or give a scene's file.", file=str(_PACKAGE))


def demo_scenes() -> tuple[Path, ...]:
    """The demo scenes, by name."""
    return tuple(sorted((demo_folder() / "scenes").glob("*.yaml")))
