"""Finding the line of a key in a file, for errors that were noticed only after the file was read."""

from __future__ import annotations

from dataclasses import replace

from sketcher.model.document import Document, Mapping, Node, Sequence, read_document
from sketcher.model.errors import SketchError


def line_of(document: Document, key: str) -> int | None:
    """The line where a dotted key such as `bulkheads.main.rake` or `stations.3` stands, or as much of it as is there.

    Names may have dots in them; list members count from 1.
    """
    line: int | None = None
    node: Node = document.root
    rest = key
    while rest:
        if isinstance(node, Mapping):
            entry = next(((name, value) for name, value in node.entries if f"{rest}.".startswith(f"{name.text}.")), None)
            if entry is None:
                break
            line, node, rest = entry[0].line, entry[1], rest[len(entry[0].text) + 1 :]
        elif isinstance(node, Sequence):
            number, _, rest = rest.partition(".")
            if not number.isdecimal() or not 1 <= int(number) <= len(node.items):
                break
            node = node.items[int(number) - 1]
            line = node.line
        else:
            break
    return line


def located(problem: SketchError) -> SketchError:
    """The error with its line, where it names a file and a key but no line and the file still holds that key."""
    if problem.file is None or problem.key is None or problem.line is not None:
        return problem
    try:
        line = line_of(read_document(problem.file), problem.key)
    except SketchError:
        return problem
    return replace(problem, line=line)
