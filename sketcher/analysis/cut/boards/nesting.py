"""Boards on the sheets at hand or to be bought: which sheet each comes out of, and what is left of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import shapely

from sketcher.analysis.cut.boards.mass import SAME_THICKNESS
from sketcher.analysis.cut.results import Pattern, Purchase
from sketcher.analysis.findings import Finding, Length, Phrase, Value
from sketcher.geometry.packing.nesting import Nesting, Piece, Stock, nest
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
        return _size(stock.size) if self.assumed else Phrase("sheet-called", {"name": stock.name})

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
    assumed = not stocks
    if assumed:
        stocks = [Stock(name="", size=USUAL_SHEET)]
    pieces = [Piece(name=p.name, outline=p.blank, along=p.grain) for p in group]
    kerf, margin = scene.cutting.kerf, scene.cutting.margin
    nested = nest(pieces, stocks, kerf, margin, watch=watch)
    if not nested.stopped and nested.sheet_area > nested.least_area:
        over = nest(pieces, stocks, kerf, margin, mirror=True, watch=watch)
        if (len(over.left_out), over.sheet_area) < (len(nested.left_out), nested.sheet_area):
            nested = over
    by_name = {sheet.name: sheet for sheet in at_hand}
    return SheetLayout(
        thickness=group[0].thickness,
        material=group[0].material,
        nesting=nested,
        sheets=tuple(by_name.get(stock.name) for stock in nested.sheets),
        offcuts=tuple(_offcut(nested, number, kerf) for number in range(len(nested.sheets))),
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
