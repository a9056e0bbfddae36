"""Outlines and bevels between stations far apart, against the surface itself: exact where it is ruled, far finer where fair."""

import numpy as np
import pytest
import shapely

from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.cut.results import Pattern
from sketcher.analysis.hull.form import HullForm, form_hull
from sketcher.analysis.spaces.layout import lay_out
from sketcher.geometry.mesh import Floats
from sketcher.model.cutting import Cutting
from sketcher.model.hull import Hull, Station
from sketcher.model.scene import Bulkhead, Lid, Scene

NO_GAPS = Cutting(gap=0.0, panel_gap=0.0)
STATIONS = {
    0.1: ((0.0, 1.00), (0.03, 1.10), (0.10, 1.60)),
    0.9: ((0.0, 0.30), (0.35, 0.62), (0.65, 1.50)),
    1.7: ((0.0, 0.05), (0.85, 0.25), (1.05, 1.45)),
    2.5: ((0.0, 0.00), (1.10, 0.12), (1.20, 1.40)),
}
"""A chined bow, invented: stations 0.8 m apart, and much twist in the bottom between them."""


def chined(between: str) -> Hull:
    stations = tuple(Station(at=at, points=points, knuckles=(2,)) for at, points in STATIONS.items())
    return Hull(
        name="chined bow",
        units="m",
        offsets_to="inside",
        shell=0.01,
        stations=stations,
        between_stations=between,
        between_points="straight",
    )


def boards(form: HullForm, cut_by: HullForm) -> tuple[Pattern, ...]:
    bulkheads = tuple(Bulkhead(name=f"at {x:.1f}", at=x, thickness=0.012) for x in (0.4, 1.2, 2.2))
    lids = (Lid(name="lid", height=0.7, start="at 0.4", end="at 2.2", thickness=0.012),)
    scene = Scene(
        name="boards", units="mm", hull=form.hull, hull_path="bow.yaml", bulkheads=bulkheads, lids=lids, cutting=NO_GAPS
    )
    return panel_patterns(lay_out(scene, form), None, form=cut_by)


def ruled(x: float, side: int, along: Floats) -> tuple[Floats, Floats]:
    """Points (k, 3) of the ruled surface at x, starboard, on bottom (0) or topside (1), and its unit normals (k, 3) outward."""
    at = sorted(STATIONS)
    k = int(np.searchsorted(at, x, side="right")) - 1
    fore, aft = (np.column_stack([np.full(3, s), np.array(STATIONS[s])])[side : side + 2] for s in (at[k], at[k + 1]))
    share = (x - at[k]) / (at[k + 1] - at[k])
    lines = [end[0] + along[:, None] * (end[1] - end[0]) for end in (fore, aft)]
    up = (fore[1] - fore[0]) * (1.0 - share) + (aft[1] - aft[0]) * share
    normals = np.cross(up, lines[1] - lines[0])
    return lines[0] * (1.0 - share) + lines[1] * share, normals / np.linalg.norm(normals, axis=1, keepdims=True)


@pytest.mark.closed_form
def test_a_bulkhead_between_far_stations_is_cut_by_the_ruled_surface() -> None:
    """Ruled from chine to chine: a section is straight between points taken in proportion, and how it faces is known."""
    form = form_hull(chined("straight"))
    for pattern in boards(form, form.fine):
        if pattern.kind != "bulkhead":
            continue
        x = pattern.frame.origin[0]
        for side in (0, 1):
            places, normals = ruled(x, side, np.linspace(0.1, 0.9, 60))
            flat = pattern.frame.flat(places)
            assert shapely.distance(pattern.outline.exterior, shapely.points(flat)).max() < 3e-4, pattern.name
            true = -np.degrees(np.arcsin(normals @ pattern.frame.normal))
            for bevel in pattern.bevels:
                apart = np.hypot(*(flat - np.array(bevel.at)).T)
                if bevel.against == "hull" and apart.min() < 0.005:
                    assert bevel.angle == pytest.approx(true[apart.argmin()], abs=0.5), (pattern.name, bevel)


@pytest.mark.example
@pytest.mark.slow
def test_boards_of_a_fair_hull_are_those_of_facets_ten_times_finer() -> None:
    """Fair from station to station: outlines to 0.3 mm and bevels to half a degree, which the facets for volumes miss."""
    hull = chined("smooth")
    form = form_hull(hull)
    true, fine, coarse = (boards(form, by) for by in (form_hull(hull, sag=1e-5), form.fine, form))
    assert max(apart(a, b) for a, b in zip(true, fine, strict=True)) < 3e-4
    assert max(apart(a, b) for a, b in zip(true, coarse, strict=True)) > 1e-3
    looked_at = 0
    for a, b in zip(true, fine, strict=True):
        corners = np.array([place for _, place in a.corners])
        for bevel in a.bevels:
            if np.hypot(*(corners - bevel.at).T).min() < 0.03:
                continue
            same = [
                each.angle
                for each in b.bevels
                if each.against == bevel.against and np.hypot(*np.subtract(each.at, bevel.at)) < 2e-3
            ]
            assert not same or min(abs(angle - bevel.angle) for angle in same) < 0.5, (a.name, bevel)
            looked_at += len(same)
    assert looked_at > 50


def apart(a: Pattern, b: Pattern) -> float:
    """How far [m] two outlines lie apart at most."""
    return float(shapely.hausdorff_distance(a.outline.exterior, b.outline.exterior, densify=0.01))
