"""Whether the page's memory stays flat whatever is done with it: dragging, typing, undoing, holing, saving, taking away, turning.

    python tests/benchmarks/page_memory.py --minutes 5 [--seed 3] [--tabs] [SCENE]

It says the process's memory after each twentieth of the time, beside how often each thing was done, and ends with 1 where the
least of the last quarter of the time is more than `GROWTH` over the least of the second: between them work under way comes and
goes. With `--tabs` all is done over the wire, in up to `MOST_TABS` tabs of one server,
opened, closed and cut off at random.
"""

from __future__ import annotations

import argparse
import asyncio
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
from typing import Any

import aiohttp

sys.path[:0] = [str(Path(__file__).resolve().parents[1] / "support")]
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command itself does

from served import Served  # noqa: E402

from sketcher.model.demos import demo_folder  # noqa: E402
from sketcher.web.app import controller_for  # noqa: E402
from sketcher.web.controller import Controller  # noqa: E402
from sketcher.web.render_thread import probe_opengl  # noqa: E402

SIZE = (924, 380)
GROWTH = 20.0
"""[MB] most growth: the interpreter's own pools move by some megabytes."""
REFS = ("bulkhead/collision", "bulkhead/main", "lid/berth top", "waterline/waterline", "berth/vee berth", "compartment/forepeak")


def resident(process: int | str) -> float:
    """Memory of a process [MB], by its number or `self`."""
    with open(f"/proc/{process}/status", encoding="ascii") as status:
        return next(int(line.split()[1]) / 1024 for line in status if line.startswith("VmRSS:"))


def typed(rng: random.Random) -> dict[str, Any]:
    """A number typed somewhere, not always a good one."""
    part, field, value = rng.choice(
        [
            ("bulkhead/collision", "at", str(rng.randint(600, 900))),
            ("lid/berth top", "height", str(rng.randint(430, 520))),
            ("waterline/waterline", "bow", str(rng.randint(240, 300))),
            ("bulkhead/collision", "thickness", rng.choice(["9", "12", "a plank", "-3"])),
        ]
    )
    return {"do": "set", "part": part, "field": field, "value": value}


DOWNLOADS = ["drawings.svg", "drawings.pdf", "picture.png"]
MOST_TABS = 5
DEEDS = ["drag"] * 6 + ["type"] * 4 + ["undo", "redo", "look", "hole", "save", "take away", "copy", "turn"]


class Owner:
    """Does at random what can be done on the page."""

    process = "self"

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
        name = self.rng.choice(DEEDS)
        getattr(self, "_" + name.replace(" ", "_"))()
        self.done[name] += 1
        self.show(fine=True)

    def _drag(self) -> None:
        self.controller.take({"do": "select", "part": self.rng.choice(REFS)})
        self.show(fine=False)
        handle = next(iter(self.controller.labels.handles()), None)
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
        self.controller.take(typed(self.rng))

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
        self.controller.download(self.rng.choice(DOWNLOADS))

    def end(self) -> None:
        """Nothing has to be ended."""


class Tabs:
    """Does it in several tabs of one server, which it opens, closes and cuts off at random."""

    def __init__(self, boats: Path, scene: Path, rng: random.Random) -> None:
        self.served, self.rng = Served(boats, scene).start(), rng
        assert self.served.process is not None
        self.process = self.served.process.pid
        self.done: Counter[str] = Counter()
        self.loop = asyncio.Runner()
        self.tabs: list[tuple[aiohttp.ClientWebSocketResponse, asyncio.Task[None]]] = []
        self.session = self.loop.run(self._entered())

    async def _entered(self) -> aiohttp.ClientSession:
        return aiohttp.ClientSession(self.served.address, headers={"Origin": self.served.address.rstrip("/")})

    def act(self) -> None:
        self.loop.run(self._act())

    async def _act(self) -> None:
        name = self.rng.choice([*DEEDS, "open", "close", "cut off"])
        if not self.tabs or (name == "open" and len(self.tabs) < MOST_TABS):
            name = "open"
            socket = await self.session.ws_connect("/wire", max_msg_size=0)
            self.tabs.append((socket, asyncio.get_running_loop().create_task(answering(socket))))
            await socket.send_json({"do": "size", "size": list(SIZE), "sheet": list(SIZE)})
        elif name in ("close", "cut off"):
            socket, answers = self.tabs.pop(self.rng.randrange(len(self.tabs)))
            if name == "close":
                await socket.close()
            elif (wire := socket.get_extra_info("socket")) is not None:
                wire.shutdown(2)
            answers.cancel()
        elif name == "take away":
            async with self.session.get(f"/download/{self.rng.choice(DOWNLOADS)}") as answer:
                await answer.read()
        else:
            for message in self._messages(name):
                await self.rng.choice(self.tabs)[0].send_json(message)
                await asyncio.sleep(0.03)
        self.done[name] += 1
        await asyncio.sleep(0.2)

    def _messages(self, name: str) -> list[dict[str, Any]]:
        if name == "drag":
            at = [self.rng.uniform(0.2, 0.8), self.rng.uniform(0.3, 0.7)]
            steps = [[at[0] + 0.01 * k, at[1] + self.rng.uniform(-0.02, 0.02)] for k in range(self.rng.randint(2, 12))]
            return [
                {"do": "select", "part": self.rng.choice(REFS)},
                {"do": "press", "where": "picture", "at": at, "button": "main"},
                *({"do": "move", "where": "picture", "at": step} for step in steps),
                {"do": self.rng.choice(["release", "release", "escape"])},
            ]
        return {
            "type": [typed(self.rng)],
            "look": [{"do": "view", "view": self.rng.choice(["quarter", "profile", "plan", "ahead"])}],
            "hole": [{"do": "hole", "part": "compartment/forepeak"}],
            "copy": [{"do": "duplicate", "part": "lid/berth top"}, {"do": "undo"}],
            "turn": [{"do": "nudge", "towards": self.rng.choice(["left", "right", "up", "down"])}],
        }.get(name, [{"do": name}])

    def end(self) -> None:
        """End the server, and tell whether it failed at anything."""
        self.loop.run(self.session.close())
        self.served.stop()
        print(f"{''.join(self.served.said).count('Traceback')} tracebacks")


async def answering(socket: aiohttp.ClientWebSocketResponse) -> None:
    """A page that shows each turn at once."""
    async for _ in socket:
        await socket.send_json({"do": "shown"})


def main() -> int:
    """Do all of it for so many minutes."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("scene", nargs="?", default="quillet-filled")
    parser.add_argument("--minutes", type=float, default=5.0)
    parser.add_argument("--seed", type=int, default=3)
    parser.add_argument("--tabs", action="store_true")
    options = parser.parse_args()
    folder = Path(tempfile.mkdtemp())
    for part in ("scenes", "hulls"):
        shutil.copytree(demo_folder() / part, folder / part)
    scene, rng = folder / "scenes" / f"{options.scene}.yaml", random.Random(options.seed)
    owner: Owner | Tabs
    if options.tabs:
        owner = Tabs(folder, scene, rng)
    else:
        owner = Owner(controller_for(scene, ThreadPoolExecutor(1).submit(probe_opengl)), rng)
    began, told = time.monotonic(), 0
    sizes: list[float] = []
    while told < 20:
        owner.act()
        share = (time.monotonic() - began) / (60.0 * options.minutes)
        if share >= (told + 1) / 20:
            told += 1
            gc.collect()
            sizes.append(resident(owner.process))
            print(f"{60 * options.minutes * told / 20:6.0f} s  {sizes[-1]:7.1f} MB  {sum(owner.done.values())} deeds", flush=True)
    owner.end()
    shutil.rmtree(folder)
    print(", ".join(f"{times} {what}" for what, times in sorted(owner.done.items())))
    grown = min(sizes[15:]) - min(sizes[5:10])
    print(f"from the second quarter to the last: {grown:+.1f} MB, at most {GROWTH:.0f}")
    return int(grown > GROWTH)


if __name__ == "__main__":
    sys.exit(main())
