"""The two ways to keep an answer: by the values asked with (`remembered`), or with what it is about (`kept_with_owner`).

- `remembered`: for what is asked again with equal values, made anew or not. Meshes and outlines are read through each time.
- `kept_with_owner`: for what is asked again about the very same object (a mesh, a hull's form, a layout), as long as that lives.
- `functools.cache` serves a pure function of few values with few numbers or words for arguments, `cached_property` a figure of a
  dataclass that needs nothing else. `analysis/spaces/drag` keeps tables of its own, for its speed.
"""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from collections.abc import Callable, Hashable
from functools import wraps
from typing import Any, Concatenate, ParamSpec, TypeVar

import numpy as np
import shapely

from sketcher.geometry.mesh import TriMesh

_PLAIN = (str, bytes, int, float, type(None))
Owner = TypeVar("Owner")
P = ParamSpec("P")
R = TypeVar("R")


def remembered(
    most: int, ignore: tuple[str, ...] = (), whole: Callable[[Any], bool] = lambda _: True
) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Keep a pure function's last `most` answers. Arguments: meshes, arrays, outlines, rows of these, or hashable values.

    ignore: names of arguments that do not change the answer, given by name. whole: whether an answer may be kept. Answers are
    shared: what is given back must not be changed.
    """

    def keep(function: Callable[P, R]) -> Callable[P, R]:
        answers: OrderedDict[Hashable, tuple[R]] = OrderedDict()

        @wraps(function)
        def answer(*args: P.args, **kwargs: P.kwargs) -> R:
            key = [value_of(value) for value in args]
            key += [(name, value_of(value)) for name, value in sorted(kwargs.items()) if name not in ignore]
            asked = tuple(key)
            # Two threads may ask at once: at worst both work out the same.
            kept = answers.pop(asked, None)
            if kept is None:
                kept = (function(*args, **kwargs),)
            if whole(kept[0]):
                answers[asked] = kept
                while len(answers) > most:
                    answers.popitem(last=False)
            return kept[0]

        return answer

    return keep


def kept_with_owner(
    most: int,
) -> Callable[[Callable[Concatenate[Owner, P], R]], Callable[Concatenate[Owner, P], R]]:
    """Keep a pure function's last `most` answers in its first argument. Its other arguments must be hashable.

    The first argument is one without slots that does not change, such as a frozen dataclass.
    """

    def keep(function: Callable[Concatenate[Owner, P], R]) -> Callable[Concatenate[Owner, P], R]:
        place = f"answers of {function.__module__}.{function.__qualname__}"

        @wraps(function)
        def answer(owner: Owner, /, *args: P.args, **kwargs: P.kwargs) -> R:
            answers: OrderedDict[Hashable, tuple[R]] = vars(owner).setdefault(place, OrderedDict())
            asked = (args, tuple(kwargs.items()))
            kept = answers.get(asked)
            if kept is None:
                kept = answers[asked] = (function(owner, *args, **kwargs),)
                while len(answers) > most:
                    answers.popitem(last=False)
            return kept[0]

        return answer

    return keep


def value_of(thing: Any) -> Hashable:
    """The key of an argument: the numbers of meshes, arrays and outlines, else the thing itself."""
    if isinstance(thing, _PLAIN):
        return thing
    if isinstance(thing, TriMesh):
        return _digest(thing.vertices, thing.triangles, thing.labels)
    if isinstance(thing, np.ndarray):
        return _digest(thing)
    if isinstance(thing, shapely.Geometry):
        return bytes(shapely.to_wkb(thing))
    if isinstance(thing, list | tuple):
        return tuple([value_of(part) for part in thing])
    if not isinstance(thing, Hashable):
        raise TypeError(f"a {type(thing).__name__} cannot be remembered by its value")
    return thing


def _digest(*arrays: np.ndarray[Any, Any]) -> bytes:
    found = hashlib.blake2b(digest_size=16)
    for array in arrays:
        found.update(str((array.shape, array.dtype)).encode())
        found.update(np.ascontiguousarray(array).tobytes())
    return found.digest()
