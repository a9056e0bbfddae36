"""A small boat worked out by hand, for what is made from an evaluation: figures, report, pictures and drawings.

A box 4 m long, 2 m wide and 1 m deep inside, without shell thickness. A bulkhead 20 mm thick stands at 1.000 m, a lid 10 mm thick
closes the space abaft it at 0.400 m. She floats level at 0.500 m: box inside 8 m3, forward space 1.000 x 2 x 1 = 2 m3.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding, Length
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import (
    BerthFigures,
    Compartment,
    Floating,
    FlowPath,
    Immersion,
    Layout,
    PanelFace,
    PanelShape,
    WaterPlane,
)
from sketcher.geometry.mesh import TriMesh
from sketcher.geometry.plane import Plane
from sketcher.model.hull import Hull, Station
from sketcher.model.scene import Berth, Bulkhead, Lid, Opening, Scene, Waterline

_FACES = np.array(
    [
        [0, 2, 1],
        [1, 2, 3],
        [4, 5, 6],
        [5, 7, 6],
        [0, 1, 4],
        [1, 5, 4],
        [2, 6, 3],
        [3, 6, 7],
        [0, 4, 2],
        [2, 4, 6],
        [1, 3, 5],
        [3, 7, 5],
    ]
)


def box(low: tuple[float, float, float], high: tuple[float, float, float]) -> TriMesh:
    """A closed box with outward normals."""
    corners = np.array([[x, y, z] for z in (low[2], high[2]) for y in (low[1], high[1]) for x in (low[0], high[0])], dtype=float)
    return TriMesh(corners, _FACES, np.zeros(12, dtype=np.int64))


def compartment(name: str, low: tuple[float, float, float], high: tuple[float, float, float], **changes: object) -> Compartment:
    """A box-shaped space; its figures are those of the box unless changed."""
    size = [b - a for a, b in zip(low, high, strict=True)]
    middle = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2, (low[2] + high[2]) / 2)
    space = Compartment(
        name=name,
        use="void",
        named=True,
        volume=size[0] * size[1] * size[2],
        centroid=middle,
        lowest=low[2],
        highest=high[2],
        bounded=True,
        watertight=True,
        open_to=(),
        permeability=0.95,
        bounds=(("collision", "forward"),),
        mesh=box(low, high),
    )
    return replace(space, **changes)  # type: ignore[arg-type]


def box_boat(units: str = "mm") -> Evaluation:
    """The whole evaluation of the boat above, with one finding of each severity."""
    hull = Hull(
        name="Box 4",
        units="mm",
        stations=(
            Station(at=0.0, points=((0.0, 0.0), (1.0, 0.0), (1.0, 1.0)), knuckles=(2,)),
            Station(at=4.0, points=((0.0, 0.0), (1.0, 0.0), (1.0, 1.0)), knuckles=(2,)),
        ),
    )
    collision = Bulkhead(name="collision", at=1.0, thickness=0.020)
    lid = Lid(name="tank top", height=0.400, start="collision", end="transom", thickness=0.010)
    scene = Scene(
        name="Box, first layout",
        units=units,
        hull=hull,
        hull_path="../hulls/box.yaml",
        waterline=Waterline(forward=0.5, after=0.5),
        bulkheads=(collision,),
        lids=(lid,),
        berths=(Berth(name="long berth", height=0.45, start="collision", end="transom", cushion=0.05, stature=1.88),),
        openings=(Opening(name="limber hole", through="collision", at=(0.0, 0.1), diameter=0.025),),
        file="scenes/box.yaml",
    )
    inside = box((0, -1, 0), (4, 1, 1))
    form = HullForm(
        hull=hull,
        inside=inside,
        outside=inside,
        lines=np.array([[[x, 0, 0], [x, 1, 0], [x, 1, 1]] for x in np.linspace(0, 4, 9)]),
        sheer=np.array([[x, 1.0, 1.0] for x in np.linspace(0, 4, 9)]),
        x_forward=0.0,
        x_after=4.0,
    )
    spaces = (
        compartment("after space", (1.02, -1, 0.4), (4, 1, 1), use="accommodation"),
        compartment("forepeak", (0, -1, 0), (1, 1, 1), use="chain", watertight=False, open_to=("low void",), permeability=0.6),
        compartment(
            "low void",
            (1.02, -1, 0),
            (4, 1, 0.39),
            watertight=False,
            open_to=("forepeak",),
            bounds=(("collision", "after"), ("tank top", "under")),
        ),
    )
    panels = (
        PanelShape(
            panel=collision,
            kind="bulkhead",
            mesh=box((1.0, -1.2, -0.2), (1.02, 1.2, 1.2)),
            faces=(PanelFace("forward", Plane.of((-1.0, 0.0, 0.0), -1.0)), PanelFace("after", Plane.of((1.0, 0.0, 0.0), 1.02))),
            depends_on=(),
            trim=lambda: box((1.0, -1.0, 0.0), (1.02, 1.0, 1.0)),
        ),
        PanelShape(
            panel=lid,
            kind="lid",
            mesh=box((1.02, -1.2, 0.39), (4.2, 1.2, 0.4)),
            faces=(PanelFace("top", Plane.of((0.0, 0.0, 1.0), 0.4)), PanelFace("under", Plane.of((0.0, 0.0, -1.0), -0.39))),
            depends_on=("collision",),
            trim=lambda: box((1.02, -1.0, 0.39), (4.0, 1.0, 0.4)),
        ),
    )
    angles = np.linspace(0, 2 * np.pi, 16, endpoint=False)
    hole = FlowPath(
        name="limber hole",
        kind="opening",
        between=("forepeak", "low void"),
        through="collision",
        lowest=0.0875,
        lowest_at=(1.0, 0.0, 0.0875),
        area=np.pi * 0.0125**2,
        outline=np.column_stack([np.full(16, 1.0), 0.0125 * np.cos(angles), 0.1 + 0.0125 * np.sin(angles)]),
    )
    findings = (
        Finding(code="flooding-in-calm-water", severity="note", object="scene", source="sea-water"),
        Finding(
            code="opening-under-water",
            severity="warn",
            object="limber hole",
            values={"path": "limber hole", "depth": Length(0.3), "space": "low void", "is_opening": True},
            measured=0.025,
            limit=0.0,
            at=(1.0, 0.0, 0.2),
        ),
        Finding(
            code="panel-carries-load",
            severity="stop",
            object="collision",
            values={"panel": "collision", "carries": ("mast",), "built": "planned", "holes": ()},
            binding="binds nobody: advice",
        ),
    )
    layout = Layout(
        scene=scene,
        hull=form,
        panels=panels,
        compartments=spaces,
        flow_paths=(hole,),
        adjoining=(("after space", "forepeak"), ("after space", "low void"), ("forepeak", "low void")),
        findings=(),
        inside_volume=8.0,
        panel_volume=0.0996,
        sliver_volume=0.0,
        residual=0.0,
    )
    return Evaluation(
        scene=scene,
        layout=layout,
        water=WaterPlane(forward=0.5, after=0.5, heel=0.0, x_forward=0.0, x_after=4.0),
        floating=Floating(
            displacement=4100.0,
            volume=4.0,
            draft=0.5,
            canoe_body_draft=0.5,
            centre_of_buoyancy=(2.0, 0.0, 0.25),
            waterplane_area=8.0,
            centre_of_flotation=2.0,
            kg_per_cm=82.0,
            moment_per_cm=None,
            gm=None,
            forward_freeboard=0.5,
            after_freeboard=0.5,
            least_freeboard=0.5,
            least_freeboard_at=(2.0, 1.0, 1.0),
            least_opening_clear=None,
            wetted_surface=14.0,
        ),
        immersion=(
            Immersion(below=0.596, position="crosses"),
            Immersion(below=1.0, position="crosses"),
            Immersion(below=2.3244, position="below"),
        ),
        berths=(
            BerthFigures(
                name="long berth",
                surface=0.5,
                outline=np.array([[1.02, -1.0], [4.0, -1.0], [4.0, 1.0], [1.02, 1.0]]),
                line=((1.02, 0.0), (4.0, 0.0)),
                length=2.98,
                shoulder_width=2.0,
                foot_width=2.0,
                headroom=0.5,
                stature=1.88,
                fits=True,
                short_by=0.0,
            ),
        ),
        findings=findings,
    )
