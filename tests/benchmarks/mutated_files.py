"""Files as a slip of the hand makes them: each must be read, or refused in a sentence, and what is read must stand a saving.

    .venv/bin/python tests/benchmarks/mutated_files.py --files 100000 --evaluations 1000 --seed 1 [--minutes 30]

The demo hulls, scenes and tables are changed at random and read. What reads must give itself again when it is written and read;
some of it is evaluated in child processes of so much time and memory. What must not happen is printed with the numbers of the
files in which it does: `--show NUMBER` shows one. Needs a system that forks.
"""

from __future__ import annotations

import argparse
import difflib
import os
import random
import re
import resource
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from shutil import copytree
from typing import Any

from sketcher.model.demos import demo_folder
from sketcher.model.document import compose, read_text
from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import hull_from, hull_text
from sketcher.model.files.line_lookup import located
from sketcher.model.files.scene_file import scene_from, scene_text
from sketcher.model.files.tables.tape_table import read_tape_table

LONGEST_ERROR = 400
"""Characters of an error without the file's own name."""
SECONDS, MEMORY = 10, 1 << 30
"""What one evaluation may take [s of the processor], [bytes beyond what the program has at its start]."""
ODD = [
    "\u00e9",
    "\u202e",
    "\u0000",
    "\ufeff",
    "\u2028",
    "\U0001f6a4",
    "\u0663",
    "\u2212",
    "\u00bd",
    "\t",
    "\r",
    "'",
    '"',
    "[",
    "}",
    ":",
    "#",
    "&",
    "*",
    "|",
    "-",
    ",",
]
UNITS = ["mm", "cm", "m", "in", "ft", "furlong", "", "MM", "kg"]
VALUES = [
    "0",
    "-0",
    "1e300",
    "1e-9",
    "-1",
    "nan",
    "inf",
    "null",
    "",
    "[]",
    "{}",
    "[[]]",
    "true",
    "1_000",
    "0x10",
    "1,5",
    "6 ft 2 in",
    "450 port",
    "deck",
    "hull",
    "~",
    "999999999999",
    "0.0001",
]
TOKEN = re.compile(r"[\w.]+|[^\w\s]|\s+")
NUMBER = re.compile(r"(?<![\w.])-?\d+(?:\.\d+)?(?![\w.])")

Change = Callable[[random.Random, str], str]


def _tokens(rng: random.Random, text: str, do: Callable[[list[str], int, int], None]) -> str:
    tokens = TOKEN.findall(text)
    solid = [k for k, token in enumerate(tokens) if not token.isspace()]
    i, j = rng.choice(solid), rng.choice(solid)
    do(tokens, i, j)
    return "".join(tokens)


def swap(rng: random.Random, text: str) -> str:
    def do(tokens: list[str], i: int, j: int) -> None:
        tokens[i], tokens[j] = tokens[j], tokens[i]

    return _tokens(rng, text, do)


def delete(rng: random.Random, text: str) -> str:
    return _tokens(rng, text, lambda tokens, i, _: tokens.__setitem__(i, ""))


def repeat(rng: random.Random, text: str) -> str:
    times = rng.choice([2, 2, 3, 50])
    return _tokens(rng, text, lambda tokens, i, _: tokens.__setitem__(i, " ".join([tokens[i]] * times)))


def replace_value(rng: random.Random, text: str) -> str:
    value = rng.choice(VALUES)
    return _tokens(rng, text, lambda tokens, i, _: tokens.__setitem__(i, value))


def _number(rng: random.Random, text: str, to: Callable[[str], str]) -> str:
    found = list(NUMBER.finditer(text))
    if not found:
        return text
    match = rng.choice(found)
    return text[: match.start()] + to(match[0]) + text[match.end() :]


def scale(rng: random.Random, text: str) -> str:
    power = rng.choice([-6, -4, -3, -2, -1, 1, 2, 3, 4, 6])
    return _number(rng, text, lambda number: f"{float(number) * 10.0**power:.10g}")


def flip(rng: random.Random, text: str) -> str:
    return _number(rng, text, lambda number: number[1:] if number.startswith("-") else f"-{number}")


def change_unit(rng: random.Random, text: str) -> str:
    if rng.random() < 0.5:
        return re.sub(r"(?m)^units:.*$", f"units: {rng.choice(UNITS)}", text, count=1)
    return _number(rng, text, lambda number: f"{number} {rng.choice(UNITS)}")


def move_line(rng: random.Random, text: str) -> str:
    lines = text.splitlines(keepends=True)
    line = lines.pop(rng.randrange(len(lines)))
    lines.insert(rng.randrange(len(lines) + 1), line)
    return "".join(lines)


def indent(rng: random.Random, text: str) -> str:
    lines = text.splitlines(keepends=True)
    k = rng.randrange(len(lines))
    lines[k] = "  " + lines[k] if rng.random() < 0.5 else lines[k].lstrip()
    return "".join(lines)


def copy_lines(rng: random.Random, text: str) -> str:
    lines = text.splitlines(keepends=True)
    k = rng.randrange(len(lines))
    return "".join(lines[: k + rng.randrange(1, 6)] + lines[k:])


def odd_letter(rng: random.Random, text: str) -> str:
    k = rng.randrange(len(text) + 1)
    return text[:k] + rng.choice(ODD) + text[k + rng.randrange(2) :]


CHANGES: tuple[Change, ...] = (
    *(swap, delete, repeat, replace_value, replace_value, scale, scale, scale),
    *(flip, change_unit, move_line, indent, copy_lines, odd_letter),
)
"""What each change is picked from; some stand here more often."""


def mutated(rng: random.Random, text: str) -> bytes:
    """A file's text changed one to three times; now and then with bytes of junk in it."""
    for _ in range(rng.choice([1, 1, 1, 2, 2, 3])):
        text = rng.choice(CHANGES)(rng, text)
    data = text.encode("utf-8", "surrogatepass")
    if rng.random() < 0.03:
        k = rng.randrange(len(data) + 1)
        data = data[:k] + rng.randbytes(rng.choice([1, 4, 40])) + data[k + rng.choice([0, 1, 400]) :]
    return data


@dataclass
class Tally:
    """What became of the files. faults: what must not be, by its kind, each with the numbers of the files."""

    counts: Counter[str] = field(default_factory=Counter)
    faults: dict[str, list[int]] = field(default_factory=dict)

    def fault(self, kind: str, number: int) -> None:
        self.faults.setdefault(kind, []).append(number)


class Demos:
    """The demo files in a folder of their own, and what is made of one of them by its number."""

    def __init__(self, folder: Path, seed: int) -> None:
        for part in ("scenes", "hulls"):
            copytree(demo_folder() / part, folder / part)
        self.seed = seed
        self.scenes = sorted((folder / "scenes").glob("*.yaml"))
        self.hulls = sorted((folder / "hulls").glob("*.yaml"))
        self.tables = sorted((folder / "hulls").glob("*.csv"))
        self.texts = {path: path.read_text("utf-8") for path in (*self.scenes, *self.hulls, *self.tables)}
        read = {path: scene_from(compose(self.texts[path], str(path))) for path in self.scenes}
        self.hull_of = {path: scene.hull for path, scene in read.items()}
        self.hull_paths = {path: scene.hull_path for path, scene in read.items()}

    def made(self, number: int) -> tuple[Path, bytes]:
        """A demo's path, and its changed bytes."""
        rng = random.Random(f"{self.seed} {number}")
        path = rng.choice(rng.choices((self.scenes, self.hulls, self.tables), (0.7, 0.25, 0.05))[0])
        return path, mutated(rng, self.texts[path])

    def read(self, path: Path, data: bytes) -> Any:
        """The scene or hull that bytes describe. Raises SketchError."""
        if path in self.tables and not data.startswith(b"hull:"):
            path.write_bytes(data)
            return read_tape_table(path).hull
        text, bom = read_text(data, str(path))
        document = compose(text, str(path), bom)
        if path not in self.scenes:
            return hull_from(document)
        hull = document.root.get("hull")
        same = hull is not None and getattr(hull, "text", "") == self.hull_paths[path]
        return scene_from(document, self.hull_of[path] if same else None)

    def written(self, path: Path, value: Any) -> bytes:
        """What is read, as the text of a file."""
        return (scene_text(value) if path in self.scenes else hull_text(value)).encode()

    def scene_with(self, path: Path, value: Any) -> Any:
        """A scene to evaluate: itself, or an empty one in a changed hull."""
        if path in self.scenes:
            return value
        using = next((scene for scene, hull in self.hull_of.items() if Path(str(hull.file)).name == path.name), self.scenes[0])
        return replace(scene_from(compose(self.texts[using], str(using))), hull=replace(value, file=str(path)))


def judge_reading(demos: Demos, number: int, tally: Tally) -> Any:
    """Read one changed file, and hold what is said of it and what it gives when saved; None where it cannot be read."""
    path, data = demos.made(number)
    try:
        first = demos.read(path, data)
    except SketchError as problem:
        tally.counts["refused"] += 1
        judge_error(problem, number, tally)
        return None
    except Exception as problem:
        tally.fault(f"reading: {crash(problem)}", number)
        return None
    tally.counts["read"] += 1
    try:
        text = demos.written(path, first)
        second = demos.read(path, text)
        again = demos.written(path, second)
        if again != text or demos.read(path, again) != second:
            tally.fault("read, written and read again it is another", number)
    except SketchError as problem:
        tally.fault(f"written it cannot be read: {re.sub(r'[0-9.]+', 'N', problem.message)[:80]}", number)
    except Exception as problem:
        tally.fault(f"writing: {crash(problem)}", number)
    return first


def judge_error(problem: SketchError, number: int, tally: Tally) -> None:
    """An error names its file and a remedy, and is no longer than a person reads."""
    if not problem.file:
        tally.fault(f"no file: {problem.message[:60]}", number)
    if not problem.remedy:
        tally.fault(f"no remedy: {problem.message[:60]}", number)
    said = str(problem).replace(problem.file or "", "")
    if len(said) > LONGEST_ERROR:
        tally.fault(f"an error longer than {LONGEST_ERROR} characters", number)
    if len(str(problem).splitlines()) > 3 or not said.replace("\n", "").isprintable():
        tally.fault("an error of many lines, or with letters that do not show", number)


def crash(problem: BaseException) -> str:
    """A failure and where in the product it was."""
    frames = traceback.extract_tb(problem.__traceback__)
    own = [frame for frame in frames if "/sketcher/" in frame.filename] or frames
    return f"{type(problem).__name__} at {Path(own[-1].filename).name}:{own[-1].lineno}: {str(problem)[:80]}"


def evaluated(scene: Any, path: Path) -> str:
    """What became of one evaluation with its report and its figures, in a child: "" where it was done or refused in words."""
    out, into = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(out)
        said = ""
        try:
            said = _in_child(scene, path)
        except BaseException as problem:
            said = crash(problem)
        finally:
            os.write(into, said.encode()[:2000])
            os._exit(0)
    os.close(into)
    with os.fdopen(out, "rb") as told:
        said = told.read().decode(errors="replace")
    code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    return said if code == 0 else f"longer than {SECONDS} s" if code == -signal.SIGXCPU else f"ended with {code}"


def _in_child(scene: Any, path: Path) -> str:
    from sketcher.analysis.evaluate import evaluate, with_flooding
    from sketcher.analysis.flooding.cases import flooding_cases
    from sketcher.cli.problems import buildable
    from sketcher.outputs.tables.flooding import case_figures
    from sketcher.outputs.tables.json_figures import as_csv, as_json
    from sketcher.outputs.tables.report import report

    used = int(Path("/proc/self/statm").read_text().split()[0]) * os.sysconf("SC_PAGE_SIZE")
    resource.setrlimit(resource.RLIMIT_AS, (used + MEMORY, used + MEMORY))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS + 1))
    tally = Tally()
    try:
        with buildable(str(path)):
            evaluation = evaluate(scene)
            report(evaluation)
            as_csv(evaluation)
            cases = flooding_cases(evaluation.layout, evaluation.water, evaluation.floating, None)
            as_json(with_flooding(evaluation, cases), [case_figures(case) for case in cases])
    except SketchError as problem:
        judge_error(located(problem), 0, tally)
    return "; ".join(tally.faults)


def numbers(files: int, minutes: float | None) -> Iterator[int]:
    end = None if minutes is None else time.monotonic() + 60.0 * minutes
    for number in range(files):
        if end is not None and time.monotonic() > end:
            return
        yield number


def run(files: int, evaluations: int, seed: int, minutes: float | None = None) -> Tally:
    """Change, read and hold so many files, and evaluate about so many of what reads."""
    tally = Tally()
    every = max(files // (5 * max(evaluations, 1)), 1)  # one file in five reads
    with tempfile.TemporaryDirectory() as folder:
        demos = Demos(Path(folder), seed)
        for number in numbers(files, minutes):
            tally.counts["files"] += 1
            value = judge_reading(demos, number, tally)
            if value is None or number % every or tally.counts["evaluated"] >= evaluations:
                continue
            tally.counts["evaluated"] += 1
            path = demos.made(number)[0]
            started = time.monotonic()
            said = evaluated(demos.scene_with(path, value), path)
            if said:
                tally.fault(f"evaluating: {said}", number)
            tally.counts["seconds of evaluation"] += round(time.monotonic() - started)
    return tally


def show(seed: int, number: int) -> int:
    """Print what is changed in one file, and what is said of it."""
    with tempfile.TemporaryDirectory() as folder:
        demos = Demos(Path(folder), seed)
        path, data = demos.made(number)
        lines = [part.splitlines() for part in (demos.texts[path], data.decode(errors="replace"))]
        print(path.name, *difflib.unified_diff(*lines, lineterm="", n=0), sep="\n")
        value = demos.read(path, data)
        print(evaluated(demos.scene_with(path, value), path) or "good")
    return 0


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--files", type=int, default=1000)
    parser.add_argument("--evaluations", type=int, default=10)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--minutes", type=float)
    parser.add_argument("--show", type=int, help="Print one changed file by its number, and what is said of it.")
    asked = parser.parse_args()
    if asked.show is not None:
        return show(asked.seed, asked.show)
    started = time.monotonic()
    tally = run(asked.files, asked.evaluations, asked.seed, asked.minutes)
    took = time.monotonic() - started
    print(", ".join(f"{count} {what}" for what, count in tally.counts.items()), f"in {took:.0f} s")
    for kind, found in sorted(tally.faults.items(), key=lambda item: -len(item[1])):
        print(f"{len(found):6d}  {kind}  (files {', '.join(map(str, found[:4]))})")
    return 1 if tally.faults else 0


if __name__ == "__main__":
    sys.exit(main())
