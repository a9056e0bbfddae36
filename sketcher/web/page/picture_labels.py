"""What lies over the picture: names beside compartments, the handles of what is selected, the corner for a drag's figures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from sketcher.geometry.caching import remembered
from sketcher.geometry.mesh import Floats
from sketcher.outputs.scene3d.boat_shapes import BoatShapes
from sketcher.outputs.scene3d.camera import Camera
from sketcher.outputs.scene3d.lettering.visible_spaces import VisibleSpaces, visible_spaces
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.outputs.wording.known_spaces import known_spaces
from sketcher.web.logic.drag.handles import handles_of
from sketcher.web.logic.workspace import Workspace
from sketcher.web.state import WHOLE, Corner, Handle, HandlePlace, Label
from sketcher.web.view.clearance import span_of
from sketcher.web.view.handle_marks import apart, in_picture
from sketcher.web.view.handles import clear_corner, spot_in_sight
from sketcher.web.view.labels import HANDLE_REACH, boat_labels, box_of, worked_on_spans

_spot_in_sight = remembered(1)(spot_in_sight)


@dataclass(eq=False, repr=False)
class PictureLabels:
    """corner: where a drag's figures stand; it stays, as the names do, until it must change."""

    workspace: Workspace
    corner: Corner = "right"
    _last: tuple[Label, ...] = ()
    _seen_there: dict[ObjectRef, Floats | None] = field(default_factory=dict)
    _visible: VisibleSpaces | None = None
    _seen_in: tuple[BoatShapes, Camera, tuple[int, int]] | None = None

    def labels(self, lines: int = 0) -> tuple[Label, ...]:
        """The names over the picture, if they are wanted. lines: of a drag's figures, which get their corner too."""
        workspace, settings = self.workspace, self.workspace.view_settings
        drag = workspace.drag
        if not settings.shows_boat:
            # Where only drawings are seen: the corner away from the pointer.
            self.corner = "left" if drag.at[0] > workspace.sheet.size[0] / 2 else "right"
            return ()
        selected, seen = workspace.selection.selected, (settings.camera, settings.size)
        held = selected if drag.object_drag is None else drag.object_drag.grip.ref
        worked_on = worked_on_spans(workspace.drawn_boat(), held, self.handles(), *seen)
        if lines:
            if not drag.on_paper:
                worked_on.append(span_of(np.array([settings.pixels(drag.at)]), HANDLE_REACH))
            self.corner, figures = clear_corner(settings.size, lines, worked_on, self.corner)
            worked_on.append(figures)
        if not settings.look.names:
            return ()
        damaged = workspace.damaged()
        water_in = {} if damaged is None else damaged.water_in
        places = self._seen(water_in)
        self._last = boat_labels(
            workspace.shown,
            settings.look,
            *seen,
            water_in,
            selected,
            worked_on,
            self._last,
            not workspace.resting,
            places,
            self._visible if workspace.resting else None,
        )
        return self._last

    def _seen(self, water_in: Mapping[str, float | None]) -> Mapping[ObjectRef, Floats | None]:
        """Where each compartment is seen, looked for afresh once nothing moves: a name belongs there and nowhere else."""
        workspace, settings = self.workspace, self.workspace.view_settings
        boat = workspace.drawn_boat()
        now = boat, settings.camera, settings.size
        if workspace.resting and self._seen_in != now:
            self._seen_in = now
            visible = visible_spaces(boat.shapes, settings.camera, settings.size, boat.planes)
            self._visible, self._seen_there = visible, {}
            for known in known_spaces(workspace.shown):
                if known.name in visible.names:
                    spot = visible.best_place(known.name, box_of(known, water_in))
                    point = None if spot is None else visible.point(spot, settings.camera, settings.size)
                    self._seen_there[ObjectRef("compartment", known.name)] = point
        return self._seen_there

    def handle_places(self) -> tuple[HandlePlace, ...]:
        """Where what is selected can be taken hold of; while the pointer is pressed only the place that it holds."""
        workspace = self.workspace
        selected, drag = workspace.selection.selected, workspace.drag
        if selected is None or workspace.placing.kind is not None or workspace.measuring.on:
            return ()
        if drag.mode != "none" and drag.held in ("", WHOLE):
            return ()
        places = (handle.place for handle in handles_of(workspace.shown, selected))
        return tuple(place for place in places if drag.mode == "none" or place.key == drag.held)

    def handles(self) -> tuple[Handle, ...]:
        """The handles of what is selected in the picture, that of the whole where it is in sight, if anywhere."""
        workspace, settings = self.workspace, self.workspace.view_settings
        if not settings.shows_boat:
            return ()
        places: list[HandlePlace] = []
        for place in self.handle_places():
            if place.key != WHOLE:
                places.append(place)
                continue
            assert workspace.selection.selected is not None
            spot = _spot_in_sight(workspace.drawn_boat(), workspace.selection.selected, settings.camera, settings.size)
            places.append(place if spot is None else replace(place, at=spot))
        return apart(in_picture(places, settings.camera, settings.size), 1.0)
