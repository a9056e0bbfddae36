"""A scene that uses every block and most keys of the file format, as text, and folders to keep it in."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

from sketcher.analysis.cut.plan import BuildPlan, build_plan
from sketcher.analysis.evaluate import evaluate
from sketcher.analysis.evaluation import Evaluation
from sketcher.model.contents import Bottles, Chain
from sketcher.model.demos import demo_folder
from sketcher.model.document import compose
from sketcher.model.files.hull_file import hull_from
from sketcher.model.files.scene_file import read_scene, scene_from
from sketcher.model.scene import Scene, Stringer

HULL = """\
hull: Plain box
units: mm
stations:
  - at: 0
    points: [[0, 0], [900, 0], [900, 1000]]
    knuckles: [2]
  - at: 4000
    points: [[0, 0], [900, 0], [900, 1000]]
    knuckles: [2]
between_points: straight
"""

SCENE = """\
# My forepeak. Höhen über der Basis.
scene: Everything once
hull: ../hulls/plain box.yaml
units: mm
water: sea
waterline: {forward: 655, after: 610, heel: 0}   # two freeboards, tanks half full
centre_of_gravity: {height: 700}

bulkheads:
  # the old one leaked
  collision: {at: 1150, thickness: 18, kg: 9.5}      # marine ply
  main:
    at: 3250          # forward face
    rake: 3
    thickness: 12
    built: already
    carries: [mast, chainplates]

  step: {at: {from: main, distance: -1950}, thickness: 12, span: [locker side, 0.3 m]}
partitions:
  locker side: {off_centre: 450 port, from: collision, to: main, top: tank top, thickness: 9}
  skew: {off_centre: [300, 350], from: 2000, to: 3000, thickness: 9, lean: 2.5}
lids:
  tank top: {height: 780, from: collision, to: main, thickness: 12}
  "chain floor": {height: 500, from: stem, to: collision, slope: 4, thickness: "3/8 in"}
stringers:
  bearer: {under: tank top, side: both, from: collision, to: main, width: 30, depth: 45, hollow: sealed}
berths:
  vee berth: {height: 980, cushion: 100, from: collision, to: main, people: 2, stature: "6 ft 2 in"}
openings:
  limber hole: {through: collision, at: [0, 220], diameter: 25, cover: none}      # never plugged
  inspection port: {through: tank top, at: [1900, 0], size: [300, 200], radius: 40, cover: tight}
  seacock: {through: hull, at: [2000, 300 port, 100], diameter: 40}
  hose: {joins: [chain locker, forward void], diameter: 20}
compartments:
  chain locker: {at: [900, 0, 800], use: chain}
  forward void: {at: [1900, 0, 500], use: bottles, permeability: 0.55}
weights:
  anchor chain: {kg: 84, at: [900, 0, 650], condition: loaded}
  old water tank: {kg: -120, at: [2100, 0, 300]}
fittings:
  log transducer: {at: [2600, 200, 60], size: [80, 80, 120], reach: true}
# the end
"""


@cache
def demo(name: str) -> Evaluation:
    """A demo scene evaluated, once for all the tests of a process."""
    return evaluate(read_scene(demo_scene(name)))


@cache
def planned(name: str) -> BuildPlan:
    """A demo scene's boards and how they are built, once for all the tests of a process."""
    return build_plan(demo(name))


@cache
def cut_out(name: str) -> BuildPlan:
    """The same, its boards laid on sheets in the first order that comes, for tests of what a board is and not where it lies."""
    return build_plan(demo(name), at_once)


def at_once(laid: int, of: int) -> bool:
    """Tells a search for sheets to end with what it has: most of a plan's time goes there."""
    return False


def box_scene(text: str) -> Scene:
    """A scene's text read in the plain box."""
    return scene_from(compose(text, "boat.yaml"), hull_from(compose(HULL, "box.yaml")))


PEAK_IN_BOX = """scene: box
hull: box.yaml
units: mm
bulkheads:
  collision: {at: 1000, thickness: 12}
compartments:
  peak: {at: [300, 0, 300]}
"""


def box_files(folder: Path, text: str = PEAK_IN_BOX) -> str:
    """A scene's file beside the plain box it is in; its path."""
    (folder / "box.yaml").write_text(HULL, encoding="utf-8")
    path = folder / "box scene.yaml"
    path.write_text(text, encoding="utf-8")
    return str(path)


def scene_folder(folder: Path, text: str = SCENE, bom: bool = False) -> Path:
    """A scene's file, with its hull, in a new folder; the path of the scene."""
    (folder / "hulls").mkdir(parents=True)
    (folder / "scenes").mkdir()
    (folder / "hulls" / "plain box.yaml").write_text(HULL, encoding="utf-8")
    path = folder / "scenes" / "everything é.yaml"
    path.write_bytes((b"\xef\xbb\xbf" if bom else b"") + text.encode("utf-8"))
    return path


def forepeak_to_build() -> Scene:
    """A demo's forepeak as an owner changed it: bulkhead further aft, bearers under the lid, chain, bottles, two people."""
    scene = read_scene(demo_scene("quillet-forepeak"))
    bearer = Stringer(name="bearer", under="berth top", side="both", start="collision", end="main", width=0.03, depth=0.045)
    return replace(
        scene,
        bulkheads=tuple(replace(each, at=0.820) if each.name == "collision" else each for each in scene.bulkheads),
        stringers=(bearer,),
        chains=(Chain(name="anchor chain", space="forepeak", length=20.0, size=0.006, pipe=(0.7, 0.0, 1.0)),),
        bottles=(Bottles(name="soda", space="berth space", diameter=0.09, length=0.32, litres=0.00155, kg=0.04),),
    )


def demo_scene(name: str) -> Path:
    """The file of a demo scene."""
    return demo_folder() / "scenes" / f"{name}.yaml"
