"""Hulls made of scans against the hulls that were scanned: sections, volume, knuckles, time and memory.

python tests/benchmarks/scanned_hulls.py [POINTS [SEED ...]]
"""

from __future__ import annotations

import resource
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent / "support"))

from scans.scanned_boats import compared, scan_of

from sketcher.analysis.scan.scanned_hull import hull_of_scan

BOATS = {"quillet-21": "inside", "marram-29": "inside", "ternholm-34": "inside", "pellwick-30": "outside"}


def main(points: int, seed: int) -> None:
    print(f"{points} points on the skin, noise 5 mm, a tenth strays, frames, two boxes and three patches unseen, seed {seed}")
    print(
        "boat          sections off [mm] median/95 %/most  volume off   knuckles off [mm] median/95 %/most (found)  cpu s  wall s"
    )
    for name, face in BOATS.items():
        scan = scan_of(name, points, seed=seed, inside=face == "inside", turned="plumb" if name == "ternholm-34" else "any")
        began, cpu = time.perf_counter(), time.process_time()
        scanned = hull_of_scan(scan.points, name, "mm", face)  # type: ignore[arg-type]
        cpu, wall = time.process_time() - cpu, time.perf_counter() - began
        found = compared(scanned, scan)
        off, knuckles = found.sections, found.knuckles
        corners = (
            f"{knuckles.median:5.1f} /{knuckles.most_of:5.1f} /{knuckles.most:5.1f} ({found.share_of_knuckles:.0%})"
            if found.knuckles_there
            else "none there"
        )
        print(
            f"{name:13} {off.median:8.1f} /{off.most_of:5.1f} /{off.most:5.1f} {100 * found.volume:17.2f} % {corners:>34} "
            f"{cpu:19.1f} {wall:7.1f}"
        )
    print(f"memory at most {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    for number in [int(each) for each in sys.argv[2:]] or [3]:
        main(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000, number)
