"""Whether the page's memory stays flat whatever is done with it: dragging, typing, undoing, holing, saving, taking away, turning.

    python tests/benchmarks/page_memory.py --minutes 5 [--seed 3] [SCENE]

It says the process's memory after each twentieth of the time, beside how often each thing was done, and ends with 1 where the
second half of the time took more than `GROWTH`.
"""

from __future__ import annotations

import argparse
import gc
import os
import random
import shutil
import sys
import tempfile
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command itself does

from sketcher.model.demos import demo_folder
from sketcher.web.app import controller_for
from sketcher.web.controller import Controller
from sketcher.web.render_thread import probe_opengl

SIZE = (924, 380)
GROWTH = 20.0
"""[MB] most growth over the second half: the interpreter's own pools move by some megabytes."""
REFS = ("bulkhead/collision", "bulkhead/main", "lid/berth top", "waterline/waterline", "berth/vee berth", "compartment/forepeak")


def resident() -> float:
    """Memory of this process [MB]."""
    with open("/proc/self/status", encoding="ascii") as status:
        return next(int(line.split()[1]) / 1024 for line in status if line.startswith("VmRSS:"))


class Owner:
    """Does at random what can be done on the page."""

    def __init__(self, controller: Controller, rng: random.Random) -> None:
        self.controller = controller
        self.rng = rng
        self.done: Counter[str] = Counter()
        controller.take({"do": "size", "size": list(SIZE), "sheet": list(SIZE)})
        self.show(fine=True)

    def show(self, fine: bool) -> None:
        """All that a page is sent after a message."""
        self.controller.before_picture()
        drawing = self.controller.picture(fine)
        self.controller.parts()
        drawing.result()
        if fine:
            self.controller.at_rest()
            self.controller.keep_work()

    def act(self) -> None:
        name = self.rng.choice(
            ["drag"] * 6 + ["type"] * 4 + ["undo", "redo", "look", "hole", "save", "take away", "copy", "turn"]
        )
        getattr(self, "_" + name.replace(" ", "_"))()
        self.done[name] += 1
        self.show(fine=True)

    def _drag(self) -> None:
        self.controller.take({"do": "select", "part": self.rng.choice(REFS)})
        self.show(fine=False)
        handle = self.controller.labels.handle()
        if handle is None:
            return
        x, y = handle.at[0] / SIZE[0], handle.at[1] / SIZE[1]
        self.controller.take({"do": "press", "where": "picture", "at": [x, y], "button": "main"})
        for _ in range(self.rng.randint(2, 12)):
            x, y = x + self.rng.uniform(-0.02, 0.02), y + self.rng.uniform(-0.02, 0.02)
            self.controller.take({"do": "move", "where": "picture", "at": [x, y]})
            self.show(fine=False)
        self.controller.take({"do": self.rng.choice(["release", "release", "escape"])})

    def _type(self) -> None:
        part, field, value = self.rng.choice(
            [
                ("bulkhead/collision", "at", str(self.rng.randint(600, 900))),
                ("lid/berth top", "height", str(self.rng.randint(430, 520))),
                ("waterline/waterline", "forward", str(self.rng.randint(240, 300))),
                ("bulkhead/collision", "thickness", self.rng.choice(["9", "12", "a plank", "-3"])),
            ]
        )
        self.controller.take({"do": "set", "part": part, "field": field, "value": value})

    def _undo(self) -> None:
        self.controller.take({"do": "undo"})

    def _redo(self) -> None:
        self.controller.take({"do": "redo"})

    def _look(self) -> None:
        self.controller.take({"do": "view", "view": self.rng.choice(["quarter", "profile", "plan", "ahead"])})

    def _turn(self) -> None:
        self.controller.take({"do": "nudge", "towards": self.rng.choice(["left", "right", "up", "down"])})

    def _hole(self) -> None:
        self.controller.take({"do": "hole", "part": "compartment/forepeak"})

    def _save(self) -> None:
        self.controller.take({"do": "save"})

    def _copy(self) -> None:
        self.controller.take({"do": "duplicate", "part": "lid/berth top"})
        self.show(fine=False)
        self.controller.take({"do": "undo"})

    def _take_away(self) -> None:
        self.controller.download(self.rng.choice(["drawings.svg", "drawings.pdf", "picture.png"]))


def main() -> int:
    """Do all of it for so many minutes."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("scene", nargs="?", default="quillet-filled")
    parser.add_argument("--minutes", type=float, default=5.0)
    parser.add_argument("--seed", type=int, default=3)
    options = parser.parse_args()
    folder = Path(tempfile.mkdtemp())
    for part in ("scenes", "hulls"):
        shutil.copytree(demo_folder() / part, folder / part)
    trial = ThreadPoolExecutor(1).submit(probe_opengl)
    owner = Owner(controller_for(folder / "scenes" / f"{options.scene}.yaml", trial), random.Random(options.seed))
    began, told = time.monotonic(), 0
    sizes: list[float] = []
    while told < 20:
        owner.act()
        share = (time.monotonic() - began) / (60.0 * options.minutes)
        if share >= (told + 1) / 20:
            told += 1
            gc.collect()
            sizes.append(resident())
            print(f"{60 * options.minutes * told / 20:6.0f} s  {sizes[-1]:7.1f} MB  {sum(owner.done.values())} deeds", flush=True)
    shutil.rmtree(folder)
    print(", ".join(f"{times} {what}" for what, times in sorted(owner.done.items())))
    grown = sizes[-1] - sizes[9]
    print(f"second half: {grown:+.1f} MB, at most {GROWTH:.0f}")
    return int(grown > GROWTH)


if __name__ == "__main__":
    sys.exit(main())
