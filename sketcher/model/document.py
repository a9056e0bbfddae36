"""A YAML text with the place of every value kept, so that errors name a line and a change touches nothing else.

Scalars stay text: YAML's own guesses turn 012 into ten, 12:30 into 750 and yes into true. What a boat's file never needs
(anchors, aliases, tags, several documents) is refused before anything is built from it.
"""

from __future__ import annotations

import dataclasses
import os
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import yaml

from sketcher.model.errors import SketchError, nearest, quoted
from sketcher.model.packed import SCENE_PART, is_packed, read_part, zip_of

SIZE_LIMIT = 2_000_000
"""Bytes; a hull of 200 stations and a scene of 500 panels each stay far below it."""

DEPTH_LIMIT = 12
"""Levels of lists and blocks inside each other; the deepest a file needs is five."""

DIGITS_LIMIT = 400
"""Characters of one value; longer is a paste gone wrong, and numbers of any length would cost unbounded time."""

_LOADER: Any = getattr(yaml, "CLoader", yaml.Loader)


@dataclass(frozen=True, slots=True)
class Scalar:
    """A single value. start, end: places in the document's text, quotes included; line counts from 1."""

    text: str
    start: int
    end: int
    line: int
    plain: bool

    @property
    def empty(self) -> bool:
        """Nothing written, or YAML's words for nothing."""
        return self.plain and self.text in ("", "~", "null")


@dataclass(frozen=True, slots=True)
class Sequence:
    """A list. end: past its closing bracket, or past its last item."""

    items: tuple[Node, ...]
    start: int
    end: int
    line: int
    flow: bool


@dataclass(frozen=True, slots=True)
class Mapping:
    """A block of keys with values, in order. end: past its closing brace, or past its last value."""

    entries: tuple[tuple[Scalar, Node], ...]
    start: int
    end: int
    line: int
    flow: bool

    def get(self, key: str) -> Node | None:
        """The value under a key, or None."""
        return next((value for name, value in self.entries if name.text == key), None)

    def key(self, key: str) -> Scalar | None:
        """The key itself, where it stands in the text."""
        return next((name for name, _ in self.entries if name.text == key), None)


Node = Scalar | Sequence | Mapping


@dataclass(frozen=True, slots=True)
class Document:
    """text: without a byte-order mark, line ends as in the file. bom: whether the file began with one."""

    text: str
    root: Mapping
    file: str
    bom: bool = False

    @property
    def newline(self) -> str:
        """The line end the file uses."""
        return "\r\n" if "\r\n" in self.text else "\n"

    def encode(self, text: str) -> bytes:
        """A changed text as the file's bytes."""
        return (b"\xef\xbb\xbf" if self.bom else b"") + text.encode("utf-8")

    def find(self, *keys: str) -> Node | None:
        """The value at a path of keys, or None where one is missing."""
        node: Node | None = self.root
        for key in keys:
            node = node.get(key) if isinstance(node, Mapping) else None
        return node


def read_bytes(path: str | os.PathLike[str]) -> bytes:
    """A file's bytes, also of a zip's part. Raises SketchError where it is missing, no ordinary file, too large or locked."""
    name = os.fspath(path)
    packed = zip_of(name)
    if packed is not None:
        return read_part(packed, os.path.basename(name), SIZE_LIMIT)
    try:
        with open(path, "rb", opener=_open_without_waiting) as handle:
            status = os.fstat(handle.fileno())
            if not stat.S_ISREG(status.st_mode):
                raise SketchError("this is no ordinary file", "Give a file with text in it.", file=name)
            if status.st_size > SIZE_LIMIT:
                raise SketchError(
                    f"the file has {status.st_size / 1e6:.1f} MB; a boat's file stays below {SIZE_LIMIT / 1e6:.0f} MB",
                    "Is it the right file?",
                    file=name,
                )
            return handle.read(SIZE_LIMIT + 1)
    except FileNotFoundError:
        raise SketchError("there is no such file", _near_files(path), file=name) from None
    except IsADirectoryError:
        raise SketchError("this is a folder, not a file", _files_in(path), file=name) from None
    except PermissionError:
        raise SketchError("the file may not be read", "Give yourself the right to read it.", file=name) from None
    except (OSError, ValueError) as problem:
        reason = getattr(problem, "strerror", None) or str(problem)
        raise SketchError(f"the file cannot be read: {reason}", "Check its name and place.", file=name) from None


def read_text(data: bytes, file: str) -> tuple[str, bool]:
    """A file's text and whether it began with a byte-order mark. Raises SketchError where it is not UTF-8."""
    bom = data.startswith(b"\xef\xbb\xbf")
    body = data[3:] if bom else data
    try:
        return body.decode("utf-8"), bom
    except UnicodeDecodeError as problem:
        line = body.count(b"\n", 0, problem.start) + 1
        raise SketchError("this is not UTF-8 text", "Save the file as UTF-8 in your editor.", file=file, line=line) from None


def read_document(path: str | os.PathLike[str]) -> Document:
    """A YAML file whose top level is a block of keys; of a boat packed in a zip the layout.

    Raises SketchError with the line of whatever stops it.
    """
    file = os.path.join(path, SCENE_PART) if is_packed(path) else os.fspath(path)
    text, bom = read_text(read_bytes(file), file)
    return compose(text, file, bom=bom)


def compose(text: str, file: str, bom: bool = False) -> Document:
    """The document a text makes. Raises SketchError with the line of whatever stops it."""
    try:
        root = _build(yaml.parse(text, Loader=_LOADER), file)
    except yaml.MarkedYAMLError as problem:
        mark = problem.problem_mark or problem.context_mark
        raise SketchError(
            f"this is not YAML: {problem.problem or problem.context}",
            "Look at this line and the one before: a missing quote, bracket, colon or space, or a tab.",
            file=file,
            line=None if mark is None else mark.line + 1,
        ) from None
    except yaml.reader.ReaderError as problem:
        line = text.count("\n", 0, problem.position) + 1
        raise SketchError(
            "a character that may not stand in a text file", "Delete it and type the line again.", file=file, line=line
        ) from None
    if not isinstance(root, Mapping):
        line = 1 if root is None else root.line
        raise SketchError("the file holds no keys", "Begin with a line such as `scene: My layout`.", file=file, line=line)
    return Document(text, root, file, bom)


def fingerprint(data: bytes) -> str:
    """A digest of a file's bytes: two files with the same one are the same."""
    from hashlib import sha256

    return sha256(data).hexdigest()


def _open_without_waiting(name: str, flags: int) -> int:
    """Open so that a pipe nobody writes to does not wait for ever."""
    return os.open(name, flags | getattr(os, "O_NONBLOCK", 0))


@dataclasses.dataclass(slots=True, eq=False, repr=False)
class _Open:
    """A list or block while it is being built: children come one by one, keys and values in turn for a block."""

    start: Any
    mapping: bool
    children: list[Node]


def _build(events: Iterator[Any], file: str) -> Node | None:
    """Nodes from the parser's events, without recursion. Raises SketchError for what the files never need."""
    stack: list[_Open] = []
    root: Node | None = None
    for event in events:
        kind = type(event).__name__
        _refuse_what_is_never_needed(event, kind, root, file)
        if kind in ("MappingStartEvent", "SequenceStartEvent"):
            if len(stack) >= DEPTH_LIMIT:
                raise _refusal(event, file, "lists or blocks too deep inside each other", "Close a bracket or brace before here.")
            stack.append(_Open(event, kind.startswith("Mapping"), []))
            continue
        if kind == "ScalarEvent":
            node: Node = _scalar(event, file)
        elif kind in ("MappingEndEvent", "SequenceEndEvent"):
            opened = stack.pop()
            node = _close(opened, event, file, _path(stack))
        else:
            continue
        if stack:
            stack[-1].children.append(node)
        else:
            root = node
    return root


def _refuse_what_is_never_needed(event: Any, kind: str, root: Node | None, file: str) -> None:
    if kind == "AliasEvent":
        raise _refusal(event, file, f"an alias `*{quoted(event.anchor)}`", "Write the value out here.")
    if getattr(event, "anchor", None):
        raise _refusal(event, file, f"an anchor `&{quoted(event.anchor)}`", "Remove it and write values out where they are used.")
    if getattr(event, "tag", None):
        raise _refusal(event, file, f"a tag `{quoted(event.tag)}`", "Remove it: values need no tags here.")
    if kind == "DocumentStartEvent" and root is not None:
        raise _refusal(event, file, "a second document after `---`", "Keep one boat or one scene in a file.")


def _refusal(event: Any, file: str, what: str, remedy: str) -> SketchError:
    return SketchError(f"{what}: these files do not use that", remedy, file=file, line=event.start_mark.line + 1)


def _scalar(event: Any, file: str) -> Scalar:
    start, end = event.start_mark, event.end_mark
    if len(event.value) > DIGITS_LIMIT:
        raise _refusal(event, file, f"a value {len(event.value)} characters long", f"Keep it to {DIGITS_LIMIT} characters.")
    return Scalar(event.value, start.index, end.index, start.line + 1, not event.style)


def _path(stack: list[_Open]) -> str:
    """The keys above what is being closed, dotted."""
    keys = (opened.children[-1] for opened in stack if opened.mapping and len(opened.children) % 2)
    return "".join(f"{key.text}." for key in keys if isinstance(key, Scalar))


def _close(opened: _Open, event: Any, file: str, path: str) -> Node:
    """The finished list or block; a block in block style ends with its last value, not where the next key begins."""
    start = opened.start.start_mark
    flow = bool(opened.start.flow_style)
    end = event.end_mark.index if flow else (opened.children[-1].end if opened.children else start.index)
    if not opened.mapping:
        return Sequence(tuple(opened.children), start.index, end, start.line + 1, flow)
    entries: list[tuple[Scalar, Node]] = []
    seen: dict[str, int] = {}
    for key, value in zip(opened.children[::2], opened.children[1::2], strict=True):
        if not isinstance(key, Scalar):
            raise SketchError("a list or block stands where a key should", "Write a name, a colon, a value.", file, key.line)
        if key.text in seen:
            remedy = f"It stands in line {seen[key.text]} already: rename or remove one of them."
            raise SketchError("the key is there twice", remedy, file, key.line, path + key.text)
        seen[key.text] = key.line
        entries.append((key, value))
    return Mapping(tuple(entries), start.index, end, start.line + 1, flow)


def _near_files(name: str | os.PathLike[str]) -> str:
    """What to write instead of a file that is not there: the nearest names beside it."""
    from pathlib import Path

    path = Path(name)
    if not path.parent.is_dir():
        return f"There is no folder {path.parent} either."
    try:
        names = [item.name for item in path.parent.iterdir() if item.is_file() and not item.name.startswith(".")]
    except OSError:
        return "Check the name."
    near = nearest(path.name, names)
    return f"Did you mean {path.parent / near}?" if near else _files_in(path.parent)


def _files_in(name: str | os.PathLike[str]) -> str:
    from pathlib import Path

    folder = Path(name)
    try:
        names = sorted(item.name for item in folder.iterdir() if item.suffix in (".yaml", ".csv"))
    except OSError:
        return "Give a file."
    return f"{folder} holds {', '.join(names[:6])}." if names else f"{folder} holds no .yaml or .csv file."
