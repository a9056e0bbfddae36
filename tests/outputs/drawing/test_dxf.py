"""Boards as DXF, read back by a reader of its own that knows nothing but the format's pairs of lines."""

import io
from collections import defaultdict

import ezdxf
import numpy as np
import pytest
import shapely
from pattern_specimens import AREA, OUTLINE, board

from sketcher.outputs.drawing.dxf import as_dxf
from sketcher.outputs.paper.pattern_paper import true_size


def pairs(data: bytes) -> list[tuple[int, str]]:
    """Group codes and values, as the DXF reference says: a line each, in turn."""
    lines = data.decode().splitlines()
    return [(int(code), value.strip()) for code, value in zip(lines[::2], lines[1::2], strict=True)]


def polylines(data: bytes) -> dict[str, list[list[tuple[float, float]]]]:
    """Corners of each polyline in the file's drawing, by layer."""
    found: dict[str, list[list[tuple[float, float]]]] = defaultdict(list)
    kind, x = "", 0.0
    layer: list[list[tuple[float, float]]] = []
    for code, value in pairs(data):
        if code == 0:
            kind = value
        elif kind == "LWPOLYLINE" and code == 8:
            layer = found[value]
            layer.append([])
        elif kind == "LWPOLYLINE" and code == 10:
            x = float(value)
        elif kind == "LWPOLYLINE" and code == 20:
            layer[-1].append((x, float(value)))
    return found


@pytest.mark.closed_form
def test_the_outline_is_in_millimetres_of_the_boards_own_axes() -> None:
    """The outline less its opening has the board's area, and every corner stands in its place to a thousandth of a millimetre."""
    found = polylines(as_dxf(true_size(board())))
    (outline,), (opening,) = found["outline"], found["openings"]
    area = shapely.Polygon(outline, [opening]).area
    assert area * 1e-6 == pytest.approx(AREA, abs=1e-9)
    corners = np.array(sorted((1000 * x, 1000 * y) for x, y in OUTLINE.exterior.coords[:-1]))
    assert np.array(sorted(outline)) == pytest.approx(corners, abs=1e-3)


@pytest.mark.published
def test_the_header_states_version_and_millimetres() -> None:
    """AC1024 is R2010 and $INSUNITS 4 is millimetres, in the DXF reference of that edition."""
    header = pairs(as_dxf(true_size(board())))
    at = {value: header[k + 1] for k, (code, value) in enumerate(header) if code == 9}
    assert at["$ACADVER"] == (1, "AC1024")
    assert at["$INSUNITS"] == (70, "4")


@pytest.mark.example
def test_layers_are_named_by_the_trades_words_and_nothing_is_wrong_with_the_file() -> None:
    """Each kind of line has its layer, the library's own audit finds no fault, and the same board gives the same bytes."""
    data = as_dxf(true_size(board()))
    document = ezdxf.read(io.StringIO(data.decode()))
    layers = {layer.dxf.name for layer in document.layers}
    assert {"outline", "other face", "openings", "centreline", "touches", "bevels", "diagonals", "label", "grain"} <= layers
    assert document.audit().errors == []
    assert as_dxf(true_size(board())) == data


@pytest.mark.example
def test_names_of_any_alphabet_come_back() -> None:
    """A name with accents and other letters is the same when read back."""
    document = ezdxf.read(io.StringIO(as_dxf(true_size(board("Vorpiek, größer 前"))).decode()))
    assert any("Vorpiek, größer 前" in text.dxf.text for text in document.modelspace().query("TEXT"))
