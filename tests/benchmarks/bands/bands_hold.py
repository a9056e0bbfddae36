"""Bands: of 200 boats remeasured at random, in how many the 95 % band holds the true figure; and what bands cost beside a report.

    python tests/benchmarks/bands/bands_hold.py [--boats 200] [--seed 7] [SCENE...]

Each boat that is remeasured has every reading off at random by the deviation that the files state, and is evaluated whole, as
a report evaluates it. Its band is as wide as that of the boat she is. Eleven figures for each of three demo boats, chosen before
any was counted: litres of two spaces, litres below water, the tallest who fits, headroom, displacement, GM, both freeboards, how
far a lid stands over the water of a flooded space, and the least freeboard then; then verdicts, with the share foretold and the
share found. The time is processor time, of the commands as they are typed and of the work alone.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
from dataclasses import replace
from time import process_time

import numpy as np

from sketcher.analysis.bands.known import HowKnown, how_known
from sketcher.analysis.bands.looks import BoatLook
from sketcher.analysis.evaluate import evaluate, hull_form
from sketcher.analysis.flooding.cases import flooding_cases
from sketcher.model.demos import demo_folder
from sketcher.model.files.scene_file import read_scene
from sketcher.outputs.tables.sure.figure_paths import figure_values

AFLOAT = ("floating.displacement_kg", "floating.gm_m", "floating.forward_freeboard_m", "floating.after_freeboard_m")
FIGURES = {
    "marram-forepeak": (
        "compartments.forward void.volume_m3",
        "compartments.chain locker.volume_m3",
        "compartments.forward void.below_waterline_m3",
        "berths.vee berth.tallest_m",
        "berths.vee berth.headroom_m",
        *AFLOAT,
        "flooding.forward void.lids.tank top.clear_of_water_m",
        "flooding.forward void.least_freeboard_m",
    ),
    "quillet-forepeak": (
        "compartments.berth space.volume_m3",
        "compartments.forepeak.volume_m3",
        "compartments.berth space.below_waterline_m3",
        "berths.vee berth.tallest_m",
        "berths.vee berth.headroom_m",
        *AFLOAT,
        "flooding.berth space.lids.berth top.clear_of_water_m",
        "flooding.berth space.least_freeboard_m",
    ),
    "pellwick-bows": (
        "compartments.crash space.volume_m3",
        "compartments.bilge.volume_m3",
        "compartments.bilge.below_waterline_m3",
        "berths.bow berth.shoulder_width_m",
        "berths.bow berth.headroom_m",
        *AFLOAT,
        "flooding.bilge.lids.bow berth top.clear_of_water_m",
        "flooding.bilge.least_freeboard_m",
    ),
}
"""Of the catamaran's berth, which nobody is to lie in, the width at the shoulders."""


def seconds_of(*command: str) -> float:
    """Processor time of a command, its workers' with it."""
    before = os.times()
    subprocess.run([sys.executable, "-m", "sketcher", *command], check=True, stdout=subprocess.DEVNULL)
    after = os.times()
    return after.children_user + after.children_system - before.children_user - before.children_system


def held(known: HowKnown, looks: list[BoatLook | None], path: str) -> str:
    """A line about one figure."""
    true, half = known.stated.values.get(path), known.half(path)
    shown = [look.values.get(path) for look in looks if look is not None]
    values = [value for value in shown if isinstance(value, float)]
    if half is None or not isinstance(true, float):
        return f"  {path}: no band"
    inside = 100.0 * sum(abs(value - true) <= half for value in values) / len(values)
    spread = float(np.sqrt(np.mean((np.array(values) - true) ** 2)))
    mark = "" if 90.0 <= inside <= 98.0 else "   <- outside 90 to 98"
    return f"  {path:58} {true:10.4f} ±{half:8.4f}  held in {inside:5.1f} of 100, {half / 1.96 / spread:4.2f} of the spread{mark}"


def verdicts(known: HowKnown, looks: list[BoatLook | None]) -> list[str]:
    """Lines about verdicts that are otherwise in some boats, or were foretold to be."""
    lines = []
    for path, foretold in sorted(known.doubts.items()):
        count = [otherwise(known.stated, look, path) for look in looks if look is not None]
        found = sum(count) / len(count)
        if max(found, foretold) >= 0.01:
            how = "by its margins" if path in known.critical else f"in {len(known.remeasured(path))} boats"
            lines.append(f"  {path:58} otherwise in {100 * found:5.1f} of 100, foretold {100 * foretold:5.1f} {how}")
    return lines


def otherwise(stated: BoatLook, look: BoatLook, path: str) -> bool:
    """Whether a verdict is another in a boat: by its value, or by the margins that it has there and then."""
    if path in stated.values:
        return look.values.get(path) != stated.values[path]
    return (min(look.margins.get(path, {"": 0.0}).values()) > 0.0) != (min(stated.margins[path].values()) > 0.0)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("scenes", nargs="*", default=list(FIGURES))
    parser.add_argument("--boats", type=int, default=200)
    parser.add_argument("--seed", type=int, default=7)
    asked = parser.parse_args()
    for name in asked.scenes:
        path = demo_folder() / "scenes" / f"{name}.yaml"
        scene = read_scene(path)
        hull_form.__wrapped__(scene.hull)  # type: ignore[attr-defined]
        begun = process_time()
        boat = evaluate(scene)
        cases = flooding_cases(boat.layout, boat.water, boat.floating)
        one = process_time() - begun
        begun = process_time()
        known = how_known(boat, cases, figure_values)
        bands = process_time() - begun
        typed, banded = seconds_of("report", str(path), "--json"), seconds_of("report", str(path), "--json", "--bands")
        print(f"{name}: {len(known.readings)} readings, {known.looks} boats looked at")
        ratio = f"{banded / typed:.1f} times; the work alone {bands / one:.1f} times"
        print(f"  report {typed:.2f} s, with --bands {banded:.2f} s: {ratio}")
        moves = np.random.default_rng(asked.seed).standard_normal((asked.boats, len(known.readings)))
        looks = replace(known.looking, resolution=1.0).all(list(moves), None)
        for figure in FIGURES.get(name, ()):
            print(held(known, looks, figure))
        print("\n".join(verdicts(known, looks)))


if __name__ == "__main__":
    main()
