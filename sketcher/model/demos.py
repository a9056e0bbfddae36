"""The demo boats and layouts: in the checkout where there is one, else as installed with the package."""

from __future__ import annotations

from pathlib import Path

from sketcher.model.errors import SketchError, nearest

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


def demo_scene(name: str) -> Path:
    """A demo scene by its file's name, with or without `.yaml`. Raises SketchError with the nearest right name."""
    scenes = {path.stem: path for path in demo_scenes()}
    found = scenes.get(name.removesuffix(".yaml"))
    if found is None:
        near = nearest(name, scenes)
        remedy = f"Did you mean `{near}`?" if near else f"There are: {', '.join(scenes)}."
        raise SketchError(f"there is no demo scene `{name}`", remedy)
    return found
