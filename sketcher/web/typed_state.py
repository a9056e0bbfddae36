"""What the page shows of what is typed: fields, the hull's place, what was refused and what is doubted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from sketcher.analysis.findings import Finding
from sketcher.analysis.hull.form import HullForm
from sketcher.model.hull import Hull
from sketcher.model.measurement_checks import Problem
from sketcher.outputs.tables.comparison import Comparison


@dataclass(frozen=True, slots=True)
class RefusedText:
    """What was typed in a field and could not be taken, and why."""

    text: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HullJudgement:
    """What is known of a hull's measurements. problem: what keeps them from being a hull; refused: why no surface comes of them.

    form: her surfaces, effects: what they do to the layout; None until they are worked out, or where there are none.
    """

    hull: Hull
    findings: tuple[Finding, ...]
    problem: Problem | None = None
    refused: str = ""
    form: HullForm | None = None
    effects: Comparison | None = None


@dataclass(frozen=True, slots=True)
class Doubt:
    """A number that is probably wrong. likely: what to type instead; short: how it may have come about; words: the sentence."""

    likely: str
    short: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldRow:
    """A field of the selected object: its key in the file, the word for it, and its text as the file would have it.

    options: what there is to choose from, where it is a choice; suggestions: words that may be typed besides a figure; hint:
    what may be typed.
    """

    key: str
    word: str
    text: str
    options: tuple[str, ...] = ()
    suggestions: tuple[str, ...] = ()
    hint: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HullState:
    """The hull's place. refused: what could not be taken, doubts: what is probably wrong, both by the field's key.

    judged: of the hull as it stands, None until that is known; whole, parts: the fields of the hull and of her parts;
    chosen: the station that is worked on; lines: her drawings, as SVG by name; traced: a
    picture that sections are traced on.
    """

    hull: Hull
    file: str
    refused: Mapping[str, RefusedText]
    doubts: Mapping[str, Doubt]
    judged: HullJudgement | None
    whole: tuple[FieldRow, ...]
    parts: Mapping[str, tuple[FieldRow, ...]]
    chosen: int
    lines: Mapping[str, str]
    traced: TracedPicture


@dataclass(frozen=True, slots=True)
class TracedPicture:
    """A picture that sections are traced on. next: what is clicked or typed next, in words; known: what was typed of two points.

    overlay: her sections over it, as SVG; nothing where there is no picture.
    """

    next: str
    known: tuple[tuple[str, str], ...]
    overlay: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GapRow:
    """A place where the gap round a board is read, by its number from 1 on that board.

    at: right and up on the pattern; planned, read, moved: the gap by the hull's measurements, as read, and how far out the edge
    went by that [m], None before it is read.
    """

    board: str
    number: int
    at: tuple[float, float]
    to: Literal["hull", "deck"]
    planned: float
    read: float | None = None
    moved: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardDoubt:
    """Where a board's edge is known worst by `count` gaps: at, right and up, within so much [m], 19 times in 20.

    read: whether they have been read, else they are those to read first. then: the number of the gap to read next, None: none.
    """

    board: str
    count: int
    at: tuple[float, float]
    within: float
    read: bool
    then: int | None
