"""How long a report takes from cold, scene by scene, beside what importing its libraries alone takes.

    python tests/benchmarks/cold_start.py [--runs 10] [SCENE...]

Each run is a process of its own, with compiled bytecode as an installed command has it, and of several runs the least counts. It
prints seconds of the processor and by the clock, and the ratio to what is allowed: twice the libraries' time and `OWN`.
"""

from __future__ import annotations

import argparse
import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
LIBRARIES = ("click", "manifold3d", "numpy", "shapely", "yaml")
"""What a report imports."""
OWN = 0.3
"""[s] allowed over twice what the libraries take."""


def seconds(arguments: list[str], environment: dict[str, str]) -> tuple[float, float]:
    """Of the processor and by the clock, for one process."""
    before, begun = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    subprocess.run([sys.executable, *arguments], cwd=ROOT, env=environment, stdout=subprocess.DEVNULL, check=True)
    clock, after = time.perf_counter() - begun, resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, clock


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, default=10)
    parser.add_argument("scenes", nargs="*", default=sorted(map(str, (ROOT / "scenes").glob("*.yaml"))))
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as compiled:
        environment = {**os.environ, "PYTHONPYCACHEPREFIX": compiled, "OPENBLAS_NUM_THREADS": "1"}
        environment.pop("PYTHONDONTWRITEBYTECODE", None)
        jobs = {"libraries": ["-c", f"import {', '.join(LIBRARIES)}"]}
        jobs |= {Path(scene).stem: ["-m", "sketcher", "report", str(Path(scene).resolve())] for scene in asked.scenes}
        rounds = [{name: seconds(job, environment) for name, job in jobs.items()} for _ in range(asked.runs + 1)][1:]
    best = {name: tuple(map(min, zip(*(each[name] for each in rounds), strict=True))) for name in jobs}
    allowed = [2.0 * least + OWN for least in best["libraries"]]
    print(f"{'':28}processor     clock   of what is allowed")
    for name, (processor, clock) in best.items():
        ratio = f"{processor / allowed[0]:8.2f} {clock / allowed[1]:8.2f}" if name != "libraries" else ""
        print(f"{name:28}{processor:7.3f} s {clock:7.3f} s {ratio}")


if __name__ == "__main__":
    main()
