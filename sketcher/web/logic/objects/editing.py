"""What a page asks to change besides dragging: typed values, names, objects added, copied and taken out."""

from __future__ import annotations

from dataclasses import dataclass

from sketcher.analysis.spaces.drag.name_tracking import point_inside
from sketcher.model.edits.actions import Duplicate, NameCompartment, Rename, SetSceneValue
from sketcher.model.edits.deletion import Delete
from sketcher.model.edits.typed_input import read_typed, typed
from sketcher.model.errors import SketchError
from sketcher.model.fields.scene_fields import SCENE_FIELD_BY_KEY
from sketcher.model.lookup import fresh_name
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.logic.objects.typed_fields import WATER_FIELDS, typed_object_value, typed_scene_value
from sketcher.web.logic.objects.water_fields import MARK_KEYS, NOTHING_TYPED, WaterlineMarks, set_mark
from sketcher.web.logic.scene_objects import BLOCK_OF
from sketcher.web.logic.session import Session

COPY_SHIFT = 0.1
"""A copy stands this far from its original [m], so that it is seen."""
UNMOVED_COPIES = ("berths", "stringers")


@dataclass(eq=False, repr=False)
class ObjectEditor:
    """Edits of the session's scene; each that gives back an object means: select it; None: keep what is selected."""

    session: Session
    water_typed: WaterlineMarks = NOTHING_TYPED
    """What was typed of a waterline that is not stated yet."""

    def set(self, ref: ObjectRef, key: str, text: str) -> None:
        """Give a field of an object the value that was typed. Raises SketchError where the text is none."""
        scene = self.session.scene
        if ref.kind != "waterline":
            self.session.do(typed(scene, BLOCK_OF[ref.kind], ref.name, key, typed_object_value(scene, ref, key, text)))
            return
        if key in MARK_KEYS:
            self.water_typed = set_mark(self.session, self.water_typed, key, text)
            return
        field = SCENE_FIELD_BY_KEY[key] if key in WATER_FIELDS else None
        if field is None:
            raise SketchError(f"the water has no `{key}`")
        left_out = key == "centre_of_gravity" and not text.strip()
        value = None if left_out else read_typed(field, typed_scene_value(key, text), scene.units, key)
        self.session.do(SetSceneValue(key, value))

    def rename(self, ref: ObjectRef, name: str) -> ObjectRef | None:
        """Give an object another name; a compartment that has none of the owner's is named."""
        if ref.kind == "compartment" and not any(space.name == ref.name for space in self.session.scene.compartments):
            return self.name_compartment(ref, name, "void")
        done = self.session.do(Rename(BLOCK_OF[ref.kind], ref.name, name.strip()))
        return ObjectRef(ref.kind, name.strip()) if done else None

    def name_compartment(self, ref: ObjectRef, name: str, use: str) -> ObjectRef | None:
        """Give a compartment found in the layout a name and a use. Raises SketchError where it is gone."""
        space = next((space for space in self.session.evaluation.layout.compartments if space.name == ref.name), None)
        if space is None:
            raise SketchError(f"there is no compartment called `{ref.name}` any more")
        done = self.session.do(NameCompartment(name.strip(), point_inside(space), use))
        return ObjectRef("compartment", name.strip()) if done else None

    def duplicate(self, ref: ObjectRef) -> ObjectRef | None:
        """Put a copy beside an object, under a name of its own."""
        block = BLOCK_OF[ref.kind]
        name = fresh_name(self.session.scene, block, ref.name)
        done = self.session.do(Duplicate(block, ref.name, name, 0.0 if block in UNMOVED_COPIES else COPY_SHIFT))
        return ObjectRef(ref.kind, name) if done else None

    def delete(self, ref: ObjectRef, *, free: bool) -> str:
        """Take an object out; why not, where others are tied to it and are not to be freed."""
        edit = Delete(BLOCK_OF[ref.kind], ref.name, free)
        try:
            edit.apply(self.session.scene)
        except SketchError as problem:
            if free:
                raise
            return problem.message
        self.session.do(edit)
        return ""
