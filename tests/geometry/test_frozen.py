"""The quick frozen dataclass behaves as the standard library's, class by class."""

import copy
import dataclasses
import pickle
from collections.abc import Callable
from typing import Any

import pytest

from sketcher.geometry import frozen

pytestmark = pytest.mark.property
quick: Any = frozen.dataclass
plain: Any = dataclasses.dataclass


def board(declare: Any, **how: Any) -> Any:
    """A class with a required field, one with a default, one made afresh and one worked out, declared by either library."""

    class Board:
        """A board."""

        name: str
        thickness: float = 0.012
        holes: list[str] = dataclasses.field(default_factory=list, repr=False)
        area: float = dataclasses.field(init=False)

        def __post_init__(self) -> None:
            object.__setattr__(self, "area", 2.0 * self.thickness)

    return declare(frozen=True, **how)(Board)


def point(declare: Any, **how: Any) -> Any:
    class Point:
        """A point."""

        x: float
        y: float = 0.0

    return declare(frozen=True, **how)(Point)


@quick(frozen=True, slots=True)
class Kept:
    """A class that can be found by its name, as pickling needs."""

    x: float
    y: float = 0.0


@pytest.mark.parametrize("how", [{}, {"slots": True}, {"eq": False}, {"slots": True, "kw_only": True}])
def test_values_defaults_and_words_are_the_same(how: dict[str, bool]) -> None:
    """Required, default, made and worked-out fields, and how an instance prints."""
    ours, theirs = board(quick, **how), board(plain, **how)
    for named in ({"name": "main"}, {"name": "main", "thickness": 0.018, "holes": ["port"]}):
        a, b = ours(**named), theirs(**named)
        assert dataclasses.asdict(a) == dataclasses.asdict(b)
        assert repr(a) == repr(b)
        assert dataclasses.asdict(dataclasses.replace(a, name="new")) == dataclasses.asdict(dataclasses.replace(b, name="new"))
    assert [field.name for field in dataclasses.fields(ours)] == [field.name for field in dataclasses.fields(theirs)]
    assert ours(name="one").holes is not ours(name="two").holes


@pytest.mark.parametrize("declare", [quick, plain], ids=["quick", "plain"])
def test_equal_values_are_equal_and_hash_alike(declare: Any) -> None:
    """Equality and hash go by value within one class; with `eq` off by identity."""
    kind, other = point(declare), point(declare)
    assert kind(1.0, 2.0) == kind(1.0, y=2.0)
    assert hash(kind(1.0, 2.0)) == hash(kind(1.0, 2.0))
    assert kind(1.0) != kind(2.0)
    assert kind(1.0) != other(1.0)
    lone = point(declare, eq=False)
    assert lone(1.0) != lone(1.0)


@pytest.mark.parametrize("declare", [quick, plain], ids=["quick", "plain"])
@pytest.mark.parametrize("slots", [False, True])
def test_nothing_can_be_changed(declare: Any, slots: bool) -> None:
    """Assigning and deleting are refused with the standard library's own error."""
    made = point(declare, slots=slots)(1.0)
    with pytest.raises(dataclasses.FrozenInstanceError, match="cannot assign to field 'x'"):
        made.x = 2.0
    with pytest.raises(dataclasses.FrozenInstanceError, match="cannot delete field 'x'"):
        del made.x


@pytest.mark.parametrize("declare", [quick, plain], ids=["quick", "plain"])
@pytest.mark.parametrize(
    "wrong",
    [lambda kind: kind(), lambda kind: kind(1.0, 2.0, 3.0), lambda kind: kind(1.0, x=2.0), lambda kind: kind(1.0, z=2.0)],
    ids=["none", "too many", "twice", "unknown"],
)
def test_wrong_values_are_refused(declare: Any, wrong: Callable[[Any], object]) -> None:
    """A missing, surplus, repeated or unknown value is a TypeError that names the class or the field."""
    with pytest.raises(TypeError, match=r"Point|'[xz]'"):
        wrong(point(declare))


def test_positions_end_where_names_are_asked_for() -> None:
    """With `kw_only` a value without its name is refused."""
    with pytest.raises(TypeError, match="takes 0 values without their names, not 1"):
        point(quick, kw_only=True)(1.0)


def test_copies_and_pickles_come_back_equal() -> None:
    """Copying and pickling, with slots and without."""
    made = Kept(1.0, 2.0)
    assert copy.copy(made) == copy.deepcopy(made) == pickle.loads(pickle.dumps(made)) == made
    kind = point(quick)
    assert copy.deepcopy(kind(3.0)) == kind(3.0)


def test_a_class_that_may_change_is_not_made() -> None:
    """Only frozen classes are declared this way."""
    with pytest.raises(ValueError, match="standard library's dataclass"):
        quick(frozen=False)
