"""Points of scans from files of each kind, and what is said of torn ones."""

import struct
from pathlib import Path

import numpy as np
import pytest

from sketcher.model.errors import SketchError
from sketcher.model.files.scan_points import is_scan, read_scan

CORNERS = np.array([[0.0, 0.0, 0.0], [1.5, 0.0, 0.0], [0.0, 2.5, -1.0]])
PLACES = "property {1} x\nproperty {1} y\nproperty {1} z\n"
PLY = "ply\nformat {0} 1.0\ncomment made for a test\nelement vertex 3\n" + PLACES + "{2}end_header\n"
FACE = "element face 1\nproperty list uchar int vertex_indices\n"
TEXT = "0 0 0\n1.5 0 0\n0 2.5 -1\n"
STL = (
    "solid x\nfacet normal 0 0 1\nouter loop\n"
    + "".join(f"vertex {line}\n" for line in TEXT.splitlines())
    + "endloop\nendfacet\n"
)


def files() -> dict[str, tuple[str, bytes, int]]:
    """One triangle in each kind of file: its ending, its bytes, how many triangles are read from it."""
    little, big = CORNERS.astype("<f4").tobytes(), CORNERS.astype(">f8").tobytes()
    face = struct.pack("<B3i", 3, 0, 1, 2)
    return {
        "ply text": (".ply", (PLY.format("ascii", "float", "") + TEXT).encode(), 0),
        "ply little": (".ply", PLY.format("binary_little_endian", "float", FACE).encode() + little + face, 1),
        "ply big": (".ply", PLY.format("binary_big_endian", "double", "").encode() + big, 0),
        "stl text": (".stl", STL.encode(), 1),
        "stl": (".stl", bytes(80) + struct.pack("<I", 1) + bytes(12) + little + bytes(2), 1),
        "obj": (".obj", b"# made\n" + "".join(f"v {line}\n" for line in TEXT.splitlines()).encode() + b"f 1/1 2/2 3/3\n", 1),
        "xyz": (".xyz", TEXT.encode(), 0),
        "xyz with commas": (".xyz", b"x,y,z,red\n# c\n" + TEXT.replace(" ", ",").replace("\n", ",9\n").encode(), 0),
        "xyz decimal commas": (".xyz", TEXT.replace(" ", ";").replace(".", ",").encode(), 0),
    }


@pytest.mark.closed_form
@pytest.mark.parametrize("kind", files())
def test_the_same_triangle_is_read_from_every_kind_of_file(tmp_path: Path, kind: str) -> None:
    """Three corners to the last bit, and the triangle where the file has one."""
    ending, data, triangles = files()[kind]
    path = tmp_path / f"scan{ending}"
    path.write_bytes(data)
    scan = read_scan(path)
    assert scan.points.tolist() == CORNERS.tolist()
    assert scan.triangles.tolist() == [[0, 1, 2]] * triangles


@pytest.mark.example
def test_points_without_a_place_are_left_out_and_counted(tmp_path: Path) -> None:
    """Depth cameras write nan where they saw nothing."""
    path = tmp_path / "scan.XYZ"
    path.write_text(TEXT + "nan nan nan\n")
    assert is_scan(path)
    scan = read_scan(path)
    assert (len(scan.points), scan.left_out) == (3, 1)


@pytest.mark.example
@pytest.mark.parametrize(
    ("ending", "data", "said"),
    [
        (".ply", b"solid", "this is no PLY file"),
        (".ply", PLY.format("binary_little_endian", "float", "").encode() + bytes(20), "promises 3 points, the file holds 1"),
        (".ply", PLY.format("ascii", "float", "").encode() + b"0 0 0\n1 1\n0 0 0\n", r":10: `1 1` holds no x, y and z"),
        (".ply", PLY.format("ascii", "floot", "").encode(), r":5: `property floot x` is nothing that a PLY header says"),
        (".ply", PLY.format("ascii", "float", "").replace(" z", " w").encode(), "no x, y and z"),
        (".stl", b"not one", "this is no STL file"),
        (".obj", b"v 1 2 3\nv 1 b 3\n", r":2: `v 1 b 3` holds no x, y and z"),
        (".obj", b"v 1 2 3\nf 1 2 9\n", "a corner that is none of the 1 points"),
        (".xyz", b"1 2 3\n4 5\n", r":2: `4 5` holds no x, y and z"),
        (".xyz", b"", "holds no points"),
    ],
)
def test_a_torn_scan_is_refused_with_its_place(tmp_path: Path, ending: str, data: bytes, said: str) -> None:
    """One to three lines: file, line where there is one, what is wrong, what to do."""
    path = tmp_path / f"scan{ending}"
    path.write_bytes(data)
    with pytest.raises(SketchError, match=said) as problem:
        read_scan(path)
    assert 1 <= len(str(problem.value).splitlines()) <= 3
    assert problem.value.file == str(path)
