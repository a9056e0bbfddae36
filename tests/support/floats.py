"""Boats that need no loft, for checks of how they float: a known solid as the hull, boxes as compartments."""

from dataclasses import replace

import numpy as np
from shapes import box

from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import Compartment, FlowPath, Layout, PanelShape
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.model.hull import Appendage, Hull, Station
from sketcher.model.scene import Scene, Waterline

SQUARE = Station(at=0.0, points=((0.0, 0.0), (1.0, 0.0), (1.0, 1.0)))


def form_of(mesh: TriMesh, sheer: Floats | None = None, **hull_fields) -> HullForm:
    """A hull without shell thickness of a known solid; the deck's edge runs along the top of its box unless given."""
    low, high = mesh.bounds
    if sheer is None:
        x = np.linspace(low[0], high[0], 9)
        sheer = np.column_stack([x, np.full(9, high[1]), np.full(9, high[2])])
    hull = Hull(name="test body", units="m", stations=(SQUARE, replace(SQUARE, at=1.0)), **hull_fields)
    return HullForm(
        hull=hull,
        inside=mesh,
        outside=mesh,
        lines=np.zeros((0, 0, 3)),
        sheer=sheer,
        x_forward=float(low[0]),
        x_after=float(high[0]),
    )


def scene_of(
    form: HullForm, forward: float, after: float | None = None, heel: float = 0.0, kg: float | None = None, **fields
) -> Scene:
    """A scene in that hull, floating at these heights, its centre of gravity `kg` [m] up."""
    water = Waterline(forward=forward, after=forward if after is None else after, heel=heel)
    fields = {"waterline": water, "centre_of_gravity_height": kg, "hull_path": "", "name": "test", "units": "m", **fields}
    return Scene(hull=form.hull, **fields)


def space(name: str, mesh: TriMesh, permeability: float = 1.0, use: str = "void", **fields) -> Compartment:
    """A compartment of that solid."""
    low, high = mesh.bounds
    plain = {
        "name": name,
        "use": use,
        "named": True,
        "volume": mesh.volume,
        "centroid": tuple(mesh.vertices.mean(axis=0)),
        "lowest": float(low[2]),
        "highest": float(high[2]),
        "bounded": True,
        "watertight": True,
        "open_to": (),
        "permeability": permeability,
        "bounds": (),
        "mesh": mesh,
    }
    return Compartment(**{**plain, **fields})


def room(
    name: str, low: tuple[float, float, float], high: tuple[float, float, float], permeability: float = 1.0, **fields
) -> Compartment:
    """A box-shaped compartment."""
    return space(name, box(low, high), permeability, **fields)


def hole(
    between: tuple[str, str], at: tuple[float, float, float], size: float = 0.05, kind="opening", through="panel", **fields
) -> FlowPath:
    """A square hole standing athwartships whose lowest edge is centred on `at`."""
    x, y, z = at
    outline = np.array([[x, y - size / 2, z], [x, y + size / 2, z], [x, y + size / 2, z + size], [x, y - size / 2, z + size]])
    return FlowPath(
        **{
            "name": f"hole {between[0]}-{between[1]}",
            "kind": kind,
            "between": between,
            "through": through,
            "lowest": z,
            "lowest_at": at,
            "area": size * size,
            "outline": outline,
            **fields,
        }
    )


def layout_of(
    scene: Scene,
    form: HullForm,
    spaces: tuple[Compartment, ...],
    paths: tuple[FlowPath, ...] = (),
    adjoining: tuple[tuple[str, str], ...] = (),
    panels: tuple[PanelShape, ...] = (),
) -> Layout:
    """Those spaces as the scene's layout."""
    inside = form.inside.volume
    return Layout(
        scene=scene,
        hull=form,
        panels=panels,
        compartments=spaces,
        flow_paths=paths,
        adjoining=adjoining,
        findings=(),
        inside_volume=inside,
        panel_volume=0.0,
        sliver_volume=0.0,
        residual=inside - sum(each.volume for each in spaces),
    )


def box_boat(length: float, breadth: float, depth: float, appendages: tuple[Appendage, ...] = (), **fields) -> HullForm:
    """A wall-sided boat from x = 0, its bottom on the base line."""
    return form_of(box((0, -breadth / 2, 0), (length, breadth / 2, depth)), appendages=appendages, **fields)
