"""The ready layouts: what stands in each, placed by what the hull measures."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import NamedTuple

from sketcher.analysis.ready.measured_bow import MeasuredBow
from sketcher.model.scene import Berth, Bulkhead, Lid, NamedSpace, Opening, Partition, Scene

CUSHION = 0.080
SHOULDERS = 0.550
"""[m] Breadth of a berth at the shoulders: two people need it twice; the published minimum of a small cruiser-racer class."""
HATCH = 0.500
"""[m] A deck hatch to get out by: over 380 mm on its least side and 0.18 m2; ISO 9094, from memory."""
PORT = 0.150
"""[m] An inspection port for an arm and a lamp; common practice."""
DOOR = (0.52, 0.95)
"""[m] A doorway, across and up, where the hull gives so much."""
RIM = 0.08
"""[m] What stays of a panel round an opening in it."""
FRAME, CLEAR = 0.040, 0.010
"""[m] A hatch's frame stands out by so much all round; room beside it."""
STEP = 0.15
"""[m] A doorway's sill over the lid before it, so that water on one side stays there longer."""

Draw = Callable[[Scene, MeasuredBow], Scene]


class ReadyLayout(NamedTuple):
    """words: what is in it, for who chooses."""

    words: str
    draw: Draw


def crash_berth(scene: Scene, bow: MeasuredBow) -> Scene:
    """A crash space, and a berth on a lid over a void."""
    lid = Lid(name="berth top", height=bow.lid, start="collision", end="main", thickness=bow.lid_thickness)
    people = 2 if bow.half_breadth(bow.main - 0.5, bow.lid) >= SHOULDERS else 1
    return replace(
        scene,
        bulkheads=_bulkheads(bow),
        lids=(lid,),
        berths=(_berth(bow, people),),
        openings=(
            _port("crash port", "collision", (0.0, _over(bow, bow.collision))),
            _port("void port", "berth top", (bow.on_tape(bow.main - 0.45), 0.0)),
            *_ways_out(bow),
        ),
        compartments=(*_ends(bow), _space("forward void", bow, 0.5, bow.lid, "void")),
    )


def two_tanks(scene: Scene, bow: MeasuredBow) -> Scene:
    """The same with the void parted on the centreline, so that one hole floods one half."""
    scene = crash_berth(scene, bow)
    web = Partition(
        name="centre web", off_centre=(0.0, 0.0), start="collision", end="main", top="berth top", thickness=bow.lid_thickness
    )
    x = bow.on_tape(bow.main - 0.45)
    aside = bow.on_tape(0.5 * bow.half_breadth(x, bow.lid - 0.1))
    voids = tuple(
        _space(f"{side} void", bow, 0.7, bow.lid, "void", sign * aside) for side, sign in (("port", -1.0), ("starboard", 1.0))
    )
    ports = tuple(_port(f"{side} port", "berth top", (x, sign * aside)) for side, sign in (("port", -1.0), ("starboard", 1.0)))
    return replace(
        scene,
        partitions=(web,),
        openings=(*(each for each in scene.openings if each.name != "void port"), *ports),
        compartments=(*(each for each in scene.compartments if each.name != "forward void"), *voids),
    )


def chain_locker(scene: Scene, bow: MeasuredBow) -> Scene:
    """The chain on a floor of its own over a void forward of the collision bulkhead, the berth abaft it."""
    scene = crash_berth(scene, bow)
    floor = bow.on_tape(max(bow.lid, bow.water.height(bow.collision) + 2 * STEP))
    chain_floor = Lid(name="chain floor", height=floor, start="stem", end="collision", slope=-3.0, thickness=bow.lid_thickness)
    start = bow.form.stem_at(floor)
    x = bow.on_tape(0.5 * (bow.collision + (bow.form.x_forward if start is None else start)))
    low, high = bow.upright(x)
    hatch = min(0.35, bow.on_tape(1.2 * bow.half_breadth(x, high - 0.1)))
    return replace(
        scene,
        lids=(*scene.lids, chain_floor),
        openings=(
            *(each for each in scene.openings if each.name != "crash port"),
            _port("crash port", "collision", (0.0, bow.on_tape(0.5 * (low + bow.water.height(bow.collision)) + 0.1))),
            Opening(name="chain hatch", through="deck", at=(x, 0.0), size=(hatch, hatch), cover="loose"),
        ),
        compartments=(
            *scene.compartments,
            NamedSpace(name="chain locker", at=(x, 0.0, bow.on_tape(0.5 * (floor + high))), use="chain"),
        ),
    )


def single_berth(scene: Scene, bow: MeasuredBow) -> Scene:
    """A crash space, a single berth to starboard on a void, stowage to port of it."""
    scene = crash_berth(scene, bow)
    off = -bow.on_tape(max(0.0, SHOULDERS + 0.1 - bow.half_breadth(bow.main - 0.5, bow.lid)))
    front = Partition(
        name="berth front", off_centre=(off, off), start="collision", end="main", top="berth top", thickness=bow.lid_thickness
    )
    x = bow.on_tape(bow.main - 0.45)
    to_port, to_starboard = (0.5 * (off + side * bow.half_breadth(x, bow.lid - 0.1)) for side in (-1.0, 1.0))
    return replace(
        scene,
        partitions=(front,),
        berths=(replace(_berth(bow, 1), span=(off, None)),),
        openings=(
            *(each for each in scene.openings if each.name != "void port"),
            _port("void port", "berth top", (x, bow.on_tape(to_starboard))),
            Opening(
                name="stowage hatch",
                through="berth top",
                at=(x, bow.on_tape(to_port)),
                size=(0.3, 2.0 * PORT),
                radius=0.03,
                cover="loose",
            ),
        ),
        compartments=(
            *(each for each in scene.compartments if each.name != "forward void"),
            _space("forward void", bow, 0.7, bow.lid, "void", bow.on_tape(to_starboard)),
            _space("stowage", bow, 0.7, bow.lid, "stowage", bow.on_tape(to_port)),
        ),
    )


def twin_bow(scene: Scene, bow: MeasuredBow) -> Scene:
    """A slim bow, as of a twin hull: a crash space, and one berth over a bilge."""
    scene = crash_berth(scene, bow)
    return replace(scene, berths=tuple(replace(each, people=1) for each in scene.berths))


def boards_only(scene: Scene, bow: MeasuredBow) -> Scene:
    """A berth on boards between two bulkheads that water passes: nothing tight, nothing to rely on in a hole."""
    bulkheads = tuple(replace(each, watertight=False) for each in _bulkheads(bow))
    berth = replace(_berth(bow, 2), lies_on=None, height=bow.lid, thickness=bow.lid_thickness)
    hatch, doorway = _ways_out(bow)
    hand_hole = Opening(name="hand hole", through="collision", at=(0.0, _over(bow, bow.collision)), diameter=PORT, cover="none")
    return replace(
        scene,
        bulkheads=bulkheads,
        berths=(berth,),
        openings=(hand_hole, hatch, doorway),
        compartments=(_ends(bow)[0],),
    )


LAYOUTS: dict[str, ReadyLayout] = {
    "crash-berth": ReadyLayout("a crash space, a vee berth over a void", crash_berth),
    "two-tanks": ReadyLayout("a crash space, a vee berth over two voids parted on the centreline", two_tanks),
    "chain-locker": ReadyLayout("the chain on a floor over a void, a vee berth abaft it", chain_locker),
    "single-berth": ReadyLayout("a crash space, one berth over a void, stowage beside it", single_berth),
    "twin-bow": ReadyLayout("the slim bow of a twin hull: a crash space, one berth over a bilge", twin_bow),
    "boards-only": ReadyLayout("a berth on boards, no watertight space", boards_only),
}
"""By the name that is typed."""


def _bulkheads(bow: MeasuredBow) -> tuple[Bulkhead, ...]:
    return tuple(
        Bulkhead(name=name, at=at, thickness=bow.bulkhead_thickness)
        for name, at in (("collision", bow.collision), ("main", bow.main))
    )


def _berth(bow: MeasuredBow, people: int) -> Berth:
    return Berth(
        name="berth",
        lies_on="berth top",
        start="collision",
        end="main",
        cushion=CUSHION,
        people=people,
        stature=bow.stature,
    )


def _port(name: str, through: str, at: tuple[float, float]) -> Opening:
    return Opening(name=name, through=through, at=at, diameter=PORT, cover="tight")


def _over(bow: MeasuredBow, x: float) -> float:
    """The height [m] of a port in a bulkhead: halfway between the lid that lands on it and the deck."""
    return bow.on_tape(0.5 * (bow.lid + bow.upright(x)[1]))


def _ways_out(bow: MeasuredBow) -> tuple[Opening, Opening]:
    """A hatch in the deck over the berth, and the doorway at its head."""
    x = _clear_of_step(bow, bow.main - 0.9)
    sill, top = bow.lid + STEP, bow.upright(bow.main)[1] - RIM
    tall = bow.on_tape(min(DOOR[1], top - sill))
    wide = bow.on_tape(min(DOOR[0], 2.0 * (bow.half_breadth(bow.main, sill) - RIM)))
    return (
        Opening(name="fore hatch", through="deck", at=(x, 0.0), size=(HATCH, HATCH), radius=0.05, cover="loose"),
        Opening(
            name="doorway", through="main", at=(0.0, bow.on_tape(sill + 0.5 * tall)), size=(wide, tall), radius=0.06, cover="none"
        ),
    )


def _clear_of_step(bow: MeasuredBow, x: float) -> float:
    """A hatch's place fore and aft [m] as near as its frame lies flat: not across a coachroof's front."""
    roof = bow.form.hull.coachroof
    if roof is None or abs(x - roof.start) >= HATCH / 2 + FRAME:
        return bow.on_tape(x)
    forward, aft = roof.start - HATCH / 2 - FRAME - CLEAR, roof.start + HATCH / 2 + FRAME + CLEAR
    return bow.on_tape(aft if x > roof.start and aft + HATCH / 2 < bow.main else forward)


def _space(name: str, bow: MeasuredBow, share: float, under: float, use: str, off: float = 0.0) -> NamedSpace:
    """A name for the space under a height, at a share of the way from the collision bulkhead to the main one."""
    x = bow.on_tape(bow.collision + share * (bow.main - bow.collision))
    low, _ = bow.upright(x, off)
    return NamedSpace(name=name, at=(x, off, bow.on_tape(0.5 * (low + under - bow.lid_thickness))), use=use)


def _ends(bow: MeasuredBow) -> tuple[NamedSpace, ...]:
    """Names for the spaces forward of the collision bulkhead, over the berth, and abaft the main bulkhead."""
    crash = bow.collision - 0.1
    low, _ = bow.upright(crash)
    cabin = bow.on_tape(bow.main - 0.3)
    aft = bow.on_tape(bow.main + 0.4)
    places = (
        ("crash space", crash, bow.on_tape(0.5 * (low + bow.water.height(crash)) + 0.05), "void"),
        ("fore cabin", cabin, bow.on_tape(0.5 * (bow.lid + bow.upright(cabin)[1])), "accommodation"),
        ("saloon", aft, bow.on_tape(0.5 * sum(bow.upright(aft))), "accommodation"),
    )
    return tuple(NamedSpace(name=name, at=(bow.on_tape(x), 0.0, z), use=use) for name, x, z, use in places)
