"""Hull, panels, compartments and boards as solids for other programs: glTF files in metres, an STL of each in millimetres.

Every one is closed and oriented as it stands in the file: the formats hold single precision, in which corners a few millionths
of a millimetre apart would fall together and leave edges with four faces.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sketcher.analysis.cut.results import Pattern
from sketcher.analysis.evaluation import Evaluation
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.solid.between_outlines import between_outlines
from sketcher.outputs.palette import FAINT, TIMBER, TINTS, channels
from sketcher.outputs.wording.known_spaces import known_spaces, relation

_UPRIGHT = (1.0, 0.0, 0.0, 0.0, 0.0, 0.0, -1.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 1.0)
"""glTF has y up and z towards the viewer: x stays aft, the boat's height becomes y, starboard comes towards the viewer."""

_FLOAT, _UNSIGNED = 5126, 5125
_POINTS, _INDICES = 34962, 34963
_GLB, _JSON, _BIN = 0x46546C67, 0x4E4F534A, 0x004E4942


@dataclass(frozen=True, eq=False)
class Solid:
    """A closed mesh with its name, what it is, and a colour with its opacity, 0 to 1."""

    kind: str
    name: str
    mesh: TriMesh
    colour: str
    opacity: float


def solids(evaluation: Evaluation) -> Iterator[Solid]:
    """The hull's shell, each panel as it is trimmed in the boat, and each compartment."""
    layout = evaluation.layout
    yield Solid("hull", "outside", layout.hull.outside, FAINT, 0.35)
    yield Solid("hull", "inside", layout.hull.inside, FAINT, 0.2)
    for shape in layout.panels:
        if shape.reaches_in:
            yield Solid("panel", shape.name, shape.trimmed, TIMBER, 1.0)
    for space, known in zip(layout.compartments, known_spaces(evaluation), strict=True):
        yield Solid("compartment", space.name, space.mesh, TINTS[relation(known)], 0.5)


def boards_as_cut(patterns: Iterable[Pattern]) -> Iterator[Solid]:
    """Each board where it goes in the boat, less its gaps, with its openings, notches and bevelled edges.

    Plating is left out: its pattern is flat, the plate in the boat is not.
    """
    for each in patterns:
        if each.kind != "plating":
            mesh = between_outlines(each.outline, each.other_outline, each.frame, each.thickness)
            yield Solid("board", each.name, mesh, TIMBER, 1.0)


def apart_in_single(points: Floats) -> NDArray[np.float32]:
    """Points (n, 3) in single precision, no two alike: of those that fall together all but one step aside by a last place.

    So a mesh stays closed for whoever knows its corners by their numbers alone.
    """
    single = points.astype("<f4") + np.float32(0.0)
    step = np.spacing(np.abs(single).max())
    while True:
        _, first, same = np.unique(single, axis=0, return_index=True, return_inverse=True)
        again = first[same.ravel()] != np.arange(len(single))
        if not again.any():
            return single
        single[again, 0] += step


def as_stl(mesh: TriMesh, title: str) -> bytes:
    """A mesh as binary STL in millimetres, the unit that programs take STL's bare numbers for."""
    corners = apart_in_single(mesh.vertices * 1000.0)[mesh.triangles]
    sides = corners.astype(np.float64)
    normals = np.cross(sides[:, 1] - sides[:, 0], sides[:, 2] - sides[:, 0])
    lengths = np.linalg.norm(normals, axis=1, keepdims=True)
    records = np.zeros(len(corners), dtype=[("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")])
    records["normal"] = normals / np.where(lengths > 0.0, lengths, 1.0)
    records["corners"] = corners
    # A header that begins with "solid" would be taken for the other, written kind of STL.
    head = f"mm; {title}".encode("ascii", "replace")[:80].ljust(80)
    return head + struct.pack("<I", len(records)) + records.tobytes()


def as_glb(parts: list[Solid]) -> bytes:
    """Solids as one binary glTF 2.0 file in metres, upright, a node for each by its name."""
    data = bytearray()
    views: list[dict[str, object]] = []
    accessors: list[dict[str, object]] = []
    materials: list[dict[str, object]] = []
    meshes: list[dict[str, object]] = []
    nodes: list[dict[str, object]] = []

    def put(values: bytes, target: int, accessor: dict[str, object]) -> int:
        views.append({"buffer": 0, "byteOffset": len(data), "byteLength": len(values), "target": target})
        data.extend(values)
        accessors.append({"bufferView": len(views) - 1, **accessor})
        return len(accessors) - 1

    for solid in parts:
        vertices = apart_in_single(solid.mesh.vertices)
        limits = {"min": vertices.min(axis=0).tolist(), "max": vertices.max(axis=0).tolist()}
        points = {"componentType": _FLOAT, "count": len(vertices), "type": "VEC3", **limits}
        position = put(vertices.tobytes(), _POINTS, points)
        indices = {"componentType": _UNSIGNED, "count": solid.mesh.triangles.size, "type": "SCALAR"}
        index = put(solid.mesh.triangles.astype("<u4").tobytes(), _INDICES, indices)
        # glTF's colours are linear, ours are as a screen shows them.
        linear = [round(channel**2.2, 4) for channel in channels(solid.colour)]
        materials.append(
            {
                "name": f"{solid.kind} {solid.name}",
                "pbrMetallicRoughness": {
                    "baseColorFactor": [*linear, solid.opacity],
                    "metallicFactor": 0,
                    "roughnessFactor": 0.9,
                },
                "doubleSided": True,
                **({"alphaMode": "BLEND"} if solid.opacity < 1.0 else {}),
            }
        )
        name = f"{solid.kind}: {solid.name}"
        primitive = {"attributes": {"POSITION": position}, "indices": index, "material": len(materials) - 1}
        meshes.append({"name": name, "primitives": [primitive]})
        nodes.append({"name": name, "mesh": len(meshes) - 1})
    nodes.append({"name": "boat", "matrix": _UPRIGHT, "children": list(range(len(nodes)))})
    content = {
        "asset": {"version": "2.0", "generator": "sketcher"},
        "scene": 0,
        "scenes": [{"nodes": [len(nodes) - 1]}],
        "nodes": nodes,
        "meshes": meshes,
        "materials": materials,
        "accessors": accessors,
        "bufferViews": views,
        "buffers": [{"byteLength": len(data)}],
    }
    text = json.dumps(content, ensure_ascii=False, separators=(",", ":")).encode()
    text += b" " * (-len(text) % 4)
    data.extend(b"\0" * (-len(data) % 4))
    length = 12 + 8 + len(text) + 8 + len(data)
    return b"".join(
        [
            struct.pack("<III", _GLB, 2, length),
            struct.pack("<II", len(text), _JSON),
            text,
            struct.pack("<II", len(data), _BIN),
            bytes(data),
        ]
    )
