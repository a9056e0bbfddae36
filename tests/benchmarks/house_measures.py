"""The house measured: folders, modules, functions, names, import circles, one-of-each. Prints a table; judges nothing.

python tests/benchmarks/house_measures.py [CHECKOUT]
"""

import ast
import re
import statistics
import sys
from collections import Counter, defaultdict
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

PLANES = r"class (\w*(?:Plane|Half|Face)\b)|Planes = tuple|plane: tuple|normal: (?:Floats|tuple)[^,)]*, distance: float"
SPLITS = r"count == 1\) \| \(count == 2\)|lone = np\.argmax|\.argmax\(axis=0\)"
CACHES = {
    "lru_cache, cache": r"^\s*@(?:lru_cache|cache)\b|= (?:lru_cache|cache)\(",
    "cached_property": r"^\s*@cached_property",
    "own, by value": r"^\s*@(?:remembered|kept_by_value)\b",
    "own, with a mesh or another object": r"^\s*@(?:kept_with_\w+)\b|= kept_with_\w+\(",
    "module tables by hand": r"^_\w+: (?:WeakKeyDictionary|dict|OrderedDict)\[.*\] = |^_last\b",
}


def modules(root: Path) -> dict[str, Path]:
    """Every module by its dotted name."""
    found = {}
    for path in sorted((root / "sketcher").rglob("*.py")):
        parts = path.relative_to(root).with_suffix("").parts
        found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


def imports(tree: ast.Module, known: dict[str, Path]) -> set[str]:
    """The modules that a module imports from its own package, within functions too."""
    found: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module:
            for alias in node.names:
                whole = f"{node.module}.{alias.name}"
                found.add(whole if whole in known else node.module)
    return found & known.keys()


def share(values: list[int], part: float) -> int:
    """The value that so large a part of all do not exceed."""
    ordered = sorted(values)
    return ordered[min(int(part * len(ordered)), len(ordered) - 1)]


def main(root: Path) -> None:
    """Print the measures of one checkout."""
    known = modules(root)
    texts = {name: path.read_text(encoding="utf-8") for name, path in known.items()}
    trees = {name: ast.parse(text) for name, text in texts.items()}
    folders = Counter(str(path.parent.relative_to(root)) for path in known.values() if path.name != "__init__.py")
    sizes = [len(text.splitlines()) for name, text in texts.items() if known[name].name != "__init__.py"]
    functions = [
        (node.end_lineno or node.lineno) - node.lineno + 1
        for tree in trees.values()
        for node in ast.walk(tree)
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
    ]
    public: defaultdict[str, list[str]] = defaultdict(list)
    for name, tree in trees.items():
        for node in tree.body:
            if isinstance(node, ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef) and not node.name.startswith("_"):
                public[node.name].append(name)
    try:
        tuple(TopologicalSorter({name: imports(tree, known) for name, tree in trees.items()}).static_order())
        circles = "none"
    except CycleError as found:
        circles = " -> ".join(found.args[1])
    whole = "\n".join(texts.values())
    rows = [
        ("lines of the package", str(sum(sizes))),
        ("modules, folders", f"{len(sizes)}, {len(folders)}"),
        ("modules in the largest folders", ", ".join(f"{folder} {count}" for folder, count in folders.most_common(3))),
        ("module: median, largest", f"{statistics.median(sizes):.0f}, {max(sizes)}"),
        ("function: median, 95 %, largest", f"{statistics.median(functions):.0f}, {share(functions, 0.95)}, {max(functions)}"),
        ("import circles", circles),
        ("public names that stand twice", str(sum(len(where) > 1 for where in public.values()))),
        ("findings that format their own words", str(len(re.findall(r"\bmessage=(?:f?\"|\()", whole)))),
        ("forms of a plane", str(len(set(re.findall(PLANES, whole))) + len(re.findall(r"Planes = tuple", whole)))),
        ("places that split triangles by a plane", str(len(re.findall(SPLITS, whole)))),
        *((f"kept answers: {kind}", str(len(re.findall(what, whole, re.M)))) for kind, what in CACHES.items()),
        ("words in DEVELOPERS.md", str(len((root / "DEVELOPERS.md").read_text(encoding="utf-8").split()))),
    ]
    for what, measured in rows:
        print(f"{what:42}{measured}")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).resolve().parents[2])
