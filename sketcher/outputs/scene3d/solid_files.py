"""Hull, panels and compartments as solids for other programs: one glTF file of all in metres, an STL of each in millimetres."""

from __future__ import annotations

import json
import struct
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from sketcher.analysis.evaluation import Evaluation
from sketcher.geometry.mesh import TriMesh
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


def as_stl(mesh: TriMesh, title: str) -> bytes:
    """A mesh as binary STL in millimetres, the unit that programs take STL's bare numbers for."""
    corners = (mesh.vertices * 1000.0)[mesh.triangles].astype("<f4")
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]).astype(np.float64)
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
        vertices = solid.mesh.vertices.astype("<f4")
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
