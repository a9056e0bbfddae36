"""The pattern of the panel that is looked at, on its paper beside the boat, drawn as it is printed; and its joints to be held."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from xml.sax.saxutils import quoteattr

from sketcher.analysis.cut.boards.stated_joints import DIRECTIONS, in_boat, joint_line, place_of_joint
from sketcher.analysis.cut.results import Pattern
from sketcher.model.cutting import Joints
from sketcher.outputs.drawing.recording import Item, LineStyle, PaperPlacing, Spot, Words, line, moved, text_width
from sketcher.outputs.drawing.svg import items_as_svg
from sketcher.outputs.palette import ACCENT, PAPER, PENCIL
from sketcher.outputs.paper.pattern_paper import small
from sketcher.outputs.wording.sentences import words as in_words
from sketcher.web.state import Boards
from sketcher.web.view.zoomed_paper import PIXELS_PER_MM, Paper

HEADING = 2.4
"""Height of a drawing's heading [mm]."""
LEAST_TYPE, NEARLY = 2.2, 0.8
"""[mm] Least height of lettering; what is as high but for so much is written as high."""
HOLD = 2.5
"""[mm] So far beside a joint's line a hand still takes hold of it."""
BESIDE = 4.0
"""[mm] The number of a gap stands so far beyond its dot."""
TO_READ, READ = LineStyle(PENCIL, 1.2), LineStyle(ACCENT, 2.0)
KNOB = 1.5
"""[mm] Radius of the knobs at a joint's ends."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A board as it lies on the paper."""

    pattern: Pattern
    placing: PaperPlacing

    def ends(self, boards: Boards, number: int) -> tuple[Spot, Spot] | None:
        """Where a joint's line ends on the paper; None where it does not cross this board."""
        assert boards.joints is not None
        line = joint_line(self.pattern, boards.joints, number)
        return None if line is None else (self.placing.spot(*line[0].tolist()), self.placing.spot(*line[1].tolist()))


@dataclass(eq=False, repr=False)
class PatternPaper(Paper):
    """The paper with all boards of one panel side by side."""

    boards: Boards | None = None
    drawn: tuple[Drawn, ...] = ()
    _made_of: tuple[Boards, Spot, str] | None = None
    _svg: str = ""

    def markup(self, boards: Boards | None, units: str) -> str:
        """The paper as SVG for the page: the part of it that is seen."""
        self.boards = boards
        if boards is None:
            return ""
        if self._made_of is None or self._made_of != (boards, self.size, units):
            self._made_of = (boards, self.size, units)
            self._svg = self._draw(boards, units)
        return f'<svg {self.root} role="group" aria-label="Pattern of {_plain(boards.panel.name)}">{self._svg}</svg>'

    def _draw(self, boards: Boards, units: str) -> str:
        items: list[Item] = []
        drawn = []
        width = self.size[0] / max(len(boards.wholes), 1)
        for number, whole in enumerate(boards.wholes):
            own, placing, _ = small(whole, width, self.size[1], units)
            left = number * width
            items += [moved(item, left, 0.0) for item in map(_readable, own) if item is not None]
            placing = replace(placing, origin=(placing.origin[0] + left, placing.origin[1]))
            label = in_words(whole.label, units)
            words = f"{label[:1].upper()}{label[1:]}; 1 : {placing.scale:g}"
            items.append(Words((left + 4.0, self.size[1] - 5.0), words, HEADING, PENCIL, "heading"))
            drawn.append(Drawn(whole, placing))
        self.drawn = tuple(drawn)
        items += self._gaps(boards)
        items += self._names(boards, units)
        return items_as_svg(items, self.size[1], PIXELS_PER_MM) + self._holds(boards, units)

    def _gaps(self, boards: Boards) -> Iterator[Item]:
        """A numbered dot at each place where a gap is read, filled once it was; the number outside the board."""
        for board in self.drawn:
            middle = board.placing.spot(*board.pattern.blank.centroid.coords[0])
            for row in boards.gaps:
                if row.board != board.pattern.name:
                    continue
                x, y = board.placing.spot(*row.at)
                yield line([(x, y), (x, y)], READ if row.read is not None else TO_READ, "gaps")
                away = max(math.dist((x, y), middle), 1e-6)
                out = (x + BESIDE * (x - middle[0]) / away, y + BESIDE * (y - middle[1]) / away - 0.4 * LEAST_TYPE)
                yield Words(out, str(row.number), LEAST_TYPE, ACCENT, "gaps", "middle", halo=True)

    def _names(self, boards: Boards, units: str) -> Iterator[Item]:
        """What each joint is, beside its line and below it, where the marks' own names do not stand."""
        joints = boards.joints
        if joints is None:
            return
        for board in self.drawn:
            for number in range(len(joints.places)):
                ends = board.ends(boards, number)
                if ends is None:
                    continue
                (x, y), (x2, y2) = ends
                upright = x == x2
                words = joint_words(joints, number, units)
                if text_width(words, HEADING) > 0.8 * math.dist(*ends):
                    continue
                at = (
                    (x + 1.2 * HEADING, y + 0.16 * (y2 - y) + KNOB)
                    if upright
                    else (x + 0.12 * (x2 - x) + KNOB, y - 1.3 * HEADING)
                )
                yield Words(at, words, HEADING, ACCENT, "joint", angle=90.0 if upright else 0.0, halo=True)

    def _holds(self, boards: Boards, units: str) -> str:
        """A knob at each end of every joint, and a broad line that nobody sees to take hold of; by keys, a slider [mm]."""
        if boards.joints is None:
            return ""
        axis = DIRECTIONS[boards.panel.kind].index(boards.joints.direction)
        fill = ACCENT if boards.stated else PAPER
        made = []
        for board in self.drawn:
            low, high = sorted(in_boat(board.pattern, axis, board.pattern.blank.bounds[k]) for k in (axis, axis + 2))
            for number in range(len(boards.joints.places)):
                ends = board.ends(boards, number)
                if ends is None:
                    continue
                (x, y), (x2, y2) = ((at[0], self.size[1] - at[1]) for at in ends)
                line = f'<line x1="{x:.2f}" y1="{y:.2f}" x2="{x2:.2f}" y2="{y2:.2f}" stroke-width="{2 * HOLD:g}"/>'
                knobs = [f'<circle cx="{u:.2f}" cy="{v:.2f}" r="{KNOB:g}" fill="{fill}"/>' for u, v in ((x, y), (x2, y2))]
                says = {
                    "class": "joint-hold",
                    "data-way": "xy"[axis],
                    "data-joint": number,
                    "data-key": f"joint/{board.pattern.name}/{number}",
                    "tabindex": 0,
                    "role": "slider",
                    "aria-label": f"Joint {number + 1} of {board.pattern.name}",
                    "aria-orientation": ("horizontal", "vertical")[axis],
                    "aria-valuemin": f"{low * 1000:.1f}",
                    "aria-valuemax": f"{high * 1000:.1f}",
                    "aria-valuenow": f"{boards.joints.places[number] * 1000:.1f}",
                    "aria-valuetext": joint_words(boards.joints, number, units),
                }
                marks = " ".join(f"{word}={quoteattr(str(value))}" for word, value in says.items())
                made.append(f"<g {marks}>{line}{''.join(knobs)}</g>")
        return "".join(made)

    def joint_at(self, at: Spot) -> tuple[Drawn, int] | None:
        """The joint under a spot [mm, y down], and the board it is held on; None beside all."""
        if self.boards is None or self.boards.joints is None:
            return None
        x, y = at[0], self.size[1] - at[1]
        for board in self.drawn:
            for number in range(len(self.boards.joints.places)):
                ends = board.ends(self.boards, number)
                if ends is None:
                    continue
                (u, v), (u2, v2) = ends
                across = abs(x - u) if u == u2 else abs(y - v)
                along = min(v, v2) - HOLD <= y <= max(v, v2) + HOLD if u == u2 else min(u, u2) - HOLD <= x <= max(u, u2) + HOLD
                if across <= HOLD and along:
                    return board, number
        return None

    def boat_at(self, board: Drawn, at: Spot) -> tuple[float, float]:
        """Where in the boat [m] a spot [mm, y down] lies on a board, along the two directions that its joints are told in."""
        u, v = board.placing.boat(at[0], self.size[1] - at[1])
        return in_boat(board.pattern, 0, u), in_boat(board.pattern, 1, v)


def _readable(item: Item) -> Item | None:
    """Words that were made smaller to fit are left out: there is no room for them as large as they can be read."""
    if not isinstance(item, Words) or item.size >= LEAST_TYPE:
        return item
    return replace(item, size=LEAST_TYPE) if item.size >= LEAST_TYPE * NEARLY else None


def joint_words(joints: Joints, number: int, units: str) -> str:
    """A joint as a pencil would name it."""
    place = joints.places[number]
    if joints.direction == "off_centre" and place == 0.0:
        return "joint on the centreline"
    towards = {"height": " up", "aft": " aft", "off_centre": ""}[joints.direction]
    return f"joint {in_words(place_of_joint(joints.direction, place), units)}{towards}"


def _plain(name: str) -> str:
    return "".join(c for c in name if c.isalnum() or c in " -,.")
