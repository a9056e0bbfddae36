"""A sequence that is worked out only when it is first looked at."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cached_property
from typing import Generic, TypeVar, overload

T = TypeVar("T")


class LazySequence(Sequence[T], Generic[T]):
    """Stands for the tuple that `make` gives, and equals it; `make` is called once, at the first look.

    >>> pairs = LazySequence(lambda: (("a", "b"),))
    >>> len(pairs), pairs[0], pairs == (("a", "b"),)
    (1, ('a', 'b'), True)
    """

    def __init__(self, make: Callable[[], tuple[T, ...]]) -> None:
        self._make = make

    @cached_property
    def _made(self) -> tuple[T, ...]:
        made = self._make()
        del self._make
        return made

    @overload
    def __getitem__(self, index: int) -> T: ...
    @overload
    def __getitem__(self, index: slice) -> tuple[T, ...]: ...
    def __getitem__(self, index: int | slice) -> T | tuple[T, ...]:
        return self._made[index]

    def __len__(self) -> int:
        return len(self._made)

    def __iter__(self) -> Iterator[T]:
        return iter(self._made)

    def __eq__(self, other: object) -> bool:
        return self._made == (other._made if isinstance(other, LazySequence) else other)

    def __hash__(self) -> int:
        return hash(self._made)

    def __repr__(self) -> str:
        return repr(self._made)
