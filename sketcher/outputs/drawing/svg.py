"""A recorded drawing as SVG: one unit is a millimetre on paper, and every item carries its layer and what it belongs to."""

from __future__ import annotations

from collections.abc import Iterable
from xml.sax.saxutils import escape, quoteattr

from sketcher.outputs.drawing.recording import Drawing, FilledArea, Item, Line, LineStyle, Spot, Words
from sketcher.outputs.palette import PAPER

FACE = "'DejaVu Sans', 'Segoe UI', Helvetica, Arial, sans-serif"


def as_svg(drawing: Drawing, standalone: bool = True) -> str:
    """The drawing as SVG text. standalone: sized in millimetres with its name space; else it fills what holds it.

    The root tells `data-axes`, `data-signs`, `data-scale` and `data-origin` of the boat on the paper; an item tells `data-part`.
    """
    attributes = [f'viewBox="0 0 {_n(drawing.width)} {_n(drawing.height)}"', f'font-family="{FACE}"', 'role="img"']
    if standalone:
        attributes += [f'width="{_n(drawing.width)}mm"', f'height="{_n(drawing.height)}mm"']
    placing = drawing.placing
    if placing is not None:
        attributes += [
            f'data-axes="{placing.axes}"',
            f'data-signs="{placing.signs[0]} {placing.signs[1]}"',
            f'data-scale="{_n(placing.scale)}"',
            f'data-origin="{_n(placing.origin[0])} {_n(placing.origin[1])}"',
        ]
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" {" ".join(attributes)}>',
        f"<title>{escape(_printable(drawing.title))}</title>",
    ]
    out.append(items_as_svg(drawing.items, drawing.height))
    out.append("</svg>\n")
    return "\n".join(out)


def items_as_svg(items: Iterable[Item], height: float, pen: float = 1.0) -> str:
    """Items on paper of a height [mm] as SVG elements, to stand in a root of the caller's own.

    pen: widths of lines, and dashes, are told in so many to a millimetre: where they are drawn alike at any zoom, pixels.
    """
    return "\n".join(_item(item, height, pen) for item in items)


def _item(item: Item, height: float, pen: float) -> str:
    marks = f'class="{item.layer}"'
    if item.part:
        marks += f" data-part={quoteattr(_printable(item.part))}"
    if isinstance(item, Line):
        name = "polygon" if item.closed else "polyline"
        points = " ".join(f"{_n(x)},{_n(height - y)}" for x, y in item.points)
        return f'<{name} {marks} points="{points}" fill="none" {_stroke(item.stroke, pen)}/>'
    if isinstance(item, FilledArea):
        path = "".join(_ring(ring, height) for ring in item.rings)
        fill = f'fill="{item.fill}" fill-rule="evenodd"' if item.fill else 'fill="none"'
        return f'<path {marks} d="{path}" {fill}{" " + _stroke(item.stroke, pen) if item.stroke else ""}/>'
    return _words(item, height, marks)


def _words(item: Words, height: float, marks: str) -> str:
    x, y = item.at[0], height - item.at[1]
    turn = f' transform="rotate({_n(-item.angle)} {_n(x)} {_n(y)})"' if item.angle else ""
    weight = ' font-weight="700"' if item.bold else ""
    halo = (
        f' stroke="{PAPER}" stroke-width="{_n(item.size * 0.22)}" stroke-linejoin="round" paint-order="stroke"'
        if item.halo
        else ""
    )
    align = "" if item.align == "start" else f' text-anchor="{item.align}"'
    style = f'font-size="{_n(item.size)}" fill="{item.colour}"{align}{weight}{halo}{turn}'
    return f'<text {marks} x="{_n(x)}" y="{_n(y)}" {style}>{escape(_printable(item.text))}</text>'


def _stroke(stroke: LineStyle, pen: float) -> str:
    dashes = f' stroke-dasharray="{" ".join(_n(d * pen) for d in stroke.dashes)}"' if stroke.dashes else ""
    return (
        f'stroke="{stroke.colour}" stroke-width="{_n(stroke.width * pen)}" stroke-linejoin="round" stroke-linecap="round"{dashes}'
    )


def _ring(ring: tuple[Spot, ...], height: float) -> str:
    return "M" + "L".join(f"{_n(x)} {_n(height - y)}" for x, y in ring) + "Z"


def _n(value: float) -> str:
    """To a hundredth of a millimetre, finer than any pen."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _printable(text: str) -> str:
    """Without control characters, which no XML may hold."""
    return "".join(c if c >= " " and c not in "\ufffe\uffff" and not "\ud800" <= c <= "\udfff" else " " for c in text)
