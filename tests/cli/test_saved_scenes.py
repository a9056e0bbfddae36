"""What is seen while editing is what a fresh process reads from the saved file."""

import json
import random
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from places import ROOT

from sketcher.analysis.evaluate import evaluate, with_flooding
from sketcher.analysis.flooding.cases import flooding_cases
from sketcher.model.demos import demo_folder, demo_scenes
from sketcher.model.edits.actions import Edit, MoveBulkhead, RaiseWaterline, Rename, SetValue
from sketcher.model.edits.deletion import Delete
from sketcher.model.edits.history import History
from sketcher.model.errors import SketchError
from sketcher.model.files.saving import open_scene, save_scene
from sketcher.model.lookup import bulkhead_at
from sketcher.model.scene import Scene
from sketcher.outputs.tables.flooding import case_figures
from sketcher.outputs.tables.json_figures import as_json

OF_EACH_HULL = ("marram-forepeak", "pellwick-bows", "quillet-filled", "ternholm-forepeak")


def any_edit(chance: random.Random, scene: Scene) -> Edit:
    """A move such as a hand makes with a mouse, finer than any file's step; now and then something else."""
    what = chance.random()
    bulkhead = chance.choice(scene.bulkheads)
    if what < 0.5:
        return MoveBulkhead(bulkhead.name, bulkhead_at(scene, bulkhead.name) + chance.uniform(-0.05, 0.05))
    if what < 0.8 and scene.lids:
        lid = chance.choice(scene.lids)
        return SetValue("lids", lid.name, "height", lid.height + chance.uniform(-0.02, 0.02))
    if what < 0.9:
        return RaiseWaterline(chance.uniform(-0.02, 0.02))
    if what < 0.95:
        return Rename("bulkheads", bulkhead.name, f"{bulkhead.name} {chance.randint(2, 99)}")
    return Delete("openings", chance.choice(scene.openings).name) if scene.openings else RaiseWaterline(0.01)


@pytest.mark.property
@pytest.mark.slow
@pytest.mark.parametrize("demo", [path for path in demo_scenes() if path.stem in OF_EACH_HULL], ids=lambda path: path.stem)
def test_a_fresh_process_gives_the_figures_last_seen(demo: Path, tmp_path: Path) -> None:
    """After a series of edits, the report of the saved file from a fresh process is the one here, to the last digit."""
    for folder in ("hulls", "scenes"):
        shutil.copytree(demo_folder() / folder, tmp_path / folder)
    opened = open_scene(tmp_path / "scenes" / demo.name)
    history, chance = History(opened.scene), random.Random(demo.stem)
    for _ in range(12):
        try:
            history.do(any_edit(chance, history.now))
        except SketchError:
            continue
    assert len(history.names) >= 8
    saved = save_scene(opened, history.now)
    seen = evaluate(history.now)
    cases = flooding_cases(seen.layout, seen.water, seen.floating)
    here = json.loads(as_json(with_flooding(seen, cases), [case_figures(case) for case in cases]))
    command = [sys.executable, "-m", "sketcher", "report", saved.path, "--json"]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, cwd=ROOT)
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout) == here
