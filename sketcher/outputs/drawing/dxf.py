"""A recorded drawing as DXF (R2010, millimetres): lines as polylines on layers named by the trade's words, text as text."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping
from importlib import import_module
from typing import Any

from sketcher.outputs.drawing.recording import Drawing, FilledArea, Item, Line, Spot, Words

VERSION = "R2010"

MILLIMETRES = 4
"""How DXF's header says millimetres ($INSUNITS)."""

_COLOURS = {
    "outline": 7,
    "other face": 8,
    "openings": 1,
    "centreline": 5,
    "waterline": 4,
    "level line": 3,
    "station line": 3,
    "touches": 30,
    "stringer": 32,
    "joint": 6,
    "bevels": 2,
    "diagonals": 6,
    "label": 7,
    "grain": 42,
}
"""Colour numbers of the layers; others are drawn in 7, black or white."""

_ALIGNED = {"start": "LEFT", "middle": "CENTER", "end": "RIGHT"}


def as_dxf(drawing: Drawing) -> bytes:
    """The drawing in millimetres of its paper; where something is placed on it at true size, in its own millimetres.

    The same drawing gives the same bytes.
    """
    origin = drawing.placing.origin if drawing.placing is not None and drawing.placing.scale == 1.0 else (0.0, 0.0)

    def draw(space: Any) -> None:
        for item in drawing.items:
            _add(space, item, origin)

    return dxf_of({layer: _COLOURS.get(layer, 7) for layer in dict.fromkeys(item.layer for item in drawing.items)}, draw)


def dxf_of(layers: Mapping[str, int], draw: Callable[[Any], None]) -> bytes:
    """A DXF in millimetres with layers of these colours and what a function draws in its model space."""
    ezdxf: Any = import_module("ezdxf")
    fixed = ezdxf.options.write_fixed_meta_data_for_testing
    # Dates and random identifiers would make two files of one board differ.
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        document = ezdxf.new(VERSION, units=MILLIMETRES)
        document.styles.new("lettering", dxfattribs={"font": "DejaVuSans.ttf"})
        for layer, colour in layers.items():
            document.layers.add(layer, color=colour)
        draw(document.modelspace())
        # The library goes through a set of the types in use, in another order in each process.
        for dxf_type in sorted(document.entitydb.dxf_types_in_use()):
            document.classes.add_class(dxf_type)
        out = io.StringIO()
        document.write(out)
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = fixed
    return bytes(out.getvalue().encode(document.output_encoding, errors="dxfreplace"))


def _add(space: Any, item: Item, origin: Spot) -> None:
    layer = {"layer": item.layer}
    if isinstance(item, Words):
        text = space.add_text(
            " ".join(item.text.split()), height=item.size, rotation=item.angle, dxfattribs={**layer, "style": "lettering"}
        )
        from ezdxf.enums import TextEntityAlignment

        text.set_placement(_from(item.at, origin), align=TextEntityAlignment[_ALIGNED[item.align]])
        return
    rings = (item.points,) if isinstance(item, Line) else item.rings
    closed = isinstance(item, FilledArea) or item.closed
    for ring in rings:
        if len(ring) > 1:
            space.add_lwpolyline([_from(spot, origin) for spot in ring], close=closed, dxfattribs=layer)


def _from(spot: Spot, origin: Spot) -> Spot:
    return spot[0] - origin[0], spot[1] - origin[1]
