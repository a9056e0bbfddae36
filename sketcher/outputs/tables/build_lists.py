"""Tables for a spreadsheet of everything that is cut, bonded, bought and tested: lengths in millimetres, masses in kilograms.

Texts in them are in `unit`, millimetres unless asked for otherwise; columns whose heads end in `_mm` are in millimetres; in files
`build_files.tables` has them in the owner's unit.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from math import ceil

from sketcher.analysis.cut.boards.marking_out import marked_faces
from sketcher.analysis.cut.boards.nesting import SheetLayout
from sketcher.analysis.cut.bonding.cleats import Cleat
from sketcher.analysis.cut.fitting import ReadPlace
from sketcher.analysis.cut.results import (
    BondingList,
    Joint,
    LeakTest,
    Passage,
    Pattern,
    Purchase,
    StringerPattern,
    Support,
    WorkStep,
)
from sketcher.model.cutting import Cutting
from sketcher.model.files.tables.as_built_table import COLUMNS
from sketcher.outputs.tables.costs import Costs, sold
from sketcher.outputs.wording.sentences import in_unit, message, words

Cell = str | float | int | None

FREE_END = "free end"
"""What a stringer's end is called that meets nothing."""


def as_table(head: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    """Rows as CSV; a cell that a spreadsheet would run as a formula is quoted as text, one not known is empty."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(head)
    writer.writerows([_cell(value) for value in row] for row in rows)
    return out.getvalue()


def _cell(value: Cell) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return f"'{value}" if value[:1] in ("=", "+", "-", "@", "\t") else value
    return str(value)


def _mm(metres: float | None) -> float | None:
    """Millimetres to a tenth."""
    return None if metres is None else round(metres * 1000.0, 1) + 0.0


def cutting_list(patterns: Sequence[Pattern], unit: str = "mm") -> str:
    """Every board: what it is, its sheet, its box, area and mass, and which way it stands."""
    say = in_unit(unit)
    head = ["board", "panel", "kind", "material", "thickness_mm", "width_mm", "height_mm", "area_m2", "mass_kg", "mass_by"]
    head += ["drawn_face", "hand", "up", "forward", "touches", "notes"]
    rows = []
    for pattern in patterns:
        west, south, east, north = pattern.blank.bounds
        mass = None if pattern.mass is None else round(pattern.mass, 2)
        rows.append(
            [
                pattern.name,
                pattern.panel,
                pattern.kind,
                pattern.material,
                _mm(pattern.thickness),
                _mm(east - west),
                _mm(north - south),
                round(pattern.area, 4),
                mass,
                "" if mass is None else "usual plywood" if pattern.mass_assumed else "material stated",
                pattern.drawn_face,
                pattern.hand,
                say(pattern.up),
                say(pattern.forward),
                "; ".join(pattern.touches),
                say.all(pattern.notes),
            ]
        )
    return as_table(head, rows)


def offsets_table(patterns: Sequence[Pattern], cutting: Cutting, units: str) -> str:
    """The points round each face and each opening to mark a board out by hand, anticlockwise; units: of the owner's tape.

    A letter is a corner; one with a radius is round, its point where its edges would meet. An opening that is a circle or a
    square with round corners has one line, of its centre.
    """
    head = ["board", "face", "edge_of", "corner", "right_mm", "up_mm", "radius_mm", "wide_mm", "high_mm", "turned_deg"]
    rows: list[list[Cell]] = []
    for pattern in patterns:
        for face in marked_faces(pattern, cutting.offsets, units):
            rings = [("", face.points), *((opening.name, opening.points) for opening in face.openings)]
            for name, points in rings:
                start = [pattern.name, face.name, name]
                rows += [[*start, p.letter, *map(_mm, p.at), _mm(p.radius) if p.radius else None, *[None] * 3] for p in points]
            rows += [
                [pattern.name, face.name, o.name, "centre", *map(_mm, (*o.centre, o.radius, *o.size)), round(o.turned, 2) + 0.0]
                for o in face.openings
                if not o.points
            ]
    return as_table(head, rows)


def as_built_table(boards: Sequence[tuple[Pattern, Sequence[ReadPlace]]], cutting: Cutting) -> str:
    """The table to fill in: each board's thickness and mass as planned, and the places where its gaps are read."""
    rows: list[dict[str, Cell]] = []
    for each, places in boards:
        mass = None if each.mass is None else round(each.mass, 2)
        rows.append({"board": each.name, "planned_thickness_mm": _mm(each.thickness), "planned_kg": mass})
        for point in places:
            right, up = map(_mm, point.at)
            place = {"right_mm": right, "up_mm": up, "planned_gap_mm": _mm(cutting.gap)}
            rows.append({"board": point.board, "point": point.number, "gap_to": point.edge, **place})
    return as_table(COLUMNS, ([row.get(column) for column in COLUMNS] for row in rows))


def bevels_table(patterns: Sequence[Pattern]) -> str:
    """How each edge leans, place by place, and what it meets."""
    head = ["board", "right_mm", "up_mm", "along_edge_mm", "off_square_deg", "gauge_deg", "longer_face", "against"]
    return as_table(
        head,
        (
            [
                p.name,
                _mm(b.at[0]),
                _mm(b.at[1]),
                _mm(b.along),
                round(b.angle, 1),
                round(b.gauge, 1),
                p.drawn_face if b.angle > 0 else p.other_face if b.angle < 0 else "both",
                b.against,
            ]
            for p in patterns
            for b in p.bevels
        ),
    )


def places_table(patterns: Sequence[Pattern]) -> str:
    """Where each drawing stands in the boat: its origin, and which way its right and its up go (aft, starboard, up).

    The face that is drawn lies there; the board's thickness goes away from who looks at it. Plating laid flat has no such place.
    """
    bent = {p.panel for p in patterns if p.kind == "plating"}
    head = ["board", "origin_aft_mm", "origin_off_centre_mm", "origin_up_mm"]
    head += [f"{axis}_{way}" for axis in ("right", "up") for way in ("aft", "starboard", "up")]
    return as_table(
        head,
        (
            [p.name]
            + [round(value * 1000.0, 2) + 0.0 for value in p.frame.origin]
            + [round(value, 6) + 0.0 for value in (*p.frame.u, *p.frame.v)]
            for p in patterns
            if p.panel not in bent
        ),
    )


def diagonals_table(patterns: Sequence[Pattern]) -> str:
    """Lengths to check by tape between the corners of each drawn outline."""
    head = ["board", "from_to", "length_mm", "from_right_mm", "from_up_mm", "to_right_mm", "to_up_mm"]
    return as_table(
        head,
        (
            [p.name, d.name, _mm(d.length), _mm(d.start[0]), _mm(d.start[1]), _mm(d.end[0]), _mm(d.end[1])]
            for p in patterns
            for d in p.diagonals
        ),
    )


def stringers_table(stringers: Sequence[StringerPattern]) -> str:
    """Each stringer: its lengths, its curve and strips, how its back leans, and both end cuts as a bevel gauge reads them."""
    head = [
        "stringer",
        "width_mm",
        "depth_mm",
        "length_mm",
        "chord_mm",
        "curve_depth_mm",
        "least_radius_mm",
        "twist_deg",
        "bends",
        "strips",
        "stock_width_mm",
        "least_depth_mm",
        "least_back_deg",
        "greatest_back_deg",
    ]
    head += [f"{end}_{what}" for end in ("forward", "after") for what in ("at", "upper_face_deg", "hull_face_deg", "tilt_deg")]
    return as_table(
        head,
        (
            [s.name, _mm(s.width), _mm(s.depth), _mm(s.length), _mm(s.chord), _mm(s.curve_depth), _mm(s.least_radius)]
            + [round(s.twist, 1), "yes" if s.bends else "saw to the curve" if s.strips is None else "laminate", s.strips]
            + [_mm(s.stock), _mm(s.shallowest), *(round(pick(each.angle for each in s.settings), 1) for pick in (min, max))]
            + [value for end in s.ends for value in (end.place or FREE_END, *_degrees(end.side, end.face, end.tilt))]
            for s in stringers
        ),
    )


def _degrees(*angles: float) -> list[Cell]:
    return [round(angle, 1) + 0.0 for angle in angles]


def backs_table(stringers: Sequence[StringerPattern]) -> str:
    """How each stringer's back is planed, place by place from its forward end along the upper outer edge."""
    head = ["stringer", "along_mm", "back_off_square_deg", "under_face_mm"]
    rows = ([s.name, _mm(each.along), round(each.angle, 1) + 0.0, _mm(each.under)] for s in stringers for each in s.settings)
    return as_table(head, rows)


def cleats_table(cleats: Sequence[Cleat]) -> str:
    """Each cleat's runs: how it bends, and how its back is planed from place to place along the edge it lies under."""
    head = ["panel", "face", "along", "length_mm", "least_radius_mm", "strips", "run", "along_mm", "back_off_square_deg"]
    return as_table(
        head,
        (
            [c.panel, c.face, c.to, _mm(c.length), _mm(c.radius), c.strips, number, _mm(s.along), round(s.angle, 1) + 0.0]
            for c in cleats
            for number, run in enumerate(c.settings, 1)
            for s in run
        ),
    )


def supports_table(supports: Sequence[Support]) -> str:
    """Each support under a lid: its section, both edges of its upper face, its ends, and where its corners are in the boat."""
    head = ["support", "lid", "width_mm", "depth_mm", "sawn_from_mm", "first_edge_mm", "second_edge_mm"]
    head += [f"{end}_{what}" for end in ("first", "second") for what in ("at", "upper_face_deg", "side_deg", "tilt_deg")]
    head += ["notches_mm", "notch_depth_mm"]
    head += [f"{face}_{k}_{way}_mm" for face in ("upper", "lower") for k in range(1, 5) for way in ("aft", "off_centre", "up")]
    return as_table(
        head,
        (
            [s.name, s.lid, _mm(s.width), _mm(s.depth), _mm(s.length), *map(_mm, s.edges)]
            + [value for end in s.ends for value in (end.place or FREE_END, *_degrees(end.side, end.face, end.tilt))]
            + ["; ".join(f"{_mm(a)} to {_mm(b)}" for a, b in s.notches), _mm(s.notched) if s.notches else None]
            + [_mm(float(value)) for value in s.corners.ravel()]
            for s in supports
        ),
    )


def sheets_table(layouts: Sequence[SheetLayout], unit: str = "mm") -> str:
    """Which board comes out of which sheet, where and how turned, from the sheet's lower left corner."""
    head = ["sheet", "stock", "along_mm", "across_mm", "thickness_mm", "board", "right_mm", "up_mm", "turn_deg"]
    head += ["other_face_up", "grain"]
    rows: list[list[Cell]] = []
    say = in_unit(unit)
    for layout in layouts:
        for number, stock in enumerate(layout.nesting.sheets):
            for placed in layout.nesting.placed:
                if placed.sheet == number:
                    west, south, _, _ = placed.outline.bounds
                    rows.append(
                        [
                            say(layout.sheet_name(number)),
                            say(layout.stock_name(number)),
                            _mm(stock.size[0]),
                            _mm(stock.size[1]),
                            _mm(layout.thickness),
                            placed.piece,
                            _mm(west),
                            _mm(south),
                            round(placed.turn, 1),
                            "yes" if placed.mirrored else "no",
                            "along the sheet" if placed.piece in layout.grained else "any",
                        ]
                    )
    return as_table(head, rows)


def joints_table(joints: Sequence[Joint], unit: str = "mm") -> str:
    """Where panels are cut in parts, and how they are put together again."""
    head = ["panel", "kind", "part_1", "part_2"]
    head += [f"{end}_{way}_mm" for end in ("from", "to") for way in ("aft", "off_centre", "up")]
    head += ["width_mm", "reason", "lies_over", "why_over_no_support"]
    places = ([_mm(value) for end in j.ends for value in end] for j in joints)
    rows = zip(joints, places, strict=True)
    return as_table(head, ([j.panel, j.kind, *j.parts, *at, _mm(j.width), *_whys(j, unit)] for j, at in rows))


def why_joined(joint: Joint, unit: str) -> str:
    """Why a panel is cut there; empty where the scene says so."""
    return "" if joint.reason is None else words(joint.reason, unit)


def _whys(joint: Joint, unit: str) -> tuple[str, str, str]:
    """Why a joint is there, what it lies over, and why over nothing."""
    return why_joined(joint, unit), "; ".join(joint.borne_by), "" if joint.unborne is None else words(joint.unborne, unit)


def passages_table(passages: Sequence[Passage]) -> str:
    """Whether each board goes below, and through what."""
    said = {True: "yes", False: "no", None: "not known"}
    head = ["board", "through", "narrowest", "least_width_mm", "room_mm", "passes", "length_mm", "straight_below_mm", "turns"]
    return as_table(
        head,
        (
            [
                p.pattern,
                "; ".join(p.through),
                p.opening,
                _mm(p.least_width),
                _mm(p.room),
                said[p.passes],
                _mm(p.length),
                _mm(p.run),
                said[p.turns],
            ]
            for p in passages
        ),
    )


def seams_table(bonding: BondingList) -> str:
    """Each seam: its length, the angle of its corner, what its fillet takes where it is reached, and by which openings."""
    head = ["panel", "face", "to", "length_mm", "angle_deg", "least_angle_deg", "greatest_angle_deg", "fillet_ml"]
    head += ["reached_mm", "through"]
    return as_table(
        head,
        (
            [
                s.panel,
                s.face,
                s.to,
                _mm(s.length),
                round(s.angle, 1),
                round(s.least_angle, 1),
                round(s.greatest_angle, 1),
                round(s.fillet * 1000000.0 * s.reached / s.length, 1),
                _mm(s.reached),
                "; ".join(s.through),
            ]
            for s in bonding.seams
        ),
    )


def lay_up_table(bonding: BondingList) -> str:
    """What the seams of each panel take, waste included: a length of tape for each layer, cloth, putty, resin for the cloth."""
    layers = [f"tape_{tape.layer}_m" for tape in bonding.tapes]
    head = ["panel", "seams_m", "bedded_m", *layers, "cloth_m2", "putty_ml", "resin_for_cloth_ml"]
    return as_table(
        head,
        (
            [
                each.panel,
                round(each.seam_length, 3),
                round(each.bedded, 3),
                *(round(length, 3) for length in each.tapes or [0.0] * len(layers)),
                round(each.cloth_area, 3),
                round(each.putty * 1e6),
                round(each.resin_for_cloth * 1e6),
            ]
            for each in bonding.lay_ups
        ),
    )


def screws_table(bonding: BondingList) -> str:
    """The screws of each joint: what they go through and into, how long they are, how many; no length where none holds."""
    head = ["board", "to", "through_mm", "into_mm", "along_mm", "screw_mm", "screws"]
    return as_table(
        head,
        (
            [j.board, j.to, _mm(j.through), _mm(j.into), _mm(j.run), _mm(j.screw), 0 if j.screw is None else j.count]
            for j in bonding.screws
        ),
    )


def shopping_list(purchases: Sequence[Purchase], unit: str = "mm", costs: Costs | None = None) -> str:
    """What to buy, waste included, with where each amount comes from; by the foot where `unit` is of feet or inches.

    costs: by the owner's prices; their sum is the last row.
    """
    head, say = ["item", "amount", "unit", "note", "source"], in_unit(unit)
    head += [] if costs is None else ["cost", "currency"]
    rows: list[list[Cell]] = []
    for number, purchase in enumerate(purchases):
        amount, by = sold(purchase.amount, unit)
        note = "" if purchase.note is None else say(purchase.note)
        paid = [] if costs is None else [costs.each[number], costs.currency]
        rows.append([say(purchase.item), round(amount, 3), by or purchase.things, note, purchase.source, *paid])
    if costs is not None:
        rows.append([costs.summed, None, None, None, None, round(sum(costs.known), 2), costs.currency])
    return as_table(head, rows)


def order_of_work(steps: Sequence[WorkStep], unit: str = "mm") -> str:
    """The steps in order, which come first, and what to mind."""
    head, say = ["step", "title", "what", "objects", "after", "cautions"], in_unit(unit)
    return as_table(
        head,
        (
            [s.number, say(s.title), say(s.what), "; ".join(s.objects), "; ".join(map(str, s.after)), " ".join(to_mind(s, unit))]
            for s in steps
        ),
    )


def to_mind(step: WorkStep, unit: str) -> list[str]:
    """What to mind before a step: its hazards, then what is objected to."""
    return [*(words(caution, unit) for caution in step.cautions), *(message(found, unit) for found in step.objections)]


def leak_tests_table(tests: Sequence[LeakTest], unit: str = "mm") -> str:
    """Each space's air test: pressure, pass line, time, what it does to the lids, and how what is open is closed for it."""
    say = in_unit(unit)
    head = ["space", "closed", "litres", "water_column_mm", "pass_column_mm", "hold_s", "relief_column_mm", "warm_pa_per_deg"]
    head += ["uplift", "open_ways", "passed_hole_mm", "passed_litres_per_hour", "sought_hole_mm", "sought_hold_s", "to_close"]
    return as_table(
        head,
        (
            [
                t.space,
                "yes" if t.closed else "no",
                round(t.volume * 1000.0, 1),
                _mm(t.water_column),
                _mm(t.pass_column),
                round(t.hold),
                _mm(t.relief_column),
                round(t.warmth),
                "; ".join(f"{name} {force / 9.80665:.0f} kgf" for name, force, _ in t.uplift),
                "; ".join(t.open_paths),
                round(1000.0 * t.passed_hole, 1),
                round(1000.0 * t.passed_flow),
                round(1000.0 * t.sought, 1),
                ceil(t.sought_hold),
                "; ".join(say(each) for each in t.closings),
            ]
            for t in tests
        ),
    )
