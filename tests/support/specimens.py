"""Hulls of known shape to lay panels out in, and short ways to write a layout."""

from __future__ import annotations

import numpy as np
import shapely
from shapes import box, wigley

from sketcher.analysis.evaluate import judged
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.fit.berth_spaces import with_berth_spaces
from sketcher.analysis.fit.contents import with_contents
from sketcher.analysis.fit.contents_results import Contents
from sketcher.analysis.fit.lying_findings import with_stated_people
from sketcher.analysis.hull.form import DECK, SKIN, HullForm
from sketcher.analysis.spaces.layout import lay_out
from sketcher.geometry.mesh import TriMesh
from sketcher.model.hull import Hull, Station
from sketcher.model.scene import Bulkhead, Lid, NamedSpace, Opening, Scene, Waterline


def form_of(mesh: TriMesh) -> HullForm:
    """A closed mesh taken for the inside and outside of a hull; what faces straight up at its highest level is deck."""
    a, b, c = mesh.vertices[mesh.triangles.T]
    top = mesh.vertices[:, 2].max()
    is_deck = np.minimum(np.minimum(a[:, 2], b[:, 2]), c[:, 2]) == top
    closed = TriMesh(mesh.vertices, mesh.triangles, np.where(is_deck, DECK, SKIN).astype(np.int64))
    low, high = mesh.bounds
    stations = tuple(Station(at=float(x), points=((0.0, 0.0), (1.0, 1.0))) for x in (low[0], high[0]))
    grid = np.zeros((2, 2, 3))
    return HullForm(
        hull=Hull(name="specimen", units="mm", stations=stations),
        inside=closed,
        outside=closed,
        lines=grid,
        sheer=grid[0],
        x_forward=float(low[0]),
        x_after=float(high[0]),
    )


def box_form(length: float = 4.0, breadth: float = 2.0, depth: float = 1.0) -> HullForm:
    """A box from x = 0, keel at z = 0."""
    return form_of(box((0.0, -breadth / 2, 0.0), (length, breadth / 2, depth)))


def wigley_form(length: float = 8.0, breadth: float = 2.4, depth: float = 0.5, columns: int = 160, rows: int = 80) -> HullForm:
    """The parabolic hull from x = 0, keel at z = 0, deck at z = depth."""
    mesh = wigley(length, breadth, depth, columns, rows)
    return form_of(TriMesh(mesh.vertices + np.array([length / 2, 0.0, 0.0]), mesh.triangles, mesh.labels))


def aftmost(form: HullForm, height: float) -> float:
    """x [m] of the aftmost point inside the hull on the centreline at a height."""
    level = shapely.LineString([(-100.0, height), (100.0, height)])
    return float(shapely.intersection(form.profile("inside"), level).bounds[2])


def layout_scene(form: HullForm, **blocks: object) -> Scene:
    """A scene in this hull with the blocks given."""
    return Scene(name="specimen", units="mm", hull=form.hull, hull_path="specimen.yaml", **blocks)  # type: ignore[arg-type]


PANELS: dict[str, object] = {
    "bulkheads": (
        Bulkhead(name="collision", at=1.0, thickness=0.02),
        Bulkhead(name="main", at=3.0, thickness=0.02, built="already"),
    ),
    "lids": (Lid(name="top", height=0.5, start="collision", end="main", thickness=0.01),),
    "openings": (
        Opening(name="port", through="top", at=(1.5, 0.0), size=(0.3, 0.2), cover="tight"),
        Opening(name="hatch", through="deck", at=(0.5, 0.0), size=(0.5, 0.5), cover="loose"),
    ),
    "compartments": (
        NamedSpace(name="locker", at=(0.5, 0.0, 0.5), use="chain"),
        NamedSpace(name="void", at=(2.0, 0.0, 0.2)),
        NamedSpace(name="cabin", at=(2.0, 0.0, 0.8), use="accommodation"),
        NamedSpace(name="saloon", at=(3.5, 0.0, 0.5), use="accommodation"),
    ),
    "waterline": Waterline(forward=0.5, after=0.5),
    "centre_of_gravity_height": 0.4,
}
"""A box boat with a collision bulkhead, a lid and openings, to put things into: every figure can be worked out by hand.

Inside 4 m long, 2 m wide, 1 m deep; a bulkhead 20 mm thick with its forward face at 1 m; abaft it a lid 10 mm thick, its top at
0.5 m, to a second bulkhead at 3 m. So the locker forward is 1 x 2 x 1 m, the void under the lid 1.98 x 2 x 0.49 m, the cabin
above it 1.98 x 2 x 0.5 m. She floats level at 0.5 m.
"""


def filled(**blocks: object) -> Evaluation:
    """The boat evaluated with these contents, or other blocks in place of her own."""
    form = box_form()
    scene = layout_scene(form, **(PANELS | blocks))
    return with_berth_spaces(with_contents(with_stated_people(judged(lay_out(scene, form)))))


def contents_of(**blocks: object) -> Contents:
    found = filled(**blocks).contents
    assert found is not None
    return found


def codes(evaluation: Evaluation) -> list[str]:
    return [finding.code for finding in evaluation.findings]
