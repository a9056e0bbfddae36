"""Random layouts and drags against the kernel's own promises; every failure is made as small as it goes and printed as a scene.

    python tests/benchmarks/random_layouts.py --minutes 5 [--seed 7] [--most 10000] [--near] [--keep FOLDER]

Each scene is 1 to 12 panels, tied, raked, sloped, at an angle, with gaps from 0 to 25 mm, in a demo hull or a random one. Nine of
ten are tried in a hull of a tenth of the triangles, which takes half the time; every other one is dragged too. With --near each
is one of `broken_layouts`, its panels moved by less than a gap is wide or turned by less than a tape can tell.
Promised, and tried here: nothing but an error in words that names a remedy; volumes that add up; every gap up to the limit keeps
both spaces, is told, and is one path for each pair of spaces; a higher limit opens nothing; the same figures with the hull's
zero elsewhere and mirrored; and a drag whose every step equals a fresh layout.
"""

from __future__ import annotations

import argparse
import random
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import fields, replace
from functools import partial
from pathlib import Path

HERE = Path(__file__).resolve()
sys.path[:0] = [str(HERE.parents[2]), str(HERE.parents[1] / "support")]

from layouts.at_random import demo_hulls, random_hull, random_scene  # noqa: E402
from layouts.nearby import nearby  # noqa: E402
from layouts.promises import TALLY, BrokenPromiseError, try_scene  # noqa: E402

from sketcher.model.errors import SketchError  # noqa: E402
from sketcher.model.files.scene_file import read_scene, scene_text  # noqa: E402
from sketcher.model.scene import Scene  # noqa: E402

PLAIN = {"rake": 0.0, "angle": 0.0, "slope": 0.0, "slope_across": 0.0, "lean": 0.0, "span": (None, None)}
COARSE = 0.1
"""[1] of a hull's triangles, for most layouts."""
TOLD_EACH = 100
"""How many layouts go by between one line of counts and the next."""


def smaller(scene: Scene) -> Iterator[Scene]:
    """The scene with one thing less, or one number plainer."""
    for panel in scene.panels:
        yield replace(
            scene,
            bulkheads=tuple(b for b in scene.bulkheads if b is not panel),
            partitions=tuple(p for p in scene.partitions if p is not panel),
            lids=tuple(each for each in scene.lids if each is not panel),
        )
    for block in ("bulkheads", "partitions", "lids"):
        panels = getattr(scene, block)
        for k, panel in enumerate(panels):
            for field in fields(panel):
                if field.name in PLAIN and getattr(panel, field.name) != PLAIN[field.name]:
                    yield replace(
                        scene, **{block: (*panels[:k], replace(panel, **{field.name: PLAIN[field.name]}), *panels[k + 1 :])}
                    )


def minimised(scene: Scene, kind: str, trial: Callable[[Scene], object], seconds: float = 60.0) -> Scene:
    """The smallest scene found that breaks the same promise."""
    until = time.monotonic() + seconds
    again = True
    while again and time.monotonic() < until:
        again = False
        for less in smaller(scene):
            try:
                trial(less)
            except BrokenPromiseError as broken:
                if broken.kind == kind:
                    scene, again = less, True
                    break
            except SketchError:
                continue
    return scene


def main() -> int:
    """Try for so many minutes, print what broke and how often; 1 where anything did."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--minutes", type=float, default=1.0)
    parser.add_argument("--seed", type=int, default=None)
    parser.add_argument("--most", type=int, default=None, help="stop after so many layouts")
    parser.add_argument("--near", action="store_true", help="layouts near those that once broke")
    parser.add_argument("--keep", type=Path, default=None, help="a folder for the scenes of failures")
    parser.add_argument("--no-small", action="store_true", help="do not look for smaller scenes")
    options = parser.parse_args()
    first = random.randrange(10**6) if options.seed is None else options.seed
    print(f"seed {first}")
    until = time.monotonic() + 60 * options.minutes
    hulls = demo_hulls()
    broken_once = [read_scene(path) for path in sorted((HERE.parents[1] / "broken_layouts").glob("*.yaml"))]
    count: Counter[str] = Counter()
    seed = first
    while time.monotonic() < until and (options.most is None or count["layouts"] < options.most):
        seed += 1
        rng = random.Random(seed)
        dragged = seed % 2 == 0
        try:
            if options.near:
                scene = nearby(rng, rng.choice(broken_once))
            else:
                scene = random_scene(rng, rng.choice(hulls) if rng.random() < 0.6 else random_hull(rng))
        except SketchError:
            count["hulls refused"] += 1
            continue
        count["layouts"] += 1
        count["drags"] += dragged
        trial = partial(try_scene, seed=seed, resolution=COARSE if seed % 10 else 1.0, asked="all" if dragged else "at rest")
        try:
            count["drag steps"] += trial(scene)
        except SketchError as problem:
            count["refused"] += 1
            count[f"  {str(problem.message)[:60]}"] += 1
            if not problem.remedy:
                count["refused without a remedy"] += 1
        except BrokenPromiseError as broken:
            count["FAILURES"] += 1
            count[f"  FAILED {broken.kind}"] += 1
            small = scene if options.no_small else minimised(scene, broken.kind, trial)
            print(f"seed {seed}: {broken.kind}: {broken}; {len(small.panels)} panels in {scene.hull.name}", flush=True)
            if options.keep is not None:
                options.keep.mkdir(parents=True, exist_ok=True)
                (options.keep / f"{seed}.yaml").write_text(f"# {broken.kind}: {broken}\n{scene_text(small)}")
        if count["layouts"] % TOLD_EACH == 0:
            told = ("layouts", "drags", "refused", "FAILURES")
            print(f"to seed {seed}:", ", ".join(f"{count[each]} {each}" for each in told), flush=True)
    for what, times in (*TALLY.items(), *count.items()):
        print(f"{times:7d} {what}")
    return 1 if count["FAILURES"] else 0


if __name__ == "__main__":
    sys.exit(main())
