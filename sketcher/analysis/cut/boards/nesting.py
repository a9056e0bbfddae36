"""Boards on the sheets at hand or to be bought: which sheet each comes out of, and what is left of it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from sketcher.analysis.cut.boards.mass import SAME_THICKNESS
from sketcher.analysis.cut.results import Pattern, Purchase
from sketcher.analysis.findings import Finding
from sketcher.analysis.phrases import listed, mm
from sketcher.geometry.packing.nesting import Nesting, Piece, Stock, nest
from sketcher.model.cutting import Sheet
from sketcher.model.scene import Scene

USUAL_SHEET = (2.440, 1.220)
"""[m] Assumed where the scene lists no sheet of a thickness (source `sheet-sizes`)."""

OFFCUT = 0.100
"""[m] A strip narrower than a hand's breadth is waste, not an offcut worth keeping."""

Watch = Callable[[int, int], bool]
"""Told how many boards were laid so far, and how many at most in all; False stops with the best so far."""


@dataclass(frozen=True, eq=False, kw_only=True)
class SheetLayout:
    """Boards of one thickness and material on sheets. assumed: the scene lists no such sheet, a usual size is taken.

    sheets: the scene's sheet that each used one is of, None where assumed; offcuts: what remains of each whole across, (along,
    across) [m] at its far end, or None where it is waste. grained: the boards that lie with their grain along their sheet's.
    """

    thickness: float
    material: str | None
    nesting: Nesting
    sheets: tuple[Sheet | None, ...]
    offcuts: tuple[tuple[float, float] | None, ...]
    assumed: bool
    grained: frozenset[str]

    def sheet_name(self, number: int) -> str:
        """What a sheet is called on paper, such as `12 mm, sheet 2`."""
        return f"{mm(self.thickness)}{f' {self.material}' if self.material else ''}, sheet {number + 1}"

    @property
    def bought(self) -> dict[str, int]:
        """How many sheets of each name are to be bought."""
        counts: dict[str, int] = {}
        for stock in self.nesting.sheets:
            if stock.count is None:
                counts[stock.name] = counts.get(stock.name, 0) + 1
        return counts


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
    return layouts, tuple(finding for layout in layouts for finding in _findings(scene, layout))


def sheets_to_buy(layouts: Sequence[SheetLayout]) -> tuple[Purchase, ...]:
    """The sheets that are not at hand, as lines of the shopping list."""
    return tuple(
        Purchase(
            item=f"{layout.material or 'sheet'}, {mm(layout.thickness)} thick",
            amount=float(count),
            unit="sheets" if count > 1 else "sheet",
            note=f"{name}, assumed: none is listed" if layout.assumed else name,
            source="sheet-sizes" if layout.assumed else None,
        )
        for layout in layouts
        for name, count in layout.bought.items()
    )


def _alike(a: Pattern, b: Pattern) -> bool:
    return abs(a.thickness - b.thickness) <= SAME_THICKNESS and (a.material or "").casefold() == (b.material or "").casefold()


def _layout(scene: Scene, group: list[Pattern], watch: Watch | None) -> SheetLayout:
    at_hand = [sheet for sheet in scene.sheets if _suits(sheet, group[0])]
    stocks = [Stock(name=sheet.name, size=sheet.size, count=sheet.have) for sheet in at_hand if sheet.have != 0]
    assumed = not stocks
    if assumed:
        along, across = USUAL_SHEET
        stocks = [Stock(name=f"{mm(along)} × {mm(across)}", size=USUAL_SHEET)]
    pieces = [Piece(name=p.name, outline=p.blank, along=p.grain) for p in group]
    kerf, margin = scene.cutting.kerf, scene.cutting.margin
    found = nest(pieces, stocks, kerf, margin, watch=watch)
    if not found.stopped and found.sheet_area > found.least_area:
        over = nest(pieces, stocks, kerf, margin, mirror=True, watch=watch)
        if (len(over.left_out), over.sheet_area) < (len(found.left_out), found.sheet_area):
            found = over
    by_name = {sheet.name: sheet for sheet in at_hand}
    return SheetLayout(
        thickness=group[0].thickness,
        material=group[0].material,
        nesting=found,
        sheets=tuple(by_name.get(stock.name) for stock in found.sheets),
        offcuts=tuple(_offcut(found, number, kerf) for number in range(len(found.sheets))),
        assumed=assumed,
        grained=frozenset(pattern.name for pattern in group if pattern.grain is not None),
    )


def _suits(sheet: Sheet, pattern: Pattern) -> bool:
    same = sheet.material is None or pattern.material is None or sheet.material.casefold() == pattern.material.casefold()
    return same and abs(sheet.thickness - pattern.thickness) <= SAME_THICKNESS


def _offcut(nesting: Nesting, number: int, kerf: float) -> tuple[float, float] | None:
    """The strip at a sheet's far end that no board reaches."""
    stock = nesting.sheets[number]
    reach = max(placed.outline.bounds[2] for placed in nesting.placed if placed.sheet == number)
    left = stock.size[0] - reach - kerf
    return (left, stock.size[1]) if left >= OFFCUT else None


def _findings(scene: Scene, layout: SheetLayout) -> list[Finding]:
    missing = layout.nesting.left_out
    found = []
    if missing:
        sizes = listed(
            [f"{mm(s.size[0])} × {mm(s.size[1])}" for s in scene.sheets if abs(s.thickness - layout.thickness) <= SAME_THICKNESS]
            or [f"{mm(USUAL_SHEET[0])} × {mm(USUAL_SHEET[1])}"]
        )
        found.append(
            Finding(
                code="no-sheet",
                severity="warn",
                object=missing[0],
                message=f"{listed(list(missing))}: no sheet of {mm(layout.thickness)} is left that holds "
                f"{'it' if len(missing) == 1 else 'them'} ({sizes}, {mm(scene.cutting.margin)} of each edge not used). "
                "Put a joint in, or list a larger sheet or more of them under `sheets`.",
            )
        )
    if layout.assumed:
        found.append(
            Finding(
                code="sheet-assumed",
                severity="note",
                object=f"{mm(layout.thickness)} sheet",
                message=f"No sheet of {mm(layout.thickness)} is listed: {mm(USUAL_SHEET[0])} × {mm(USUAL_SHEET[1])} is taken. "
                "List those you can get under `sheets`.",
                source="sheet-sizes",
            )
        )
    return found
