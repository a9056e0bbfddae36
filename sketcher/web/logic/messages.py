"""Messages from a page, each value checked before anything is done with it: a page may be anyone's."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, TypeVar

from sketcher.outputs.scene3d.objects import ObjectRef, object_ref

Choice = TypeVar("Choice", bound=str)
LONGEST_TEXT = 400
"""Characters: longer than any name, number or path that the page asks for."""

MOST_REFS = 20
"""Objects under one spot that a page may name: more are not clicked through."""


class BadMessageError(ValueError):
    """A message that the sketch's own page would not send."""


@dataclass(frozen=True, slots=True)
class MessageFields:
    """The values of one message, by name. Every method raises BadMessageError where the value is not of its kind."""

    values: dict[str, Any]

    def text(self, name: str, default: str | None = None) -> str:
        """A text no longer than any that the page asks for."""
        value = self.values.get(name, default)
        if not isinstance(value, str) or len(value) > LONGEST_TEXT:
            raise BadMessageError(f"{name} is no text")
        return value

    def number(self, name: str, low: float = -1e6, high: float = 1e6) -> float:
        """A finite number, brought within limits; text that spells one counts."""
        value = self.values.get(name)
        try:
            number = float(value) if isinstance(value, int | float | str) and not isinstance(value, bool) else math.nan
        except (ValueError, OverflowError):
            number = math.nan
        if not math.isfinite(number):
            raise BadMessageError(f"{name} is no number")
        return min(max(number, low), high)

    def flag(self, name: str) -> bool:
        """Whether it is true."""
        return self.values.get(name) is True

    def pair(self, name: str, low: float = -1e6, high: float = 1e6) -> tuple[float, float]:
        """Two numbers, brought within limits."""
        value = self.values.get(name)
        if not isinstance(value, list) or len(value) != 2:
            raise BadMessageError(f"{name} is no pair")
        first, second = (MessageFields({name: each}).number(name, low, high) for each in value)
        return first, second

    def word(self, name: str) -> str:
        """A word to compare with known ones; anything else is no word."""
        value = self.values.get(name)
        return value if isinstance(value, str) else ""

    def choice(self, name: str, among: tuple[Choice, ...]) -> Choice:
        """One of the words that there are."""
        value = self.values.get(name)
        for known in among:
            if value == known:
                return known
        raise BadMessageError(f"{name} is none of {', '.join(among)}")

    def object_ref(self, name: str = "part") -> ObjectRef | None:
        """The object that a word of the page's markup names; None where none is named."""
        value = self.values.get(name)
        return object_ref(value) if isinstance(value, str) and len(value) <= LONGEST_TEXT else None

    def object_refs(self, name: str) -> tuple[ObjectRef, ...]:
        """The objects that a list of words names; what names none is left out."""
        values = self.values.get(name)
        words = values[:MOST_REFS] if isinstance(values, list) else []
        refs = (MessageFields({name: word}).object_ref(name) for word in words)
        return tuple(ref for ref in refs if ref is not None)
