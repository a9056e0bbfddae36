"""Boards on the sheets at hand or to be bought: which sheet each comes out of, and what is left of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from sketcher.analysis.cut.boards.mass import SAME_THICKNESS
from sketcher.analysis.cut.results import Pattern, Purchase
from sketcher.analysis.findings import Finding, Length, Phrase, Value
from sketcher.geometry.flat.no_fit import turned
from sketcher.geometry.packing.nesting import Nesting, Piece, Stock, nest, nest_on_fewer
from sketcher.model.cutting import Sheet
from sketcher.model.scene import Scene

USUAL_SHEET = (2.440, 1.220)
"""[m] Assumed where the scene lists no sheet of a thickness (source `sheet-sizes`)."""

LONGER_SHEET = (2.500, 1.220)
"""[m] The next size that is sold (source `sheet-sizes`); it is told where one sheet fewer of it would do."""

WIDER_GAP = 0.010
"""[m] A gap to the hull that fillets still fill; it is told where one sheet fewer would then do."""

_TRIES = 2
"""Orders that are looked at to see whether a sheet could be saved: the two that are best most often."""

OFFCUT = 0.100
"""[m] A strip narrower than a hand's breadth is waste, not an offcut worth keeping."""

Watch = Callable[[int, int], bool]
"""Told how many boards were laid so far, and how many at most in all; False stops with the best so far."""


@dataclass(frozen=True, eq=False, kw_only=True)
class SheetLayout:
    """Boards of one thickness and material on sheets. assumed: the scene lists none to buy of it, a usual size is taken.

    sheets: the scene's sheet that each used one is of, None where assumed, as a stock without a name is; offcuts: what remains
    of each whole across, (along, across) [m] at its far end, or None where it is waste. grained: the boards that lie with their
    grain along their sheet's; across: with it across, for want of room.
    """

    thickness: float
    material: str | None
    nesting: Nesting
    sheets: tuple[Sheet | None, ...]
    offcuts: tuple[tuple[float, float] | None, ...]
    assumed: bool
    grained: frozenset[str]
    across: frozenset[str] = frozenset()

    @property
    def stuff(self) -> Phrase:
        """What these sheets are, such as `12 mm okoume`."""
        return Phrase("sheet-stuff", {"thickness": Length(self.thickness), "material": self.material})

    def sheet_name(self, number: int) -> Phrase:
        """What a sheet is called on paper, such as `12 mm okoume, sheet 2`."""
        return Phrase("numbered-sheet", {"stuff": self.stuff, "number": number + 1})

    def stock_name(self, number: int) -> Phrase:
        """What a sheet is called in the scene; its size where a usual one is taken."""
        stock = self.nesting.sheets[number]
        return Phrase("sheet-called", {"name": stock.name}) if stock.name else _size(stock.size)

    @property
    def bought(self) -> tuple[tuple[Phrase, int], ...]:
        """Names of the sheets to be bought, and how many of each."""
        counts: dict[Phrase, int] = {}
        for number, stock in enumerate(self.nesting.sheets):
            if stock.count is None:
                name = self.stock_name(number)
                counts[name] = counts.get(name, 0) + 1
        return tuple(counts.items())


def _size(size: tuple[float, float]) -> Phrase:
    return Phrase("two-sides", {"along": Length(size[0]), "across": Length(size[1])})


def sheet_layouts(
    scene: Scene, patterns: Sequence[Pattern], watch: Watch | None = None
) -> tuple[tuple[SheetLayout, ...], tuple[Finding, ...]]:
    """The boards of each thickness and material on sheets, and what is to be said of those that no sheet holds.

    Boards lie face up; they are turned over only where that saves a sheet.
    """
    groups: list[list[Pattern]] = []
    for pattern in sorted(patterns, key=lambda each: (each.thickness, each.material or "", each.name)):
        if groups and _alike(groups[-1][0], pattern):
            groups[-1].append(pattern)
        else:
            groups.append([pattern])
    layouts = tuple(_layout(scene, group, watch) for group in groups)
    findings = [finding for layout in layouts for finding in _findings(scene, layout)]
    findings += [each for group, layout in zip(groups, layouts, strict=True) for each in _near_misses(scene, group, layout)]
    return layouts, tuple(findings)


def sheet_purchases(layouts: Sequence[SheetLayout]) -> tuple[Purchase, ...]:
    """The sheets that are not at hand, as lines of the shopping list."""
    return tuple(
        Purchase(
            item=Phrase("sheets-to-buy", {"material": layout.material, "thickness": Length(layout.thickness)}),
            amount=count,
            things="sheets" if count > 1 else "sheet",
            note=Phrase("sheets-bought-as", {"sheet": name, "assumed": layout.assumed}),
            source="sheet-sizes" if layout.assumed else None,
        )
        for layout in layouts
        for name, count in layout.bought
    )


def _alike(a: Pattern, b: Pattern) -> bool:
    return abs(a.thickness - b.thickness) <= SAME_THICKNESS and (a.material or "").casefold() == (b.material or "").casefold()


def _layout(scene: Scene, group: list[Pattern], watch: Watch | None) -> SheetLayout:
    at_hand = [sheet for sheet in scene.sheets if _suits(sheet, group[0])]
    stocks = [Stock(name=sheet.name, size=sheet.size, count=sheet.have) for sheet in at_hand if sheet.have != 0]
    pieces = [Piece(name=p.name, outline=p.blank, along=p.grain) for p in group]
    kerf, margin = scene.cutting.kerf, scene.cutting.margin
    if not stocks:
        stocks = [Stock(name="", size=USUAL_SHEET)]
    nested = _nested(pieces, stocks, kerf, margin, watch)
    if nested.left_out:
        # As an owner would: first with the grain of panels across, then by buying another sheet.
        athwart = [_across(piece) if piece.name in nested.left_out and _may_turn(group, piece) else piece for piece in pieces]
        more = stocks if any(stock.count is None for stock in stocks) else [*stocks, _another(at_hand)]
        for tried, of in ((athwart, stocks), (pieces, more), (athwart, more)):
            other = _nested(tried, of, kerf, margin, watch)
            if len(other.left_out) < len(nested.left_out):
                nested = other
            if not nested.left_out:
                break
    by_name = {sheet.name: sheet for sheet in at_hand}
    return SheetLayout(
        thickness=group[0].thickness,
        material=group[0].material,
        nesting=nested,
        sheets=tuple(by_name.get(stock.name) for stock in nested.sheets),
        offcuts=tuple(_offcut(nested, number, kerf) for number in range(len(nested.sheets))),
        assumed=any(not stock.name for stock in nested.sheets) or not any(stock.name for stock in stocks),
        grained=frozenset(p.name for p in group if p.grain is not None and p.name not in _lying_across(nested, pieces)),
        across=_lying_across(nested, pieces),
    )


def _nested(pieces: list[Piece], stocks: list[Stock], kerf: float, margin: float, watch: Watch | None) -> Nesting:
    """Pieces on sheets, face up; turned over only where that saves a sheet."""
    nested = nest(pieces, stocks, kerf, margin, watch=watch)
    if nested.left_out and not nested.stopped:
        over = nest(pieces, stocks, kerf, margin, mirror=True, watch=watch)
        return over if len(over.left_out) < len(nested.left_out) else nested
    fewer: Nesting | None = nested
    while fewer is not None and not nested.stopped:
        nested = fewer
        for mirror in (False, True):
            fewer = nest_on_fewer(pieces, stocks, nested, kerf, margin, mirror=mirror, watch=watch)
            if fewer is not None:
                break
    return nested


def _may_turn(group: Sequence[Pattern], piece: Piece) -> bool:
    """Whether a board does its work with its grain the other way too: straps must have theirs across the joint."""
    return piece.along is not None and all(p.kind != "butt strap" for p in group if p.name == piece.name)


def _across(piece: Piece) -> Piece:
    return replace(piece, along=None if piece.along is None else (-piece.along[1], piece.along[0]))


def _another(at_hand: Sequence[Sheet]) -> Stock:
    """What is bought where those at hand are not enough: more of the largest, unless that is an offcut."""
    largest = max(at_hand, key=lambda sheet: sheet.size[0] * sheet.size[1])
    whole = min(largest.size) >= min(USUAL_SHEET) and max(largest.size) >= max(USUAL_SHEET)
    return Stock(name=largest.name, size=largest.size) if whole else Stock(name="", size=USUAL_SHEET)


def _lying_across(nested: Nesting, pieces: Sequence[Piece]) -> frozenset[str]:
    """Boards whose grain lies across their sheet's."""
    along = {piece.name: piece.along for piece in pieces}
    leans = {}
    for placed in nested.placed:
        grain = along[placed.piece]
        if grain is not None:
            x, y = turned(np.array([grain]), placed.turn, placed.mirrored)[0]
            leans[placed.piece] = abs(y) > abs(x)
    return frozenset(name for name, across in leans.items() if across)


def _suits(sheet: Sheet, pattern: Pattern) -> bool:
    same = sheet.material is None or pattern.material is None or sheet.material.casefold() == pattern.material.casefold()
    return same and abs(sheet.thickness - pattern.thickness) <= SAME_THICKNESS


def _offcut(nesting: Nesting, number: int, kerf: float) -> tuple[float, float] | None:
    """The strip at a sheet's far end that no board reaches."""
    stock = nesting.sheets[number]
    reach = max(placed.outline.bounds[2] for placed in nesting.placed if placed.sheet == number)
    left = stock.size[0] - reach - kerf
    return (left, stock.size[1]) if left >= OFFCUT else None


def _near_misses(scene: Scene, group: list[Pattern], layout: SheetLayout) -> Iterator[Finding]:
    """Findings: sheets a little longer, or a gap a little wider, of which one sheet fewer would do."""
    nested = layout.nesting
    count = len(nested.sheets)
    if nested.stopped or nested.left_out or count < 2 or any(stock.count is not None for stock in nested.sheets):
        return
    less = max(WIDER_GAP - scene.cutting.gap, 0.0)
    size = max(stock.size for stock in nested.sheets)
    longer = LONGER_SHEET if size[0] < LONGER_SHEET[0] and size[1] <= LONGER_SHEET[1] else None
    narrower = [
        p.blank.buffer(-less) if less and any(b.edge == "hull" for b in p.bevels) and not _cut(p) else p.blank for p in group
    ]
    tried: list[tuple[str, dict[str, Value], list[shapely.Polygon], tuple[float, float]]] = []
    if longer is not None:
        tried.append(("longer-sheet-saves", {"size": _size(longer)}, [p.blank for p in group], longer))
    if any(area is not p.blank for area, p in zip(narrower, group, strict=True)):
        tried.append(("wider-gap-saves", {"gap": Length(WIDER_GAP)}, narrower, size))
    for code, value, outlines, of in tried:
        then = _fewer(scene, layout, [replace(p, blank=area) for p, area in zip(group, outlines, strict=True)], of)
        if then is not None:
            values: dict[str, Value] = {"stuff": layout.stuff, "now": count, "then": then, **value}
            yield Finding(code=code, severity="note", object="sheets", values=values, source="sheet-sizes")


def spares_a_sheet(layout: SheetLayout) -> bool:
    """Whether a layout has several sheets, all to be bought, and more than its boards' area needs."""
    stocks, nested = layout.nesting.sheets, layout.nesting
    if nested.stopped or nested.left_out or len(stocks) < 2 or any(each.count is not None for each in stocks):
        return False
    return nested.sheet_area > nested.least_area


def fewer_sheets(scene: Scene, layout: SheetLayout, boards: Sequence[Pattern]) -> int | None:
    """How many sheets boards would take that are cut otherwise than those of a layout; None where no sheet is saved."""
    return _fewer(scene, layout, boards, max(stock.size for stock in layout.nesting.sheets))


def _fewer(scene: Scene, layout: SheetLayout, boards: Sequence[Pattern], size: tuple[float, float]) -> int | None:
    """How many sheets of a size hold boards, where fewer than a layout has."""
    count = len(layout.nesting.sheets)
    if sum(board.blank.area for board in boards) > (count - 1) * size[0] * size[1]:
        return None
    pieces = [Piece(name=board.name, outline=board.blank, along=board.grain) for board in boards]
    found = nest(pieces, [Stock(name="", size=size)], scene.cutting.kerf, scene.cutting.margin, tries=_TRIES)
    return len(found.sheets) if not found.left_out and len(found.sheets) < count else None


def _cut(pattern: Pattern) -> bool:
    """Whether a board is a part, whose joints no gap makes shorter."""
    return any(mark.kind == "joint" for mark in pattern.marks)


def _findings(scene: Scene, layout: SheetLayout) -> list[Finding]:
    missing = layout.nesting.left_out
    findings = []
    if missing:
        alike = [sheet.size for sheet in scene.sheets if abs(sheet.thickness - layout.thickness) <= SAME_THICKNESS]
        findings.append(
            Finding(
                code="no-sheet",
                severity="warn",
                object=missing[0],
                values={
                    "boards": missing,
                    "thickness": Length(layout.thickness),
                    "sizes": tuple(_size(size) for size in alike or [USUAL_SHEET]),
                    "margin": Length(scene.cutting.margin),
                },
            )
        )
    if layout.across:
        findings.append(
            Finding(
                code="grain-across",
                severity="note",
                object=min(layout.across),
                values={"boards": tuple(sorted(layout.across)), "stuff": layout.stuff},
                source="face-grain",
            )
        )
    if layout.assumed:
        findings.append(
            Finding(
                code="sheet-assumed",
                severity="note",
                object="sheets",
                values={"thickness": Length(layout.thickness), "size": _size(USUAL_SHEET)},
                source="sheet-sizes",
            )
        )
    return findings
