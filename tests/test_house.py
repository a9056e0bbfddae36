"""The house's own rules: layers, lint, types, sources that resolve and are used, modules of one room."""

import ast
import re
import subprocess
import sys
from collections.abc import Iterator, Sequence
from functools import cache
from graphlib import TopologicalSorter
from pathlib import Path

import grimp
import pytest
from places import CODE, ROOT

HERE = Path(__file__)
MODULES = sorted(CODE.rglob("*.py"))
TESTS = sorted((ROOT / "tests").rglob("test_*.py"))
PUBLIC = re.compile(r"^(?:class|def|async def) (?!_)(\w+)", re.MULTILINE)
LONGEST_MODULE = 450
MOST_MODULES, DEEPEST = 15, 2
"""Modules in one folder, and levels of folders below a layer."""
TWICE = {
    **dict.fromkeys(("read_scene", "read_hull", "evaluate", "figures", "report"), "what Python is offered, under its own name"),
}
"""Public names that stand twice, and why."""
ORACLES = ("published", "closed_form", "property", "golden", "example")


@cache
def parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


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
def test_no_public_name_stands_twice() -> None:
    """A class or function has one name and a name one sense, save where a reason is written above."""
    stands: dict[str, list[str]] = {}
    for path in MODULES:
        for name in PUBLIC.findall(path.read_text(encoding="utf-8")):
            stands.setdefault(name, []).append(str(path.relative_to(ROOT)))
    assert len(stands) > 1000
    assert {name: places for name, places in stands.items() if len(places) > 1 and name not in TWICE} == {}
    assert [name for name in TWICE if len(stands.get(name, ())) < 2] == []


@pytest.mark.property
@pytest.mark.parametrize("folder", sorted({path.parent for path in MODULES} - {CODE}), ids=lambda folder: folder.name)
def test_a_folder_is_a_room_with_a_question_and_a_way_in(folder: Path) -> None:
    """At most 15 modules, at most two levels below its layer, and a docstring that asks its question and names its way in."""
    assert len(list(folder.glob("*.py"))) - 1 <= MOST_MODULES
    assert len(folder.relative_to(CODE).parts) - 1 <= DEEPEST
    said = ast.get_docstring(parsed(folder / "__init__.py")) or ""
    first, _, rest = said.partition("\n\n")
    assert "?" in first, "no question"
    assert "Way in: " in rest, "no way in"


@pytest.mark.property
def test_the_map_for_developers_is_short() -> None:
    """At most 1 200 words, at most 60 lines of them a glossary."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert len(text.split()) <= 1200
    assert len(text.partition("## Glossary")[2].partition("## ")[0].splitlines()) <= 60


@pytest.mark.property
def test_tests_stand_in_rooms_of_the_code() -> None:
    """A folder of tests has the name and place of the folder that they ask, and holds no more modules than one of those."""
    rooms = {path.parent.relative_to(ROOT / "tests") for path in TESTS}
    assert [str(room) for room in sorted(rooms) if not (CODE / room).is_dir()] == []
    folders = {path.parent for path in (ROOT / "tests").rglob("*.py")}
    assert [folder.name for folder in folders if len(list(folder.glob("*.py"))) > MOST_MODULES] == []


@pytest.mark.property
def test_every_module_of_the_analysis_is_asked_directly() -> None:
    """Some test imports it by its name: none is only passed through on the way to a report."""
    imported = {
        node.module for path in TESTS for node in ast.walk(parsed(path)) if isinstance(node, ast.ImportFrom) and node.module
    }
    modules = {
        ".".join(path.relative_to(ROOT).with_suffix("").parts)
        for path in MODULES
        if path.is_relative_to(CODE / "analysis") and path.name != "__init__.py"
    }
    assert sorted(modules - imported) == []


def marks_of_tests() -> Iterator[tuple[Path, ast.FunctionDef, list[str], set[str]]]:
    """Every test: its file, its function, its oracles in order, and all the names that its decorators and arguments hold.

    A file's `pytestmark` speaks for those of its tests that name no oracle themselves.
    """
    for path in TESTS:
        tree = parsed(path)
        families = {node.name for node in functions(tree) if "params" in keywords(node.decorator_list)}
        of_file = [
            oracle
            for node in tree.body
            if isinstance(node, ast.Assign) and "pytestmark" in names(node.targets)
            for oracle in oracles(node.value)
        ]
        for node in functions(tree):
            if node.name.startswith("test_"):
                own = [oracle for decorator in node.decorator_list for oracle in oracles(decorator)]
                asked = {"parametrize"} if families & {each.arg for each in node.args.args} else set()
                yield path, node, own or of_file, names(node.decorator_list) | asked


def functions(tree: ast.Module) -> list[ast.FunctionDef]:
    return [node for node in tree.body if isinstance(node, ast.FunctionDef)]


def names(nodes: Sequence[ast.AST]) -> set[str]:
    """Every name and attribute in these pieces of syntax."""
    inner = [each for node in nodes for each in ast.walk(node)]
    return {each.id for each in inner if isinstance(each, ast.Name)} | {
        each.attr for each in inner if isinstance(each, ast.Attribute)
    }


def keywords(nodes: Sequence[ast.AST]) -> set[str | None]:
    return {each.arg for node in nodes for each in ast.walk(node) if isinstance(each, ast.keyword)}


def oracles(node: ast.AST) -> list[str]:
    """The oracles among the marks in a decorator or in a file's list of marks."""
    inner = [each.attr for each in ast.walk(node) if isinstance(each, ast.Attribute)]
    return [name for name in inner if name in ORACLES] if "mark" in inner else []


@pytest.mark.property
def test_every_test_names_its_oracle_and_behaviour() -> None:
    """Each test says what behaviour it shows, and what it is checked against, exactly once."""
    found = list(marks_of_tests())
    assert len(found) > 1000
    assert [f"{path.name}::{node.name}" for path, node, marks, _ in found if len(marks) != 1 or not ast.get_docstring(node)] == []


@pytest.mark.property
def test_a_property_has_a_family_to_hold_for() -> None:
    """A test marked as a property draws its inputs or runs through a family; the rules of this file hold for the house."""
    loose = [
        f"{path.name}::{node.name}"
        for path, node, marks, about in marks_of_tests()
        if "property" in marks and not about & {"given", "parametrize"} and path != HERE
    ]
    assert loose == []


@pytest.mark.property
def test_no_test_reads_the_clock() -> None:
    """A test asks something that can be counted; what takes how long is measured in tests/benchmarks."""
    clocks = {"perf_counter", "process_time", "monotonic", "sleep"}
    reading = [
        f"{path.name}:{node.lineno}"
        for path in TESTS
        for node in ast.walk(parsed(path))
        if isinstance(node, ast.Call) and ast.unparse(node.func).removeprefix("time.") in {*clocks, "time.time"}
    ]
    assert reading == []
