"""Values in the words of one reader: every length in the unit that reader measures in, in fractions that a tape has."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from math import ceil, floor
from typing import Any

from sketcher.analysis.findings import Angle, Area, Length, Mass, Phrase, Place, Share, Volume
from sketcher.model.units import format_length, tape_step
from sketcher.outputs.wording.quantities import (
    area,
    area_unit,
    counted,
    force_unit,
    length,
    length_with_unit,
    mass_number,
    mass_unit,
    plain,
    pressure_number,
    pressure_unit,
)

Sentence = Callable[..., str]
"""Words from values: takes a `Say` and, by name, the values of a `Phrase` or a finding."""

FINE = 0.02
"""[m] Below this, lengths in millimetres are said to a tenth where that matters."""


@dataclass(frozen=True)
class Say:
    """Puts values in words. unit: mm, cm, m, in or ft; sentences: by code."""

    unit: str
    sentences: Mapping[str, Sentence] = field(repr=False)

    def __call__(self, value: Length | Area | Volume | Mass | Angle | Share | Place | Phrase) -> str:
        """Any value with a dimension, or a phrase.

        >>> say = Say("in", {})
        >>> say(Length(0.3048)), say(Volume(0.0123)), say(Mass(12.4)), say(Place((1.27, -0.254, 0.0)))
        ('12 in', '12.3 litres', '27 lb', '50 in aft, 10 in to port, 0 in up')
        """
        match value:
            case Length(metres):
                return self._length(metres)
            case Area(square_metres):
                return f"{area(square_metres, self.unit)} {area_unit(self.unit)}"
            case Volume(cubic_metres):
                small = cubic_metres < 1e-4
                return f"{cubic_metres * 1e6:.2g} ml" if small else f"{cubic_metres * 1000:.1f} litres"
            case Mass(kilograms):
                return f"{mass_number(kilograms, self.unit)} {mass_unit(self.unit)}"
            case Angle(degrees):
                return f"{plain(degrees, 0)}°"
            case Share(of_one):
                return f"{plain(100 * of_one, 0)} %"
            case Place((x, y, z)):
                side = "on the centreline" if abs(y) < 5e-4 else f"{self(Length(abs(y)))} to {'starboard' if y > 0 else 'port'}"
                return f"{self(Length(x))} aft, {side}, {self(Length(z))} up"
            case Phrase(code, values):
                return self.sentence(code, values)

    def _length(self, metres: float) -> str:
        value = metres * 1000
        fine = self.unit == "mm" and abs(metres) < FINE and abs(value - round(value)) >= 0.05
        return f"{value:.1f} mm" if fine else length_with_unit(metres, self.unit)

    def force(self, push: Mass) -> str:
        """A push that is known by the mass which weighs as much.

        >>> Say("mm", {}).force(Mass(326.4))
        '326 kgf'
        """
        return f"{mass_number(push.kilograms, self.unit)} {force_unit(self.unit)}"

    def pressure(self, kilopascals: float) -> str:
        """A pressure with its unit."""
        return f"{pressure_number(1000.0 * kilopascals, self.unit)} {pressure_unit(self.unit)}"

    def whole(self, value: Length | Volume) -> str:
        """A length without tenths of millimetres, or a volume in whole litres."""
        if isinstance(value, Volume):
            return f"{plain(1000 * value.cubic_metres, 0)} litres"
        return length_with_unit(value.metres, self.unit)

    def enough(self, value: Length) -> str:
        """A length rounded up to what stands on a tape: how far to move what has to go so far at the least.

        >>> Say("mm", {}).enough(Length(0.0172)), Say("in", {}).enough(Length(0.0172))
        ('18 mm', '11/16 in')
        """
        step = tape_step(self.unit)
        return length_with_unit(ceil(value.metres / step - 1e-6) * step, self.unit)

    def amount(self, value: Length | Volume | Mass | Angle | Share | int) -> str:
        """A figure that a limit is set for, to the digit that a limit is written with.

        >>> say = Say("mm", {})
        >>> say.amount(Volume(0.6123)), say.amount(Angle(1.26)), say.amount(Share(0.1349)), say.amount(3)
        ('612 litres', '1.3°', '13.5 %', '3')
        """
        match value:
            case Volume():
                return self.whole(value)
            case Angle(degrees):
                return f"{plain(degrees, 1)}°"
            case Share(of_one):
                return f"{plain(100.0 * of_one, 1)} %"
            case int():
                return str(value)
        return self(value)

    def long(self, value: Length, *, at_most: bool = False) -> str:
        """A length as rope and chain are told: in metres, or in feet where a tape of inches is used; at_most: rounded down.

        >>> Say("mm", {}).long(Length(45)), Say("in", {}).long(Length(45)), Say("in", {}).long(Length(45), at_most=True)
        ('45 m', '148 ft', '147 ft')
        """
        unit, size = ("ft", 0.3048) if self.unit in ("in", "ft") else ("m", 1.0)
        return f"{floor(value.metres / size) if at_most else plain(value.metres / size, 0)} {unit}"

    def between(self, least: Length, most: Length) -> str:
        """From one length to another, the unit said once.

        >>> Say("mm", {}).between(Length(0.15), Length(0.2)), Say("in", {}).between(Length(0.15), Length(0.2))
        ('150 to 200 mm', '5 7/8 to 7 7/8 in')
        """
        return f"{length(least.metres, self.unit)} to {length_with_unit(most.metres, self.unit)}"

    def number(self, value: Length) -> str:
        """A length as its file has it, without the unit: to the last decimal, or in a tape's fractions of an inch.

        >>> Say("mm", {}).number(Length(0.4805)), Say("in", {}).number(Length(0.4826))
        ('480.5', '19')
        """
        return length(value.metres, self.unit) if self.unit in ("in", "ft") else format_length(value.metres, self.unit)

    def written(self, value: Length) -> str:
        """A length as its file has it, with the unit."""
        return self.number(value) if self.unit == "ft" else f"{self.number(value)} {self.unit}"

    def sentence(self, code: str, values: Mapping[str, Any]) -> str:
        """What a code and its values say. Raises KeyError for a code without a sentence, TypeError where values do not fit it."""
        return self.sentences[code](self, **values)

    def all(self, phrases: Iterable[Phrase]) -> str:
        """Phrases after each other, a space between."""
        return " ".join(self(each) for each in phrases)


def listed(names: Sequence[str], word: str = "and") -> str:
    """Names in a row.

    >>> listed(["A", "B", "C"]), listed(["A", "B"], "or"), listed(["A"]), listed([])
    ('A, B and C', 'A or B', 'A', '')
    """
    return f" {word} ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else list(names))


def unseen(count: int, slip: str) -> str:
    """How many numbers could be wrong unseen, and by how much.

    >>> unseen(12, "50 mm")
    '12 numbers could be 50 mm wrong and not be noticed'
    """
    return f"{counted(count, 'number')} could be {slip} wrong and not be noticed"


def measure_again(numbers: Sequence[str]) -> str:
    """Which of them to measure again first; all, where none is named.

    >>> measure_again(["height 1", "height 2"]), measure_again([])
    ('Measure these 2 again first: height 1 and height 2.', 'Measure them twice.')
    """
    which = f"these {len(numbers)} again" if len(numbers) > 1 else "this again"
    return f"Measure {which} first: {listed(numbers)}." if numbers else "Measure them twice."
