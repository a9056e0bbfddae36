"""The boat in a picture: hull see-through, panels whole, compartments tinted and ruled where they lie below the water."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.results import WaterPlane
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.solid.boolean import reserve_ids, surface_of, to_manifold
from sketcher.geometry.solid.section import frame_on, section_rings
from sketcher.geometry.vectors import triple
from sketcher.outputs.contents_shapes import fitting_mesh
from sketcher.outputs.palette import ACCENT, CUSHION, FLOODED, INK, PAPER, PENCIL, TIMBER, TIMBER_EDGE, TINTS, WATER
from sketcher.outputs.scene3d.contents_picture import add_contents, filled_spaces
from sketcher.outputs.scene3d.picture_view import View
from sketcher.outputs.wording.known_spaces import known_spaces, relation

OPACITY = {"below": 0.9, "crosses": 0.72, "above": 0.5, "unknown": 0.6}
"""What lies above is clearer, since it stands before what lies below when seen from above."""
FLOODED_OPACITY = 0.85
FILLED_OPACITY = 0.22
"""Of a space with bottles or chain in it, so that they are seen."""
RULES = 26
"""Water lines between the lowest point and the water."""
RIBS = 14
"""Sections of the hull shown as thin lines."""
OVERSAMPLED = 2
"""The boat is drawn so many times larger and scaled down, which smooths lines better than multisampling."""


@dataclass(frozen=True, eq=False)
class Shown:
    """What is drawn: a boat at a waterline; flooded: names of the spaces that water stands in; before: her waterline unholed."""

    evaluation: Evaluation
    flooded: frozenset[str] = frozenset()
    before: WaterPlane | None = None


def draw_boat(shown: Shown, view: View, size: tuple[int, int], centre: Floats, metres_high: float) -> Any:
    """The boat on paper, (height, width, 3) bytes, OVERSAMPLED times `size`; `centre` [m] is in the middle.

    metres_high [m]: how much of the boat's space the picture is high.
    """
    import pyvista

    plotter: Any = pyvista.Plotter(off_screen=True, window_size=[size[0] * OVERSAMPLED, size[1] * OVERSAMPLED], lighting="none")
    try:
        plotter.set_background(PAPER)
        plotter.add_light(pyvista.Light(light_type="headlight", intensity=1.0))
        for add in (_add_hull, _add_spaces, _add_contents, _add_fittings, _add_panels, _add_water, _add_marks):
            add(plotter, shown)
        plotter.enable_parallel_projection()
        plotter.camera.position = tuple(centre + 50.0 * view.eye)
        plotter.camera.focal_point = tuple(centre)
        plotter.camera.up = tuple(view.up)
        plotter.camera.parallel_scale = metres_high / 2
        plotter.reset_camera_clipping_range()
        # Peeling wants an alpha plane and no multisampling, else what is see-through is not drawn at all.
        plotter.render_window.SetAlphaBitPlanes(1)
        plotter.render_window.SetMultiSamples(0)
        plotter.enable_depth_peeling(number_of_peels=24, occlusion_ratio=0.0)
        image = plotter.screenshot(return_img=True)
    finally:
        plotter.close()
    return image


def _poly(mesh: TriMesh) -> Any:
    import pyvista

    faces = np.hstack([np.full((len(mesh.triangles), 1), 3), mesh.triangles])
    return pyvista.PolyData(mesh.vertices, faces.ravel())


def _lines(rings: list[Floats], closed: bool) -> Any:
    """Polylines through points (k, 3) each, as one thing to draw."""
    import pyvista

    points, cells, at = [], [], 0
    for ring in rings:
        whole = np.vstack([ring, ring[:1]]) if closed else ring
        points.append(whole)
        cells.append(np.concatenate([[len(whole)], at + np.arange(len(whole))]))
        at += len(whole)
    return pyvista.PolyData(np.vstack(points), lines=np.concatenate(cells))


def _add_lines(plotter: Any, rings: list[Floats], colour: str, width: float, closed: bool = False, opacity: float = 1.0) -> None:
    rings = [ring for ring in rings if len(ring) >= 2]
    if rings:
        plotter.add_mesh(
            _lines(rings, closed), color=colour, line_width=width * OVERSAMPLED, opacity=opacity, lighting=False, pickable=False
        )


def _add_hull(plotter: Any, shown: Shown) -> None:
    form = shown.evaluation.layout.hull
    plotter.add_mesh(_poly(form.outside), color=PENCIL, opacity=0.07, lighting=False, culling="back")
    grid = form.lines
    if grid.ndim == 3 and len(grid):
        chosen = np.unique(np.linspace(0, len(grid) - 1, RIBS).round().astype(int))
        ribs = [grid[k] for k in chosen]
        mirrored = [rib * np.array([1.0, -1.0, 1.0]) for rib in ribs]
        _add_lines(plotter, [*ribs, *mirrored], PENCIL, 0.7, opacity=0.45)
        _add_lines(plotter, [grid[:, 0]], INK, 1.6)
        _add_lines(plotter, [grid[-1], grid[-1] * np.array([1.0, -1.0, 1.0])], INK, 1.2)
    if len(form.sheer):
        _add_lines(plotter, [form.sheer, form.sheer * np.array([1.0, -1.0, 1.0])], INK, 1.6)


def _add_spaces(plotter: Any, shown: Shown) -> None:
    water = shown.evaluation.water
    contents = shown.evaluation.contents
    filled = frozenset() if contents is None else filled_spaces(contents)
    for known in known_spaces(shown.evaluation):
        tint = relation(known)
        mesh = _poly(known.space.mesh)
        if water is not None and known.name in shown.flooded:
            wet, dry = _parted(known.space.mesh, water)
            _add_body(plotter, wet, FLOODED, FLOODED_OPACITY)
            _add_body(plotter, dry, TINTS[tint], OPACITY[tint])
        else:
            _add_body(plotter, mesh, TINTS[tint], FILLED_OPACITY if known.name in filled else OPACITY[tint])
            if water is not None:
                _add_rules(plotter, mesh, water, shown.evaluation)
        edges = mesh.extract_feature_edges(feature_angle=40, boundary_edges=False, non_manifold_edges=False, manifold_edges=False)
        if edges.n_cells:
            plotter.add_mesh(edges, color=PENCIL, line_width=0.8 * OVERSAMPLED, opacity=0.6, lighting=False)


def _add_contents(plotter: Any, shown: Shown) -> None:
    if shown.evaluation.contents is not None:
        add_contents(plotter, shown.evaluation.contents, _poly)


def _add_fittings(plotter: Any, shown: Shown) -> None:
    """Things in the way as plain boxes."""
    for fitting in shown.evaluation.scene.fittings:
        mesh = _poly(fitting_mesh(fitting))
        plotter.add_mesh(mesh, color=PENCIL, ambient=0.6, diffuse=0.4, culling="back")
        edges = mesh.extract_feature_edges(feature_angle=40, boundary_edges=False, non_manifold_edges=False, manifold_edges=False)
        plotter.add_mesh(edges, color=INK, line_width=1.2 * OVERSAMPLED, lighting=False)


def _add_body(plotter: Any, mesh: Any, colour: str, opacity: float) -> None:
    if mesh.n_cells:
        plotter.add_mesh(mesh, color=colour, opacity=opacity, ambient=0.75, diffuse=0.3, culling="back")


def _parted(mesh: TriMesh, water: WaterPlane) -> tuple[Any, Any]:
    """A space parted at the water: what stands in it, and the air above."""
    plane = water.plane
    above, below = to_manifold(mesh, reserve_ids(1)).split_by_plane(triple(plane.normal), plane.distance)
    parts = [surface_of(part) for part in (below, above)]
    wet, dry = (_poly(TriMesh(part.vertices, part.triangles, part.face)) for part in parts)
    return wet, dry


def _add_rules(plotter: Any, mesh: Any, water: WaterPlane, evaluation: Evaluation) -> None:
    """Lines parallel to the water on what of a space lies below it."""
    plane = water.plane
    height = plane.over(np.asarray(mesh.points))
    if height.min() >= 0.0:
        return
    deepest = float(plane.over(evaluation.layout.hull.inside.vertices).min())
    pitch = -deepest / RULES
    levels = -pitch * np.arange(0, int(-height.min() / pitch) + 1)
    mesh["height"] = height
    rules = mesh.contour(isosurfaces=list(levels[levels < height.max()]), scalars="height")
    if rules.n_cells:
        plotter.add_mesh(rules, color=WATER, line_width=0.9 * OVERSAMPLED, opacity=0.55, lighting=False, scalars=None)


def _add_panels(plotter: Any, shown: Shown) -> None:
    """Panels run past the hull: trimmed to its inside."""
    layout = shown.evaluation.layout
    inside = to_manifold(layout.hull.inside, reserve_ids(1))
    for shape in layout.panels:
        part = surface_of(inside ^ to_manifold(shape.mesh, reserve_ids(1)))
        if not len(part.triangles):
            continue
        mesh = _poly(TriMesh(part.vertices, part.triangles, part.face))
        plotter.add_mesh(mesh, color=TIMBER, opacity=0.3, ambient=0.7, diffuse=0.35, culling="back")
        edges = mesh.extract_feature_edges(feature_angle=30, boundary_edges=False, non_manifold_edges=False, manifold_edges=False)
        if edges.n_cells:
            plotter.add_mesh(edges, color=TIMBER_EDGE, line_width=1.4 * OVERSAMPLED, lighting=False)


def _add_water(plotter: Any, shown: Shown) -> None:
    """The waterline round the hull; where she is holed also the one before, thin."""
    for water, colour, width in ((shown.before, PENCIL, 1.2), (shown.evaluation.water, WATER, 2.6)):
        if water is None:
            continue
        frame = frame_on(water.plane)
        rings = section_rings(shown.evaluation.layout.hull.outside, frame)
        _add_lines(plotter, [frame.space(ring) for ring in rings], colour, width, closed=True)


def _add_marks(plotter: Any, shown: Shown) -> None:
    """Openings and berths as outlines."""
    evaluation = shown.evaluation
    ways = [np.asarray(way.outline) for way in evaluation.layout.ways if way.kind == "opening"]
    _add_lines(plotter, ways, ACCENT, 1.6, closed=True)
    berths = []
    for berth in evaluation.berths:
        outline = np.asarray(berth.outline)
        if len(outline) >= 3:
            berths.append(np.column_stack([outline, np.full(len(outline), berth.surface)]))
    _add_lines(plotter, berths, CUSHION, 1.6, closed=True)
