"""Solids as another library reads them out of the files of a build, in metres."""

from __future__ import annotations

import io

import numpy as np
import trimesh

from sketcher.geometry.mesh import TriMesh
from sketcher.geometry.solid.boolean import to_manifold


def from_stl(data: bytes) -> trimesh.Trimesh:
    """The solid of an STL in millimetres."""
    read = trimesh.load(io.BytesIO(data), file_type="stl")
    return read.apply_scale(0.001)


def from_glb(data: bytes) -> dict[str, trimesh.Trimesh]:
    """The solids of a glTF by their names there."""
    return dict(trimesh.load(io.BytesIO(data), file_type="glb").geometry)


def check_solid(read: trimesh.Trimesh, mesh: TriMesh, name: str) -> None:
    """Closed, oriented, and of the kernel's volume but for its surface moved by the last place of its largest coordinate."""
    assert read.is_watertight, name
    assert read.is_winding_consistent, name
    last_place = float(np.spacing(np.float32(np.abs(mesh.vertices).max())))
    assert abs(read.volume - to_manifold(mesh, 1, what=name).volume()) <= last_place * read.area, name
