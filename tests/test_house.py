"""The house's own rules: layers, lint, types, sources that resolve and are used, modules of one room."""

import re
import subprocess
import sys
from graphlib import TopologicalSorter

import grimp
import pytest
from places import CODE, ROOT

MODULES = sorted(CODE.rglob("*.py"))
LONGEST_MODULE = 450
ORACLE = r"(published|closed_form|property|golden|example)\b"


def run(*command: str) -> None:
    done = subprocess.run([sys.executable, "-m", *command], cwd=ROOT, capture_output=True, text=True, timeout=200)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.property
def test_imports_point_down() -> None:
    """Every layer imports only those below it, and the core imports no screen."""
    script = "from importlinter.cli import lint_imports_command; lint_imports_command(['--no-cache'])"
    done = subprocess.run([sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, timeout=200)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.property
def test_imports_make_no_ring() -> None:
    """No module needs another that needs it in turn, for types only or within a function included."""
    graph = grimp.build_graph("sketcher", cache_dir=None)
    # The sorter raises CycleError, with the ring in it.
    order = TopologicalSorter({name: graph.find_modules_directly_imported_by(name) for name in graph.modules}).static_order()
    assert len(tuple(order)) == len(graph.modules)


@pytest.mark.property
def test_code_is_linted_and_formatted() -> None:
    """The linter has nothing to say and the formatter nothing to change."""
    run("ruff", "check", "--no-cache", ".")
    run("ruff", "format", "--check", "--no-cache", ".")


@pytest.mark.property
@pytest.mark.slow
def test_types_are_strict() -> None:
    """The type checker, strict, finds nothing."""
    run("mypy", "--no-incremental")


@pytest.mark.property
def test_core_starts_without_a_screen() -> None:
    """What a report needs loads no graphics, no web server, no PDF writer and no test-only library."""
    script = (
        "import sys, sketcher.analysis.evaluate, sketcher.model.files.scene_file, sketcher.outputs.tables.report\n"
        "heavy = {'pyvista', 'vtk', 'vtkmodules', 'trame', 'matplotlib', 'scipy', 'trimesh', 'reportlab'} & set(sys.modules)\n"
        "sys.exit(f'loads {heavy}' if heavy else 0)"
    )
    done = subprocess.run([sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, timeout=60)
    assert done.returncode == 0, done.stderr


@pytest.mark.property
def test_every_source_resolves_and_is_used() -> None:
    """Each source named by a finding or a default stands in the list, and each in the list is named somewhere."""
    from sketcher.analysis.sources import SOURCES

    texts = {path: path.read_text(encoding="utf-8") for path in MODULES}
    named = {name for text in texts.values() for name in re.findall(r'source="([a-z0-9-]+)"', text)}
    assert named <= set(SOURCES)
    listed = next(path for path in MODULES if path.name == "sources.py")
    elsewhere = "\n".join(text for path, text in texts.items() if path != listed)
    assert [name for name in SOURCES if f'"{name}"' not in elsewhere and f"`{name}`" not in elsewhere] == []


@pytest.mark.property
def test_modules_are_one_room_each() -> None:
    """No module grows past what one person can hold in mind."""
    assert {
        path.name: lines for path in MODULES if (lines := len(path.read_text(encoding="utf-8").splitlines())) > LONGEST_MODULE
    } == {}


@pytest.mark.property
def test_every_test_names_its_oracle_and_behaviour() -> None:
    """Each test says what behaviour it shows, and what it is checked against, exactly once."""
    missing = []
    for path in sorted((ROOT / "tests").rglob("test_*.py")):
        text = path.read_text(encoding="utf-8")
        of_all = [o for line in re.findall(r"^pytestmark = .*", text, re.M) for o in re.findall(rf"mark\.{ORACLE}", line)]
        for match in re.finditer(
            r'((?:^@[^\n]*\n(?:(?![@d ])[^\n]*\n|^ [^\n]*\n)*)*)^def (test_\w+)\([^{]*?\)[^:]*:\n    """', text, re.M
        ):
            oracles = re.findall(rf"@pytest\.mark\.{ORACLE}", match.group(1))
            if len(oracles or of_all) != 1:
                missing.append(f"{path.name}::{match.group(2)}")
        without = set(re.findall(r"^def (test_\w+)\(", text, re.M)) - set(
            re.findall(r'^def (test_\w+)\([^{]*?\)[^:]*:\n    r?"""', text, re.M)
        )
        missing += [f"{path.name}::{name} has no sentence" for name in sorted(without)]
    assert missing == []
