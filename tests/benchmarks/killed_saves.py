"""A save killed at many moments: the file must then be the old one or the new one, whole.

    .venv/bin/python tests/benchmarks/killed_saves.py --moments 1000

Each moment is a step of the interpreter within the save: a call of Python's or of the system's, begun or ended. A child process
saves and kills itself there. Needs a system that forks.
"""

from __future__ import annotations

import argparse
import os
import signal
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from shutil import copytree

from sketcher.model.demos import demo_folder
from sketcher.model.edits.actions import MoveBulkhead
from sketcher.model.files.saving import open_scene, save_scene


def steps_of(save: Callable[[], object]) -> int:
    """How many steps the interpreter takes for a save."""
    count = 0

    def step(*_: object) -> None:
        nonlocal count
        count += 1

    sys.setprofile(step)
    try:
        save()
    finally:
        sys.setprofile(None)
    return count


def killed_at(moment: int, save: Callable[[], object]) -> bool:
    """Save in a child that kills itself at its `moment`-th step; whether it came so far."""
    child = os.fork()
    if child == 0:
        left = moment

        def step(*_: object) -> None:
            nonlocal left
            left -= 1
            if left == 0:
                os.kill(os.getpid(), signal.SIGKILL)

        sys.setprofile(step)
        try:
            save()
        finally:
            os._exit(0)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == -signal.SIGKILL


def trial(moments: int) -> tuple[int, int, int]:
    """Saves killed at so many moments: how many left the old file, the new one, and neither.

    They lie closer towards the end, where the file is written.
    """
    with tempfile.TemporaryDirectory() as folder:
        for part in ("scenes", "hulls"):
            copytree(demo_folder() / part, Path(folder) / part)
        path = Path(folder) / "scenes" / "marram-forepeak.yaml"
        opened, old = open_scene(path), path.read_bytes()
        scene = MoveBulkhead("collision", 1.2).apply(opened.scene)

        def save() -> object:
            return save_scene(opened, scene)

        steps = steps_of(save)
        new = path.read_bytes()
        left = {old: 0, new: 0}
        spoilt = 0
        for k in range(moments):
            path.write_bytes(old)
            before_end = (steps - 1) * (1.0 - k / max(moments - 1, 1)) ** 3
            assert killed_at(steps - round(before_end), save)
            found = path.read_bytes()
            if found in left:
                left[found] += 1
            else:
                spoilt += 1
        return left[old], left[new], spoilt


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--moments", type=int, default=1000)
    old, new, spoilt = trial(parser.parse_args().moments)
    print(f"killed {old + new + spoilt} times: {old} left the old file, {new} the new one, {spoilt} neither")
    return 1 if spoilt else 0


if __name__ == "__main__":
    sys.exit(main())
