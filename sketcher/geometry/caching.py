"""Answers kept by the values they were asked with: meshes and outlines count as equal when their numbers are."""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from collections.abc import Callable, Hashable
from functools import wraps
from typing import Any, ParamSpec, TypeVar

import numpy as np
import shapely

from sketcher.geometry.mesh import TriMesh

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
        answers: OrderedDict[Hashable, R] = OrderedDict()

        @wraps(function)
        def answer(*args: P.args, **kwargs: P.kwargs) -> R:
            named = {name: value for name, value in kwargs.items() if name not in ignore}
            key = (value_of(args), value_of(tuple(sorted(named.items()))))
            if key in answers:
                answers.move_to_end(key)
                return answers[key]
            found = function(*args, **kwargs)
            if not whole(found):
                return found
            answers[key] = found
            while len(answers) > most:
                answers.popitem(last=False)
            return found

        return answer

    return keep


def value_of(thing: Any) -> Hashable:
    """What tells two arguments apart: the numbers of meshes, arrays and outlines, else the thing itself."""
    if isinstance(thing, TriMesh):
        return _digest(thing.vertices, thing.triangles, thing.labels)
    if isinstance(thing, np.ndarray):
        return _digest(thing)
    if isinstance(thing, shapely.Geometry):
        return bytes(shapely.to_wkb(thing))
    if isinstance(thing, list | tuple):
        return tuple(value_of(part) for part in thing)
    if not isinstance(thing, Hashable):
        raise TypeError(f"a {type(thing).__name__} cannot be remembered by its value")
    return thing


def _digest(*arrays: np.ndarray[Any, Any]) -> bytes:
    found = hashlib.blake2b(digest_size=16)
    for array in arrays:
        found.update(str((array.shape, array.dtype)).encode())
        found.update(np.ascontiguousarray(array).tobytes())
    return found.digest()
