"""Boards marked out from the text of their pages alone, beside the patterns that the pages were made from."""

from datetime import date
from functools import lru_cache

import pytest
import shapely
from printed.board_pages import MarkedBoard, furthest_apart, marked_boards
from scene_specimens import cut_out

from sketcher.analysis.cut.results import Pattern
from sketcher.outputs.paper.booklet import booklet

SCENES = (
    "quillet-filled",
    "marram-two-tanks",
    "pellwick-bows",
)
"""A demo of a chined hull, a round one and a boat with two; of the steel one the files of its boards are read elsewhere."""
IN_INCHES = ("quillet-filled",)
READ = [
    pytest.param(scene, units, marks=() if (scene, units) == (SCENES[0], "mm") else pytest.mark.slow)
    for units, scenes in (("mm", SCENES), ("in", IN_INCHES))
    for scene in scenes
]
MILLIMETRE, SIXTEENTH = 0.001, 0.0254 / 16
PER_METRE = {"mm": 1000.0, "in": 1 / 0.0254}


@lru_cache(maxsize=2 * len(SCENES))
def marked(scene: str, units: str) -> dict[str, MarkedBoard]:
    pages = booklet(cut_out(scene), "a4", units, date(2026, 5, 4))
    return marked_boards(pages, PER_METRE[units])


def outlines(pattern: Pattern, face: str) -> list[shapely.Polygon]:
    """The outlines that a title on its page stands for."""
    known = {pattern.drawn_face: [pattern.outline], pattern.other_face: [pattern.other_outline]}
    return known.get(face, [pattern.outline, pattern.other_outline])


@pytest.mark.property
@pytest.mark.parametrize(("scene", "units"), READ)
def test_a_board_marked_out_from_its_page_is_the_board(scene: str, units: str) -> None:
    """Straight lines through the printed points, with arcs in round corners, lie within 1 mm of both faces all along.

    So do battens sprung from corner to corner, in millimetres: a sixteenth of an inch is too coarse for points close together.
    In inches the page promises a sixteenth.
    """
    within = MILLIMETRE if units == "mm" else SIXTEENTH
    read = marked(scene, units)
    assert sorted(read) == sorted(pattern.name for pattern in cut_out(scene).patterns)
    for pattern in cut_out(scene).patterns:
        faces = read[pattern.name].faces
        shown = [outline for name in faces for outline in outlines(pattern, name) if not outline.is_empty]
        assert len(shown) == 2 - pattern.outline.is_empty - pattern.other_outline.is_empty, pattern.name
        for name, ring in faces.items():
            for outline in outlines(pattern, name):
                assert furthest_apart(ring, outline.exterior) < within, (pattern.name, name)
                for batten in read[pattern.name].battens[name] if units == "mm" else ():
                    off = shapely.distance(outline.exterior, shapely.points(batten)).max()
                    assert off < within, (pattern.name, name)


@pytest.mark.property
@pytest.mark.parametrize(("scene", "units"), READ)
def test_openings_marked_out_from_the_page_are_the_board_s(scene: str, units: str) -> None:
    """Each hole of the pattern from centre, size and radius, within 1 mm all round; the distances to two edges agree."""
    within = MILLIMETRE if units == "mm" else MILLIMETRE + SIXTEENTH / 2
    for pattern in cut_out(scene).patterns:
        read = marked(scene, units)[pattern.name]
        holes = sorted(pattern.outline.interiors, key=lambda ring: ring.centroid.x)
        assert len(read.openings) == len(holes), pattern.name
        for (name, ring), hole in zip(read.openings, holes, strict=True):
            assert furthest_apart(ring, hole) < within, (pattern.name, name)
        for (_, ring), runs in zip(read.openings, read.to_edges, strict=True):
            middle = shapely.minimum_rotated_rectangle(ring).centroid
            assert len(runs) == 2
            for run, way in runs:
                x, y = {"left": (-1, 0), "right": (1, 0), "below": (0, -1), "above": (0, 1)}[way]
                end = shapely.Point(middle.x + x * run, middle.y + y * run)
                assert pattern.outline.exterior.distance(end) < within, (pattern.name, way)


@pytest.mark.property
@pytest.mark.parametrize("scene", [SCENES[0], *(pytest.param(name, marks=pytest.mark.slow) for name in SCENES[1:])])
def test_every_line_of_a_board_is_on_its_page(scene: str) -> None:
    """Where panels land, datums and joints: each named line of the pattern, within 1 mm."""
    for pattern in cut_out(scene).patterns:
        read = [shapely.LineString(line) for _, line in marked(scene, "mm")[pattern.name].lines]
        for mark in pattern.marks:
            if mark.says is not None:
                line = shapely.LineString(mark.line)
                near = min(shapely.hausdorff_distance(line, other, densify=0.02) for other in read)
                assert near < MILLIMETRE, (pattern.name, mark.says.code)
