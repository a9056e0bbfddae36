"""What a page asks to change besides dragging: typed values, names, things added, copied and taken out."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from sketcher.analysis.spaces.drag.name_tracking import point_inside
from sketcher.model.edits.actions import Add, Duplicate, NameCompartment, Rename, SetSceneValue
from sketcher.model.edits.deletion import Delete
from sketcher.model.edits.typed_input import read_typed, typed
from sketcher.model.errors import SketchError
from sketcher.model.fields.kinds import write_text
from sketcher.model.fields.reading import Field
from sketcher.model.fields.scene_fields import BLOCK_BY_KEY, SCENE_FIELD_BY_KEY
from sketcher.model.lookup import fresh_name
from sketcher.model.scene import FromPanel
from sketcher.model.units import format_length
from sketcher.web.logic.drag.grips import BLOCK_OF
from sketcher.web.logic.new_objects import Point, placed
from sketcher.web.logic.session import Session
from sketcher.web.state import FieldRow, ObjectRef, object_ref

COPY_SHIFT = 0.1
"""A copy stands this far from its original [m], so that it is seen."""
ELSEWHERE = ("joints",)
"""Fields that are typed elsewhere on the page: joints beside the pattern that they cut."""
UNMOVED_COPIES = ("berths", "stringers")


@dataclass
class Editing:
    """Changes to the session's scene; each gives back the part that should be selected after it, None to keep what is."""

    session: Session

    def item(self, part: ObjectRef) -> Any | None:
        """What a part is in the scene; None where it is not there, and for the waterline."""
        items = () if part.kind == "waterline" else getattr(self.session.scene, BLOCK_BY_KEY[BLOCK_OF[part.kind]].key)
        return next((item for item in items if item.name == part.name), None)

    def rows(self, part: ObjectRef | None) -> tuple[FieldRow, ...]:
        """The fields of a part, as they may be typed."""
        if part is None:
            return ()
        if part.kind == "waterline":
            return (
                _scene_row(self.session, "waterline"),
                _scene_row(self.session, "centre_of_gravity"),
                _scene_row(self.session, "water"),
            )
        item = self.item(part)
        if item is None:
            return ()
        block = BLOCK_BY_KEY[BLOCK_OF[part.kind]]
        return tuple(self._row(field, getattr(item, field.attribute)) for field in block.fields if field.key not in ELSEWHERE)

    def _row(self, field: Field, value: Any) -> FieldRow:
        scene = self.session.scene
        text = "" if value is None else field.kind.write(value, scene.units)
        text = _tie_words(value, scene.units) if isinstance(value, FromPanel) else text[1:-1] if _is_row(text) else text
        ties = tuple(item.name for block in field.ties for item in getattr(scene, block))
        words = tuple(dict.fromkeys((*field.kind.options, *ties)))
        free = bool(field.ties) or field.kind.unit == "length"
        return FieldRow(
            key=field.key,
            word=field.words + {"length": f", {scene.units}", "": ""}.get(field.kind.unit, f", {field.kind.unit}"),
            text=text.strip('"'),
            options=() if free else words,
            suggestions=words if free else (),
        )

    def set(self, part: ObjectRef, key: str, text: str) -> None:
        """A typed value. Raises SketchError where the text is none."""
        if part.kind == "waterline":
            field = SCENE_FIELD_BY_KEY.get(key)
            if field is None:
                raise SketchError(f"the water has no `{key}`")
            self.session.do(SetSceneValue(key, read_typed(field, _as_block(key, text), self.session.scene.units, key)))
            return
        self.session.do(typed(self.session.scene, BLOCK_OF[part.kind], part.name, key, self._as_row(part, key, text)))

    def _as_row(self, part: ObjectRef, key: str, text: str) -> str:
        """What is typed for a row of values, with its brackets: the page shows them without."""
        scene, block = self.session.scene, BLOCK_BY_KEY[BLOCK_OF[part.kind]]
        field = next((field for field in block.fields if field.key == key), None)
        item = next((item for item in getattr(scene, block.key) if item.name == part.name), None)
        value = None if field is None or item is None else getattr(item, field.attribute)
        if field is None or not text.strip() or text.lstrip()[0] in "[{":
            return text
        if block.key == "bulkheads" and key == "at" and (tied := _as_tie(text, [other.name for other in scene.bulkheads])):
            return tied
        if value is None:
            # Nothing written yet tells whether a row is meant: it is where the text is no value as it stands.
            return f"[{text.strip()}]" if ", " in text and not _reads(field, text, scene.units) else text
        was = field.kind.write(value, scene.units)
        # A comma without a space may be a decimal one; words in an empty row need none.
        return f"[{text.strip()}]" if _is_row(was) and (", " in text or was == "[]") else text

    def rename(self, part: ObjectRef, name: str) -> ObjectRef | None:
        if part.kind == "compartment" and not self._is_named(part.name):
            return self.name_space(part, name, "void")
        done = self.session.do(Rename(BLOCK_OF[part.kind], part.name, name.strip()))
        return ObjectRef(part.kind, name.strip()) if done else None

    def name_space(self, part: ObjectRef, name: str, use: str) -> ObjectRef | None:
        """Give a compartment found in the layout a name and a use. Raises SketchError where it is gone."""
        space = next((space for space in self.session.evaluation.layout.compartments if space.name == part.name), None)
        if space is None:
            raise SketchError(f"there is no compartment called `{part.name}` any more")
        done = self.session.do(NameCompartment(name.strip(), point_inside(space), use))
        return ObjectRef("compartment", name.strip()) if done else None

    def _is_named(self, name: str) -> bool:
        return any(space.name == name for space in self.session.scene.compartments)

    def duplicate(self, part: ObjectRef) -> ObjectRef | None:
        block = BLOCK_OF[part.kind]
        name = fresh_name(self.session.scene, block, part.name)
        done = self.session.do(Duplicate(block, part.name, name, 0.0 if block in UNMOVED_COPIES else COPY_SHIFT))
        return ObjectRef(part.kind, name) if done else None

    def delete(self, part: ObjectRef, *, free: bool) -> str:
        """Take a part out; why not, where others are tied to it and are not to be freed."""
        edit = Delete(BLOCK_OF[part.kind], part.name, free)
        try:
            edit.apply(self.session.scene)
        except SketchError as problem:
            if free:
                raise
            return problem.message
        self.session.do(edit)
        return ""

    def add(self, kind: str, at: Point, on: ObjectRef | None) -> ObjectRef | None:
        """A new thing where the owner points. Raises SketchError where it cannot go there."""
        item = placed(self.session.evaluation, kind, at, on)
        return object_ref(f"{kind}/{item.name}") if self.session.do(Add(item)) else None


def _scene_row(session: Session, key: str) -> FieldRow:
    scene, field = session.scene, SCENE_FIELD_BY_KEY[key]
    value = getattr(scene, field.attribute)
    text = "" if value is None else field.kind.write(value, scene.units).strip("{}").removeprefix("height: ")
    unit = f", {scene.units}" if key != "water" else ""
    hint = "One height, or forward: …, after: …, or bow freeboard: …, stern freeboard: …" if key == "waterline" else ""
    return FieldRow(key=key, word=field.words + unit, text=text.replace("_", " "), hint=hint)


def _reads(field: Field, text: str, units: str) -> bool:
    try:
        read_typed(field, text, units)
    except SketchError:
        return False
    return True


def _is_row(text: str) -> bool:
    """Whether a written value is one row of values."""
    return text.startswith("[") and text.endswith("]") and "[" not in text[1:]


def _tie_words(at: FromPanel, units: str) -> str:
    """A bulkhead's place so far from another as it may be typed: `main - 700`."""
    return f"{at.panel} {'-' if at.distance < 0.0 else '+'} {format_length(abs(at.distance), units)}"


def _as_tie(text: str, names: list[str]) -> str:
    """A bulkhead's place so far from another, typed as `main - 700` or without its braces, as the file says it; else ""."""
    text = text.strip()
    if text.startswith("from:"):
        return f"{{{text}}}"
    for name in sorted(names, key=len, reverse=True):
        match = re.fullmatch(r"\s*([+-])\s*(\S.*)", text.removeprefix(name)) if text.startswith(name) else None
        if match is not None:
            return f"{{from: {write_text(name)}, distance: {match[1].strip('+')}{match[2]}}}"
    return ""


def _as_block(key: str, text: str) -> str:
    """What is typed for a block of keys, with its braces and the file's words; a bare centre of gravity with its key."""
    text = re.sub(r"\b(bow|stern) freeboard", r"\1_freeboard", text.strip().strip("{}"))
    if key == "centre_of_gravity" and ":" not in text:
        return f"{{height: {text}}}"
    return f"{{{text}}}" if ":" in text else text
