"""Files that are taken away from the page: drawings, the picture, and the build's lists and folder."""

from __future__ import annotations

import re
from datetime import date

from sketcher.model.files.sending import packed_boat
from sketcher.outputs.drawing.pdf import as_pdf
from sketcher.outputs.drawing.recording import Drawing
from sketcher.outputs.drawing.svg import as_svg
from sketcher.outputs.scene3d.boat_shapes import boat_shapes
from sketcher.outputs.scene3d.lettering.picture_key import picture_key, tint_keys
from sketcher.web.logic.damage import holed_in_turn
from sketcher.web.logic.workspace import Workspace
from sketcher.web.page.exported_sheet import exported_sheet
from sketcher.web.page.picture_labels import PictureLabels
from sketcher.web.render_thread import Painter
from sketcher.web.state import DamagedCondition
from sketcher.web.view.printed_picture import ENLARGED, printed

Download = tuple[bytes, str, str]
"""A file's bytes, its kind, and the name to keep it under."""


def download(workspace: Workspace, labels: PictureLabels, painter: Painter | None, what: str) -> Download | None:
    """A file to take away by its name on the page; None where there is none of that name, or not now."""
    name = file_stem(workspace.session.scene.name)
    match what:
        case "drawings.svg":
            return as_svg(_drawings(workspace)).encode(), "image/svg+xml", f"{name}.svg"
        case "drawings.pdf":
            return as_pdf([_drawings(workspace)], workspace.session.scene.name), "application/pdf", f"{name}.pdf"
        case "build.zip":
            folder = workspace.build.folder_of(workspace.session.scene)
            return None if folder is None else (folder, "application/zip", f"{name}-build.zip")
        case "boat.zip":
            return packed_boat(workspace.session.opened, workspace.session.scene), "application/zip", f"{name}.zip"
        case "page.pdf":
            return _page(workspace, labels, painter), "application/pdf", f"{name}-page.pdf"
        case "picture.png":
            picture = None if painter is None else _picture(workspace, labels, painter, workspace.damage.condition())
            return None if picture is None else (picture, "image/png", f"{name}.png")
    return _build_list(workspace, what.removesuffix(".csv"))


def _drawings(workspace: Workspace) -> Drawing:
    """The drawings as they stand, on paper."""
    selected, look = workspace.selection.selected, workspace.view_settings.look
    kept = workspace.comparing.side_by_side(resting=False) if look.beside else None
    damaged = workspace.damage.condition()
    return exported_sheet(workspace.shown, look, selected, damaged=damaged, kept=kept)


def _build_list(workspace: Workspace, name: str) -> Download | None:
    """A list of the build as CSV; none of a layout that has changed since."""
    # Loaded when it is wanted: it brings the libraries that write the build's papers.
    from sketcher.outputs.paper.build_files import tables

    plan = workspace.build.plan_of(workspace.session.scene)
    text = None if plan is None else dict(tables(plan, workspace.session.scene.units)).get(name)
    return None if text is None else (text.encode(), "text/csv", f"{file_stem(name)}.csv")


def _page(workspace: Workspace, labels: PictureLabels, painter: Painter | None) -> bytes:
    """The layout on one page, unholed, with the picture as it is turned."""
    from sketcher.outputs.one_page import one_page

    judged = holed_in_turn(workspace.shown)
    picture = None if painter is None else _picture(workspace, labels, painter)
    units, at = judged.evaluation.scene.units, workspace.view_settings.look.plan_height
    return one_page(judged.evaluation, judged.cases, units, date.today(), picture, at)


def _picture(
    workspace: Workspace, labels: PictureLabels, painter: Painter, damaged: DamagedCondition | None = None
) -> bytes | None:
    """The picture with its title strip; None where none can be drawn."""
    evaluation, settings = workspace.shown, workspace.view_settings
    # On paper nothing is selected.
    afloat, case = (evaluation, None) if damaged is None else (damaged.evaluation, damaged.case)
    boat = boat_shapes(afloat, settings.appearance, None, case)
    pixels = painter.large(boat, settings.camera, settings.size, ENLARGED)
    if pixels is None:
        return None
    names = labels.labels() if damaged is not None or not workspace.damage.holed else ()
    flooded = () if damaged is None else tuple(damaged.water_in)
    keys = [
        *tint_keys(afloat, settings.look, flooded),
        *picture_key(afloat, settings.appearance, flooded, holed=damaged is not None),
    ]
    return printed(pixels, evaluation, settings.camera, names, keys, date.today())


def file_stem(name: str) -> str:
    """A scene's name as the stem of a file's name, in plain characters."""
    return re.sub(r"[^A-Za-z0-9]+", "-", name).strip("-").lower()[:60] or "sketch"
