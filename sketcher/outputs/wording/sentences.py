"""Findings, reasons and remedies in words: one sentence for each code, in the reader's unit."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from inspect import getmembers, isfunction
from types import ModuleType

from sketcher.analysis.findings import Finding, Phrase
from sketcher.outputs.wording import (
    build_words,
    contents_words,
    fit_words,
    floating_words,
    hazard_words,
    leaks_words,
    spaces_words,
    survey_words,
)
from sketcher.outputs.wording.cut import board_words, joint_words, purchase_words
from sketcher.outputs.wording.say import Say, Sentence

ROOMS: tuple[ModuleType, ...] = (
    board_words,
    build_words,
    contents_words,
    fit_words,
    floating_words,
    hazard_words,
    joint_words,
    leaks_words,
    purchase_words,
    spaces_words,
    survey_words,
)
"""Modules of sentences: each public function made there says one code, its name being the code's with `_` for `-`."""


def sentences_of(rooms: tuple[ModuleType, ...]) -> dict[str, Sentence]:
    """Every room's sentences by code. Raises ValueError for a code that two rooms say."""
    by_code: dict[str, Sentence] = {}
    for room in rooms:
        for name, function in getmembers(room, isfunction):
            if function.__module__ != room.__name__ or name.startswith("_"):
                continue
            code = name.replace("_", "-")
            if code in by_code:
                raise ValueError(f"two sentences for {code}")
            by_code[code] = function
    return by_code


SENTENCES: Mapping[str, Sentence] = sentences_of(ROOMS)


@cache
def in_unit(unit: str) -> Say:
    """Words for a reader who measures in mm, cm, m, in or ft."""
    return Say(unit, SENTENCES)


def message(finding: Finding, unit: str = "mm") -> str:
    """What a finding says: what, where, by how much and what to do."""
    return in_unit(unit).sentence(finding.code, finding.values)


def words(phrase: Phrase, unit: str = "mm") -> str:
    """What a phrase says."""
    return in_unit(unit)(phrase)


def capitalized(text: str) -> str:
    """A sentence with a capital at its beginning, the rest as it is."""
    return text[:1].upper() + text[1:]
