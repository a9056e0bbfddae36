"""The points of a scan from a file: PLY, STL, OBJ, or a table of x, y and z.

Read here by numpy alone, in its own words: what reads such files among the libraries at hand draws pictures too, does not load
without graphics, and tells of a torn file neither line nor remedy.
"""

from __future__ import annotations

import os
import re
from dataclasses import dataclass
from io import StringIO
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from sketcher.model.errors import SketchError, quoted

ENDINGS = (".ply", ".stl", ".obj", ".xyz")
SIZE_LIMIT = 1_500_000_000
"""Bytes: five million points with colours in plain text are a quarter of it."""

_TYPES = {
    **dict.fromkeys(("char", "int8"), "i1"),
    **dict.fromkeys(("uchar", "uint8"), "u1"),
    **dict.fromkeys(("short", "int16"), "i2"),
    **dict.fromkeys(("ushort", "uint16"), "u2"),
    **dict.fromkeys(("int", "int32"), "i4"),
    **dict.fromkeys(("uint", "uint32"), "u4"),
    **dict.fromkeys(("float", "float32"), "f4"),
    **dict.fromkeys(("double", "float64"), "f8"),
}
_ORDERS = {"binary_little_endian": "<", "binary_big_endian": ">"}
_AGAIN = "Save the scan again: as PLY, STL, OBJ, or as lines of x y z."


@dataclass(frozen=True, eq=False)
class ScanPoints:
    """points (n, 3) in the file's unit; triangles (m, 3) of their numbers, none for a cloud; left_out: points not finite."""

    points: NDArray[np.float64]
    triangles: NDArray[np.int64]
    left_out: int = 0


def is_scan(path: str | os.PathLike[str]) -> bool:
    """Whether a file's name says that it holds a scan."""
    return os.fspath(path).lower().endswith(ENDINGS)


def read_scan(path: str | os.PathLike[str]) -> ScanPoints:
    """The points of a scan's file, by the ending of its name. Raises SketchError where it is torn or of another kind."""
    name = os.fspath(path)
    read = {".ply": _ply, ".stl": _stl, ".obj": _obj, ".xyz": _xyz}[name.lower()[-4:]]
    try:
        points, triangles = read(_bytes(name), name)
    except MemoryError:
        raise SketchError("the scan does not fit into memory", "Thin it out to 5 million points or fewer.", name) from None
    sound = np.isfinite(points).all(axis=1)
    if not sound.any():
        raise SketchError("the scan holds no points", _AGAIN, name)
    if sound.all():
        return ScanPoints(points, triangles)
    return ScanPoints(points[sound], np.zeros((0, 3), dtype=np.int64), int((~sound).sum()))


def _bytes(name: str) -> bytes:
    try:
        if not os.path.isfile(name):
            raise SketchError("there is no such file" if not os.path.exists(name) else "this is no ordinary file", "", name)
        if os.path.getsize(name) > SIZE_LIMIT:
            raise SketchError("the scan is larger than 1.5 GB", "Thin it out to 5 million points or fewer.", name)
        with open(name, "rb") as handle:
            return handle.read()
    except OSError as problem:
        raise SketchError(f"the scan cannot be read: {problem.strerror}", "", name) from None


def _ply(data: bytes, name: str) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    head, found, rest = data[:100_000].partition(b"end_header")
    if not data.startswith(b"ply") or not found:
        raise SketchError("this is no PLY file: its header does not begin with `ply` or has no end", _AGAIN, name, 1)
    start = len(head) + len(found) + (2 if rest.startswith(b"\r\n") else 1)
    order, elements = _ply_header(head.decode("ascii", "replace"), name)
    if order == "":
        return _ply_text(data[start:], elements, name, head.count(b"\n") + 1)
    points = np.zeros((0, 3))
    for kind, count, properties in elements:
        fields = [(key, order + of) for key, of in properties if not key.startswith("list ")]
        if kind == "vertex":
            _need_places([key for key, _ in properties], name)
            block = _records(data, start, np.dtype(fields), count, "points", name)
            points = np.stack([block[key].astype(np.float64) for key in "xyz"], axis=1)
            start += block.nbytes
        elif kind == "face" and len(points) and len(properties) == 1:
            number, of = properties[0][1].split()
            record = np.dtype([("n", order + number), ("corners", order + of, (3,))])
            if len(data) - start >= record.itemsize * count:
                block = _records(data, start, record, count, "faces", name)
                if (block["n"] == 3).all():
                    return points, _corners(block["corners"].astype(np.int64), len(points), name)
            return points, np.zeros((0, 3), dtype=np.int64)
        elif any(key.startswith("list ") for key, _ in properties):
            break
        else:
            start += np.dtype(fields).itemsize * count
    return points, np.zeros((0, 3), dtype=np.int64)


def _ply_header(head: str, name: str) -> tuple[str, list[tuple[str, int, list[tuple[str, str]]]]]:
    """The order of bytes ("": text) and the elements: what they are, how many, and their properties by name and type."""
    order: str | None = None
    elements: list[tuple[str, int, list[tuple[str, str]]]] = []
    for number, line in enumerate(head.splitlines(), 1):
        words = line.split()
        try:
            match words:
                case ["format", form, _]:
                    order = "" if form == "ascii" else _ORDERS[form]
                case ["element", kind, count] if 0 <= int(count) < 10**9:
                    elements.append((kind, int(count), []))
                case ["property", "list", size, of, key]:
                    elements[-1][2].append((f"list {key}", f"{_TYPES[size]} {_TYPES[of]}"))
                case ["property", of, key]:
                    elements[-1][2].append((key, _TYPES[of]))
                case ["ply"] | ["comment" | "obj_info", *_] | []:
                    pass
                case _:
                    raise ValueError
        except (ValueError, KeyError, IndexError):
            raise SketchError(f"`{quoted(line)}` is nothing that a PLY header says", _AGAIN, name, number) from None
    if order is None or not any(kind == "vertex" for kind, _, _ in elements):
        raise SketchError("the PLY header tells no format, or no points (`element vertex`)", _AGAIN, name, 1)
    return order, elements


def _ply_text(
    data: bytes, elements: list[tuple[str, int, list[tuple[str, str]]]], name: str, before: int
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    skipped = 0
    for kind, count, properties in elements:
        if kind == "vertex":
            keys = [key for key, _ in properties]
            _need_places(keys, name)
            lines = data.decode("ascii", "replace").splitlines()[skipped : skipped + count]
            if len(lines) < count:
                raise SketchError(f"the header promises {count} points, the file holds {len(lines)}", _AGAIN, name)
            return _numbers(lines, [keys.index(key) for key in "xyz"], name, before + skipped), np.zeros((0, 3), dtype=np.int64)
        skipped += count
    raise AssertionError("the header has points")


def _need_places(keys: list[str], name: str) -> None:
    if not {"x", "y", "z"} <= set(keys) or len(set(keys)) < len(keys):
        raise SketchError("the points of this PLY have no x, y and z of their own", _AGAIN, name, 1)


def _records(data: bytes, start: int, record: np.dtype, count: int, what: str, name: str) -> NDArray[np.void]:
    there = max(len(data) - start, 0) // max(record.itemsize, 1)
    if there < count:
        raise SketchError(f"the header promises {count} {what}, the file holds {there}: it is torn", _AGAIN, name)
    return np.frombuffer(data, record, count, start)


def _corners(triangles: NDArray[np.int64], count: int, name: str) -> NDArray[np.int64]:
    if len(triangles) and (triangles.min() < 0 or triangles.max() >= count):
        raise SketchError(f"a face has a corner that is none of the {count} points", _AGAIN, name)
    return triangles


def _stl(data: bytes, name: str) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    if len(data) >= 84:
        count = int.from_bytes(data[80:84], "little")
        if len(data) >= 84 + 50 * count and count and not data[:84].lstrip().startswith(b"solid\n"):
            record = np.dtype([("normal", "<f4", (3,)), ("corners", "<f4", (9,)), ("spare", "<u2")])
            block = np.frombuffer(data, record, count, 84)
            return block["corners"].reshape(-1, 3).astype(np.float64), np.arange(3 * count, dtype=np.int64).reshape(-1, 3)
    if not data.lstrip()[:5].lower() == b"solid":
        raise SketchError("this is no STL file, or a torn one: it holds fewer triangles than it says", _AGAIN, name)
    lines = data.decode("ascii", "replace").splitlines()
    chosen = [number for number, line in enumerate(lines) if line.lstrip()[:7].lower() == "vertex "]
    points = _numbers([lines[number] for number in chosen], [1, 2, 3], name, 0, chosen)
    whole = len(points) // 3 * 3
    return points[:whole], np.arange(whole, dtype=np.int64).reshape(-1, 3)


def _obj(data: bytes, name: str) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    lines = data.decode("ascii", "replace").splitlines()
    chosen = [number for number, line in enumerate(lines) if line[:2] in ("v ", "v\t")]
    points = _numbers([lines[number] for number in chosen], [1, 2, 3], name, 0, chosen)
    triangles: list[tuple[int, int, int]] = []
    for number, line in enumerate(lines, 1):
        if line[:2] in ("f ", "f\t"):
            try:
                corners = [int(word.partition("/")[0]) for word in line.split()[1:]]
            except ValueError:
                raise SketchError(f"`{quoted(line)}` is no face", _AGAIN, name, number) from None
            corners = [corner - 1 if corner > 0 else len(points) + corner for corner in corners]
            triangles += [(corners[0], b, c) for b, c in pairwise(corners[1:])]
    return points, _corners(np.array(triangles, dtype=np.int64).reshape(-1, 3), len(points), name)


def _xyz(data: bytes, name: str) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    lines = data.decode("utf-8-sig", "replace").splitlines()
    chosen = [number for number, line in enumerate(lines) if line.strip() and line.lstrip()[0] not in "#/"]
    if chosen and not re.match(r"\s*[-+.\d]", lines[chosen[0]]):
        chosen = chosen[1:]
    text = [lines[number] for number in chosen]
    if text and ";" in text[0]:
        text = [line.replace(",", ".").replace(";", " ") for line in text]
    elif text and "," in text[0]:
        text = [line.replace(",", " ") for line in text]
    return _numbers(text, [0, 1, 2], name, 0, chosen), np.zeros((0, 3), dtype=np.int64)


def _numbers(
    lines: list[str], columns: list[int], name: str, before: int, numbers: list[int] | None = None
) -> NDArray[np.float64]:
    """Three columns of lines as numbers. Raises SketchError with the line of what is none."""
    if not lines:
        return np.zeros((0, 3))
    try:
        return np.loadtxt(StringIO("\n".join(lines)), usecols=columns, ndmin=2, comments=None)
    except ValueError:
        for number, line in enumerate(lines):
            words = line.split()
            try:
                [float(words[column]) for column in columns]
            except (ValueError, IndexError):
                at = (numbers[number] if numbers else before + number) + 1
                raise SketchError(f"`{quoted(line)}` holds no x, y and z", "Mend or remove the line.", name, at) from None
        raise SketchError("the points cannot be read as numbers", _AGAIN, name) from None
