"""The keys of a refit in steps: `stages` names them, `stage` says with which an object comes."""

from __future__ import annotations

from sketcher.model.fields import kinds
from sketcher.model.fields.kinds import text
from sketcher.model.fields.reading import Field, Item, Kind
from sketcher.model.scene import RefitStage

MOST_STAGES = 9
_EXPECTED = f"a whole number, 1 to {MOST_STAGES}"
_NAMES = "the stages' names by number, {1: this winter, 2: next year}"

STAGE = Field("stage", "stage", kinds.whole(_EXPECTED, 1, MOST_STAGES))


def _read(item: Item) -> tuple[RefitStage, ...]:
    return tuple(sorted((_one(key.text, value) for key, value in item.entries(_NAMES)), key=lambda stage: stage.number))


def _one(key: str, value: Item) -> RefitStage:
    if not key.isascii() or not key.isdigit() or not 1 <= int(key) <= MOST_STAGES:
        raise value.error(f"`{key}` is no stage's number", f"Write {_EXPECTED}.")
    return RefitStage(int(key), text.read(value))


STAGES = Kind(
    _read, lambda value, units: "{" + ", ".join(f"{stage.number}: {text.write(stage.name, units)}" for stage in value) + "}"
)
