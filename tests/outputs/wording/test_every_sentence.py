"""Every sentence, made of specimens of its values, speaks to each reader in that reader's unit of length and in no other.

Runs of rope, chain and cleat are told in metres where the reader measures in millimetres, in feet where in inches.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Callable, Iterator, Sequence
from inspect import signature
from itertools import product
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

import pytest
from places import CODE

from sketcher.analysis.findings import Angle, Area, Length, Mass, Phrase, Place, Share, Volume
from sketcher.model.units import UNITS
from sketcher.outputs.wording.kinds import SEVERAL, sentence_parts
from sketcher.outputs.wording.say import Say, Sentence
from sketcher.outputs.wording.sentences import SENTENCES

ANALYSIS = CODE / "analysis"

COUNTS = (1, 7)
LONG = {"mm": "m", "cm": "m", "in": "ft"}
METRIC = {"mm": "436", "cm": "43.6", "m": "0.436"}
"""How the long specimen begins in a metric reader's number, with or without a unit behind it."""

SPECIMENS: dict[Any, tuple[object, ...]] = {
    Length: (Length(0.4361), Length(-0.0123)),
    Area: (Area(0.1234),),
    Volume: (Volume(0.0123), Volume(2e-5)),
    Mass: (Mass(12.4), Mass(0.0)),
    Angle: (Angle(12.3), Angle(-0.2)),
    Share: (Share(0.55),),
    Place: (Place((0.4361, -0.4361, 0.4361)), Place((0.4361, 0.0, 0.4361))),
    Phrase: (Phrase("specimen", {"length": Length(0.4361)}),),
    str: ("Fore locker", "after locker"),
    int: COUNTS,
    float: (7.0,),
    bool: (True, False),
    NoneType: (None,),
}
"""Values of each dimension. A word that is one of a few is annotated `Literal`, and comes as each of them."""

UNIT = r"(?<![\d.])(\d[\d./ ]*?)[ -]?(mm|cm|m|in|ft|millimetres?|centimetres?|metres?|inch(?:es)?|feet|foot)\b(?![²³])"
HARD = re.compile(
    r"hangs on end\b|\bproved?\b|best turn|going below|\bin all\b|reckon|\bruled\b|fingerprint|\bby hand\b", re.IGNORECASE
)
ALONE = r"(?<!g/)(?<!sq )\b(mm|cm|m|ft)\b(?![²³])"
MARK = r"\d ?[\"″'′](?!s\b)"
AREA = r"(?<!g/)m²|sq ft"


def specimen(say: Say, length: Length) -> str:
    return f"a thing {say(length)} long"


def reader(unit: str) -> Say:
    return Say(unit, {**SENTENCES, "specimen": specimen})


def specimens(annotation: Any) -> tuple[object, ...]:
    """Values for a parameter by its annotation. Raises KeyError for one that no value is known of."""
    origin, inner = get_origin(annotation), get_args(annotation)
    if origin is Literal:
        return inner
    if origin in (Union, UnionType):
        return tuple(value for each in inner for value in specimens(each))
    if origin is Sequence:
        values = specimens(inner[0])
        return ((values[0], values[-1]),)
    if origin is tuple:
        return (tuple(specimens(each)[0] for each in inner if each is not Ellipsis),)
    return SPECIMENS[annotation]


def said(sentence: Sentence, say: Say) -> Iterator[str]:
    """The sentence for every combination of its parameters' specimens."""
    hints = get_type_hints(sentence)
    names = list(signature(sentence).parameters)[1:]
    for values in product(*(specimens(hints[name]) for name in names)):
        yield sentence(say, **dict(zip(names, values, strict=True)))


def faults(text: str, unit: str) -> list[str]:
    """What in a text is said in another unit of length than the reader's, or in inches that no tape has.

    What stands in backticks is quoted from a file. `in` is a unit only behind a number that is no count. Densities are in kg/m³,
    and cloth is sold by its g/m².
    """
    text = re.sub(r"`[^`]*`", "", text)
    counts, own = {str(count) for count in COUNTS}, {unit, LONG.get(unit, unit)}
    numbered = [(number.strip(), word) for number, word in re.findall(UNIT, text)]
    found = [f"{number} {word}" for number, word in numbered if word not in own and (word != "in" or number not in counts)]
    found += [word for word in re.findall(ALONE, text) if word not in own]
    found += [area for area in re.findall(AREA, text) if (area == "m²") == (unit in ("in", "ft"))]
    if unit != "ft":
        found += re.findall(MARK, text)
    if unit in ("in", "ft"):
        found += re.findall(r"\d\.\d+ ?(?:in\b|\"|')", text)
        found += [part for part in re.findall(r"\d/(\d+)", text) if part not in ("2", "4", "8", "16")]
    begins = [number for metric, number in METRIC.items() if metric != unit]
    found += [number for number in re.findall(r"(?<![\d.])\d+(?:\.\d+)?", text) if number.startswith(tuple(begins))]
    return found


@pytest.mark.property
@pytest.mark.parametrize("code", sorted(SENTENCES))
def test_every_sentence_is_in_the_readers_unit(code: str) -> None:
    """Whatever its values, it has words, and no unit of length but the reader's; inches come in a tape's fractions."""
    for unit in UNITS:
        for text in said(SENTENCES[code], reader(unit)):
            assert text
            assert (faults(text, unit), text) == ([], text)


@pytest.mark.property
@pytest.mark.parametrize("code", sorted(SENTENCES))
def test_no_sentence_has_a_word_that_few_owners_know(code: str) -> None:
    """Words that readers of another mother tongue asked about."""
    for text in said(SENTENCES[code], reader("mm")):
        assert HARD.search(text) is None


@pytest.mark.property
@pytest.mark.parametrize("code", sorted(SEVERAL))
def test_several_of_a_kind_are_told_in_the_readers_unit(code: str) -> None:
    """From the values that the sentence of one takes, the sentence of several speaks no other unit of length."""
    hints = get_type_hints(SENTENCES[code])
    values = {name: specimens(hints[name])[0] for name in list(signature(SENTENCES[code]).parameters)[1:]}
    for unit in UNITS:
        text = SEVERAL[code](reader(unit), [values, values])
        assert (faults(text, unit), text) == ([], text)


@pytest.mark.example
def test_a_message_is_parted_at_its_sentences_and_not_at_points_within() -> None:
    """A decimal point and a name with a small letter behind it end no sentence."""
    assert sentence_parts("It is 1.5 m. so to say. It lifts. Raise it.") == ("It is 1.5 m. so to say.", "It lifts.", "Raise it.")


def hard_mm(say: Say, width: Length) -> str:
    return f"It is {width.metres * 1000:.0f} mm wide."


def hard_m(say: Say, width: Length) -> str:
    return f"It is {width.metres:.2f} m wide."


def hard_number(say: Say, width: Length) -> str:
    return f"Half-breadth {width.metres * 1000:.0f} is wrong."


def hard_in(say: Say, name: str) -> str:
    return f"Give {name} an opening of 5 7/8 in or more."


def decimals_of_inches(say: Say, width: Length) -> str:
    return f"It is {width.metres / 0.0254:.2f} in wide."


def unit_alone(say: Say, name: str) -> str:
    return f"Give the width of {name} in mm."


def feet_marks(say: Say, name: str) -> str:
    return f"{name} needs 6'2 3/8\" of room."


def of_one_sort(say: Say, kind: Literal["lid", "shelf"]) -> str:
    return {"lid": "It is a lid.", "shelf": "It is 300 millimetres deep."}[kind]


def odd_fraction(say: Say, name: str) -> str:
    return f"{name} is {'3/10 in' if say.unit == 'in' else say(Length(0.00762))} thick."


def in_square_metres(say: Say, area: Area) -> str:
    return f"{area.square_metres:.2f} m² of ply"


@pytest.mark.example
@pytest.mark.parametrize(
    ("sentence", "wrong_for"),
    [
        (hard_mm, "cm m in ft"),
        (hard_m, "in ft"),
        (hard_number, "cm m in ft"),
        (hard_in, "mm cm m ft"),
        (decimals_of_inches, "mm cm m in ft"),
        (unit_alone, "cm m in ft"),
        (feet_marks, "mm cm m in"),
        (of_one_sort, "mm cm m in ft"),
        (odd_fraction, "in"),
        (in_square_metres, "in ft"),
        (specimen, ""),
    ],
)
def test_a_unit_of_the_sentences_own_is_found(sentence: Callable[..., str], wrong_for: str) -> None:
    """A hard-coded unit, a bare number in one, decimals of inches: each is found for every reader that it is wrong for."""
    wrong = [unit for unit in UNITS if any(faults(text, unit) for text in said(sentence, reader(unit)))]
    assert wrong == wrong_for.split()


@pytest.mark.example
@pytest.mark.parametrize(
    "text",
    [
        "It is 1 in a row.",
        "See `thickness: 12 mm`.",
        "Chain of 40 kg/m³.",
        "Three of 7 in the bow's 12 litres.",
        "the boat's 2 ends",
    ],
)
def test_what_is_no_length_is_let_be(text: str) -> None:
    """A count before the word in, a key quoted from a file, a density."""
    assert [faults(text, unit) for unit in UNITS] == [[]] * len(UNITS)


def made() -> Iterator[tuple[str, int, str, frozenset[str] | None]]:
    """Each code that the analysis says by name, where, and the names of its values; None where they are put together apart."""
    for path in sorted(ANALYSIS.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Name) or node.func.id not in ("Finding", "Phrase"):
                continue
            given = {word.arg: word.value for word in node.keywords}
            given |= dict(zip(("code", "values"), node.args, strict=False))
            code = given.get("code")
            if isinstance(code, ast.Constant) and "message" not in given:
                yield path.name, node.lineno, str(code.value), _names(given.get("values"))


def _names(values: ast.expr | None) -> frozenset[str] | None:
    if values is None:
        return frozenset()
    keys = values.keys if isinstance(values, ast.Dict) else [None]
    return frozenset(key.value for key in keys if isinstance(key, ast.Constant)) if None not in keys else None


@pytest.mark.example
def test_every_code_has_its_sentence_and_the_values_it_needs() -> None:
    """What the analysis says by name has a sentence, whose parameters are called as the values are."""
    wrong = []
    for file, line, code, names in made():
        needed = frozenset(list(signature(SENTENCES[code]).parameters)[1:]) if code in SENTENCES else None
        if needed is None or names not in (None, needed):
            wrong.append(f"{file}:{line} {code}")
    assert wrong == []
