"""Who is tied to whom by name: found from the fields' table, checked when a scene is read or edited."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from sketcher.model.errors import SketchError, nearest, quoted
from sketcher.model.fields.reading import Field
from sketcher.model.fields.records import RESERVED, Block
from sketcher.model.fields.scene_fields import BLOCKS
from sketcher.model.scene import HOUSES, FromPanel, Scene


@dataclass(frozen=True, slots=True)
class Tie:
    """An object that names another in one of its fields."""

    block: Block
    name: str
    field: Field
    target: str

    @property
    def words(self) -> str:
        """Such as `tank top lid (from)`."""
        return f"{called(self.name, self.block.word)} ({self.field.key})"


def called(name: str, word: str) -> str:
    """An object in words: `collision bulkhead`, but `vee berth` and not `vee berth berth`."""
    return name if name.casefold().endswith(word) else f"{name} {word}"


def names_in(value: Any) -> tuple[str, ...]:
    """The names that a field's value ties to."""
    if isinstance(value, FromPanel):
        return (value.panel,)
    if isinstance(value, str):
        return () if value in RESERVED else (value,)
    if isinstance(value, tuple):
        return tuple(name for part in value for name in names_in(part))
    return ()


def renamed_in(value: Any, old: str, new: str) -> Any:
    """A field's value with one name in it replaced."""
    if isinstance(value, FromPanel):
        return FromPanel(new if value.panel == old else value.panel, value.distance)
    if isinstance(value, tuple):
        return tuple(renamed_in(part, old, new) for part in value)
    return new if isinstance(value, str) and value == old else value


def ties_of(scene: Scene) -> Iterator[Tie]:
    """Every tie of a scene, in the file's order."""
    for block in BLOCKS:
        tied = [field for field in block.fields if field.ties]
        for item in getattr(scene, block.key):
            for field in tied:
                if field.key == "through" and item.face is not None:
                    continue
                for target in names_in(getattr(item, field.attribute)):
                    yield Tie(block, item.name, field, target)


def ties_to(scene: Scene, key: str, name: str) -> tuple[Tie, ...]:
    """The ties that name the object `name` of the block `key`."""
    return tuple(tie for tie in ties_of(scene) if tie.target == name and key in tie.field.ties)


def check_ties(scene: Scene) -> None:
    """Raises SketchError for a panel's name used twice, a tie to what is not there or of a wrong kind, and a ring of ties.

    The error's key is the tie's path, e.g. `lids.tank top.from`.
    """
    words = _panel_words(scene)
    names = {block.key: [item.name for item in getattr(scene, block.key)] for block in BLOCKS}
    following: dict[str, list[Tie]] = {}
    for tie in ties_of(scene):
        if "compartments" in tie.field.ties:
            # Spaces are found once panels stand, named or not.
            continue
        _check_target(tie, names, words)
        if tie.block.panel:
            following.setdefault(tie.name, []).append(tie)
    _check_rings(following)
    _check_limits(scene, names)


def _check_limits(scene: Scene, names: dict[str, list[str]]) -> None:
    """Raises SketchError for a limit of what is not there, unless it may be a space, which only the layout knows."""
    for limit in scene.limits:
        blocks = limit.about.of
        if limit.of is None or "compartments" in blocks or any(limit.of in names[key] for key in blocks):
            continue
        fitting = [name for key in blocks for name in names[key]]
        words = " or ".join(block.word for block in BLOCKS if block.key in blocks)
        near = nearest(limit.of, fitting)
        known = f"Known here: {', '.join(fitting[:8])}." if fitting else f"There is no {words} yet."
        raise SketchError(
            f"there is no {words} called `{quoted(limit.of)}`",
            f"Did you mean `{near}`?" if near else known,
            key=f"limits.{limit.name}.of",
        )


def _panel_words(scene: Scene) -> dict[str, str]:
    """What each panel is, by name. Raises SketchError where two share a name."""
    words: dict[str, str] = {}
    for block in BLOCKS:
        if not block.panel:
            continue
        for item in getattr(scene, block.key):
            if item.name in words:
                raise SketchError(
                    f"a {block.word} and a {words[item.name]} are both called `{item.name}`",
                    "Rename one of them: ties name panels, so each needs a name of its own.",
                    key=f"{block.key}.{item.name}",
                )
            words[item.name] = block.word
    return words


def _check_target(tie: Tie, names: dict[str, list[str]], words: dict[str, str]) -> None:
    fitting = [name for key in tie.field.ties for name in names[key]]
    if tie.target in fitting:
        return
    kinds = " or ".join(block.word for block in BLOCKS if block.key in tie.field.ties)
    key = f"{tie.block.key}.{tie.name}.{tie.field.key}"
    if tie.target in words:
        message = f"`{tie.target}` is a {words[tie.target]}; this takes a {kinds}"
    else:
        message = f"there is no {kinds} called `{quoted(tie.target)}`"
    if tie.target in HOUSES and tie.field.key == "through":
        remedy = f"Say which `face` of the {tie.target} it is in: forward, aft, port or starboard."
        raise SketchError(f"no `face` of the {tie.target} is given", remedy, key=key)
    near = nearest(tie.target, [*fitting, *RESERVED[:4]])
    instead = "write a distance instead" if tie.field.kind.unit == "length" else f"add the {kinds} first"
    known = f"Known here: {', '.join(fitting[:8])}." if fitting else f"There is no {kinds} yet: {instead}."
    raise SketchError(message, f"Did you mean `{near}`?" if near else known, key=key)


def _check_rings(following: dict[str, list[Tie]]) -> None:
    """Raises SketchError where panels are tied to each other in a ring, naming the whole ring."""
    done: set[str] = set()
    for first in following:
        path: list[Tie] = []
        depth = {first: 0}
        waiting = [iter(following[first])] if first not in done else []
        while waiting:
            tie = next(waiting[-1], None)
            if tie is None:
                waiting.pop()
                name = path.pop().target if path else first
                del depth[name]
                done.add(name)
            elif tie.target in depth:
                raise _ring([*path[depth[tie.target] :], tie])
            elif tie.target not in done:
                path.append(tie)
                depth[tie.target] = len(path)
                waiting.append(iter(following.get(tie.target, [])))


def _ring(ties: list[Tie]) -> SketchError:
    steps = ", ".join(f"`{tie.name}` by its `{tie.field.key}` to `{tie.target}`" for tie in ties)
    first = ties[0]
    return SketchError(
        f"panels are tied to each other in a ring: {steps}",
        "Give one of these a distance or a height instead of a name.",
        key=f"{first.block.key}.{first.name}.{first.field.key}",
    )
