"""What commands read and where they write."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

from sketcher.cli.destination import Destination
from sketcher.cli.problems import buildable
from sketcher.model.errors import SketchError

if TYPE_CHECKING:
    from sketcher.analysis.evaluation import Evaluation
    from sketcher.model.scene import Scene
    from sketcher.outputs.drawing.recording import Drawing


def evaluated(path: str, output: Destination | None = None, stage: int | None = None, *, called: bool = True) -> Evaluation:
    """All that is known of a scene's file; where bottles are counted, which takes a while, a terminal is told how far it is.

    output: where it goes, refused before anything is worked out where something would be lost there. stage: of the refit, after
    which she is looked at; None: after all. called: whether the scene is then called by it, as on paper.
    """
    from sketcher.analysis.evaluate import hull_form
    from sketcher.model.files.scene_file import read_scene

    scene = read_scene(path)
    if stage is not None:
        from sketcher.analysis.staging import scene_after, staged_scene

        scene = (staged_scene if called else scene_after)(scene, stage, hull_form(scene.hull))
    if output is not None:
        output.refuse_loss([path, scene.hull.file])
    with buildable(path):
        return evaluated_counting(scene)


def evaluated_counting(scene: Scene) -> Evaluation:
    """All that is known of a scene, a terminal told how far the count of bottles is."""
    from sketcher.analysis.evaluate import evaluate

    if not scene.bottles:
        return evaluate(scene)
    from sketcher.outputs.progress import Counting

    counting = Counting()
    try:
        return evaluate(scene, counting)
    finally:
        counting.done()


def named_spaces(holed: Sequence[str], evaluation: Evaluation) -> Sequence[str]:
    """The spaces that `--holed` names. Raises SketchError for several in one, which it takes one by one."""
    known = {space.name for space in evaluation.layout.compartments}
    for name in holed:
        parts = [part for each in name.split(",") for part in each.split(" and ")]
        several = [part.strip() for part in parts if part.strip()]
        if name not in known and len(several) > 1 and all(part in known for part in several):
            remedy = f"Say --holed for each: {' '.join(f'--holed {part!r}' for part in several)}."
            raise SketchError(f"--holed {name!r} names {len(several)} spaces", remedy)
    return holed


def put(text: str, output: Destination | None) -> None:
    """A text into a file, or on the screen where none is named."""
    if output is None:
        sys.stdout.write(text)
    else:
        write(output.path, text.encode())


def write(path: str, data: bytes) -> None:
    """A file written whole or not at all."""
    from sketcher.model.files.replacement import replace_file

    replace_file(path, data)


def names_drawing(path: str) -> bool:
    """Whether a file's name asks for a drawing to scale."""
    return path.lower().endswith((".svg", ".pdf"))


def write_drawing(path: str, drawing: Drawing) -> None:
    """A drawing as SVG or PDF, as the file's name ends."""
    if path.lower().endswith(".pdf"):
        from sketcher.outputs.drawing.pdf import as_pdf

        write(path, as_pdf([drawing]))
    else:
        from sketcher.outputs.drawing.svg import as_svg

        write(path, as_svg(drawing).encode())
