"""The picture: surfaces and strokes drawn by VTK without a screen. Nothing here knows what a compartment is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
import vtkmodules.vtkRenderingOpenGL2  # noqa: F401  registers the renderer's classes
from vtkmodules.util import numpy_support
from vtkmodules.vtkCommonCore import vtkPoints, vtkUnsignedCharArray
from vtkmodules.vtkCommonDataModel import vtkCellArray, vtkPlane, vtkPolyData
from vtkmodules.vtkRenderingCore import vtkActor, vtkPolyDataMapper, vtkRenderer, vtkRenderWindow

from sketcher.geometry.mesh import Floats, Ints, bounds_of
from sketcher.outputs.scene3d.camera import Camera
from sketcher.outputs.scene3d.shapes import CutPlane, Cutter, Shapes, Strokes, Surface, parted_by_kind
from sketcher.web.view.changed_box import Differing, moved_box
from sketcher.web.view.encoded_picture import Part, Picture, Pixels

to_vtk: Any = numpy_support.numpy_to_vtk
to_vtk_ids: Any = numpy_support.numpy_to_vtkIdTypeArray
from_vtk: Any = numpy_support.vtk_to_numpy
MOVING_QUALITY, STILL_QUALITY = 78, 90
"""JPEG quality while things move, and of a picture that stays."""


@dataclass
class Shown:
    """An actor and the shape it shows, so that an unchanged one is not sent to the graphics card again."""

    actor: Any
    data: Any
    shape: Surface | Strokes | None = None


def cells_of(indices: Ints) -> Any:
    """A VTK cell array of equal cells from an (m, k) array of point numbers."""
    cells = vtkCellArray()
    cells.SetData(indices.shape[1], to_vtk_ids(np.ascontiguousarray(indices, dtype=np.int64).ravel(), deep=True))
    return cells


def points_of(points: Floats) -> Any:
    stored = vtkPoints()
    stored.SetData(to_vtk(np.ascontiguousarray(points, dtype=np.float32), deep=True))
    return stored


def colours_of(colours: Pixels) -> Any:
    """A VTK array of colours (n, 3) in bytes."""
    return to_vtk(np.ascontiguousarray(colours), deep=True)


@dataclass
class Stage:
    """One off-screen window. Use it from one thread only: its graphics context belongs to the thread that made it.

    While the eye stands still only that part of a moving picture is drawn in which something changed.
    """

    background: tuple[float, float, float]
    size: tuple[int, int] = (900, 500)
    _surfaces: dict[str, Shown] = field(default_factory=dict, repr=False)
    _strokes: dict[str, Shown] = field(default_factory=dict, repr=False)

    def __post_init__(self) -> None:
        self._window = vtkRenderWindow()
        self._window.SetOffScreenRendering(1)
        self._window.SetMultiSamples(0)
        self._window.SetSize(*self.size)
        self._renderer = vtkRenderer()
        self._renderer.SetBackground(*self.background)
        # Veils laid over each other as they come look the same here, in a fifth less time.
        self._renderer.SetUseOIT(False)
        self._window.AddRenderer(self._renderer)
        self._planes: tuple[vtkPlane, ...] = ()
        self._cuts: tuple[CutPlane, ...] = ()
        self._camera: Camera | None = None
        self._drawn: Pixels | None = None
        self._drawn_from: tuple[object, ...] = ()
        self._touched: list[Floats] = []
        self._cutters: Mapping[str, Cutter] = {}

    def resize(self, size: tuple[int, int]) -> None:
        if size != self.size:
            self.size = size
            self._window.SetSize(*size)

    def show(self, shapes: Shapes) -> None:
        """Bring the actors in line with the shapes; only what changed is built anew."""
        differing = Differing(moved_box(self._cutters, shapes.cutters))
        self._cutters = shapes.cutters
        for store, wanted in ((self._surfaces, shapes.surfaces), (self._strokes, shapes.strokes)):
            for key in [key for key in store if key not in wanted]:
                gone = store.pop(key)
                self._touch(gone.shape)
                self._renderer.RemoveActor(gone.actor)
        for key, surface in shapes.surfaces.items():
            self._place(self._surfaces, key, surface, differing)
        for key, strokes in shapes.strokes.items():
            self._place(self._strokes, key, strokes, differing)

    def _place(self, store: dict[str, Shown], key: str, shape: Surface | Strokes, differing: Differing) -> None:
        shown = store.get(key)
        if shown is None:
            shown = store[key] = self._new_actor()
        before = shown.shape
        if before is None or shape.source is None or before.source != shape.source:
            part = None if before is None else differing.boxes(before, shape)
            if part is not None:
                self._touched.append(part)
            else:
                self._touch(before)
                self._touch(shape)
            shown.shape = shape
            self._fill(shown, shape)

    def _touch(self, shape: Surface | Strokes | None) -> None:
        """Where a shape is, or was, is to be drawn anew."""
        if shape is not None and len(shape.points):
            self._touched.append(np.stack(bounds_of(shape.points))[None])

    def _new_actor(self) -> Shown:
        data, mapper, actor = vtkPolyData(), vtkPolyDataMapper(), vtkActor()
        mapper.SetInputDataObject(data)
        mapper.SetResolveCoincidentTopologyToPolygonOffset()
        for plane in self._planes:
            mapper.AddClippingPlane(plane)
        actor.SetMapper(mapper)
        self._renderer.AddActor(actor)
        return Shown(actor, data)

    def _fill(self, shown: Shown, shape: Surface | Strokes) -> None:
        look = shown.actor.GetProperty()
        if isinstance(shape, Surface):
            self._fill_surface(shown, shape)
            look.SetFrontfaceCulling(shape.culling == "front")
            look.SetBackfaceCulling(shape.culling == "back")
            look.SetInterpolationToFlat()
            look.SetAmbient(0.42)
            look.SetDiffuse(0.62)
        else:
            shown.data.SetPoints(points_of(shape.points))
            shown.data.SetLines(cells_of(shape.segments))
            look.SetColor(*(part / 255 for part in shape.colour))
            look.SetLineWidth(shape.width)
            look.LightingOff()
            shown.actor.GetMapper().SetRelativeCoincidentTopologyLineOffsetParameters(0.0, LINE_LIFT)
        look.SetOpacity(shape.opacity)
        shown.data.Modified()

    def _fill_surface(self, shown: Shown, surface: Surface) -> None:
        """Colours by point where they can be: by triangle they take a fifth more of a picture's time."""
        data, points, triangles, colours = shown.data, surface.points, surface.triangles, surface.colours
        of_points, of_triangles = None, None
        if surface.kinds is not None:
            point, kind, triangles = parted_by_kind(triangles, surface.kinds, len(points), len(colours))
            points, of_points = points[point], colours_of(colours[kind])
        elif len(colours) == 1:
            shown.actor.GetProperty().SetColor(*(colours[0] / 255.0))
        else:
            of_triangles = colours_of(colours)
        data.SetPoints(points_of(points))
        data.SetPolys(cells_of(triangles))
        data.GetPointData().SetScalars(of_points)
        data.GetCellData().SetScalars(of_triangles)

    def cut(self, planes: tuple[CutPlane, ...]) -> None:
        """Take away what lies behind each plane, given as (a point on it, the normal towards what is kept)."""
        if planes == self._cuts:
            return
        self._cuts = planes
        self._planes = tuple(vtkPlane() for _ in planes)
        for plane, (origin, normal) in zip(self._planes, planes, strict=True):
            plane.SetOrigin(*origin)
            plane.SetNormal(*normal)
        for shown in (*self._surfaces.values(), *self._strokes.values()):
            mapper = shown.actor.GetMapper()
            mapper.RemoveAllClippingPlanes()
            for plane in self._planes:
                mapper.AddClippingPlane(plane)

    def look_from(self, camera: Camera) -> None:
        """Stand the eye."""
        self._camera = camera
        self._aim(camera)

    def _aim(self, camera: Camera) -> None:
        _, up, eye = camera.axes()
        lens = self._renderer.GetActiveCamera()
        centre = np.array(camera.centre)
        lens.ParallelProjectionOn()
        lens.SetFocalPoint(*centre)
        lens.SetPosition(*(centre + eye * EYE_DISTANCE))
        lens.SetViewUp(*up)
        lens.SetParallelScale(camera.height / 2)
        lens.SetClippingRange(EYE_DISTANCE - SEEN_DEPTH, EYE_DISTANCE + SEEN_DEPTH)

    def pixels(self, enlarged: int = 1) -> Pixels:
        """Render and read the picture (h, w, 3); `enlarged` times the size for a picture that stays."""
        width, height = self.size[0] * enlarged, self.size[1] * enlarged
        if enlarged != 1:
            self._window.SetSize(width, height)
            self._widen(enlarged)
        self._window.Render()
        raw = vtkUnsignedCharArray()
        self._window.GetPixelData(0, 0, width - 1, height - 1, 1, raw, 0)
        if enlarged != 1:
            self._window.SetSize(*self.size)
            self._widen(1 / enlarged)
        read: Pixels = from_vtk(raw).reshape(height, width, 3)[::-1]
        return read

    def _widen(self, times: float) -> None:
        """Lines as much wider as the picture is larger."""
        for shown in self._strokes.values():
            look = shown.actor.GetProperty()
            look.SetLineWidth(look.GetLineWidth() * times)

    def moving_picture(self) -> Picture:
        """The picture as it is; of one seen from the same place as the last, only what changed is drawn."""
        changed = None
        if self._drawn is None or self._seen_from() != self._drawn_from:
            self._drawn, self._drawn_from = self.pixels().copy(), self._seen_from()
        else:
            changed = self._touched_pixels()
            self._draw_part(self._drawn, changed)
        self._touched.clear()
        return Picture(self._drawn.copy(), MOVING_QUALITY, changed)

    def _seen_from(self) -> tuple[object, ...]:
        return self._camera, self.size, self._cuts

    def _touched_pixels(self) -> Part:
        """The part of the picture in which something may have changed: left, top, right and bottom; maybe nothing."""
        assert self._camera is not None
        width, height = self.size
        if not any(len(boxes) for boxes in self._touched):
            return 0, 0, 0, 0
        low, high = np.concatenate(self._touched).swapaxes(0, 1)
        corners = np.concatenate([np.where(pick, high, low) for pick in np.ndindex(2, 2, 2)])
        across, down, _ = self._camera.project(corners, self.size).T
        left, top = max(int(across.min()) - BESIDE, 0), max(int(down.min()) - BESIDE, 0)
        return left, top, min(int(across.max()) + BESIDE + 1, width), min(int(down.max()) + BESIDE + 1, height)

    def _draw_part(self, drawn: Pixels, part: Part) -> None:
        """Draw a part of the picture anew, in place, and what is beside it: a line whose middle is outside is not drawn."""
        assert self._camera is not None
        left, top, right, bottom = part
        if right <= left or bottom <= top:
            return
        width, height = self.size
        first, last = max(left - BESIDE, 0), min(right + BESIDE, width)
        above, below = max(top - BESIDE, 0), min(bottom + BESIDE, height)
        middle = (width / 2 - (first + last) / 2, height / 2 - (above + below) / 2)
        self._aim(replace(self._camera.panned(middle, self.size), height=self._camera.height * (below - above) / height))
        self._renderer.SetViewport(first / width, 1 - below / height, last / width, 1 - above / height)
        self._window.Render()
        raw = vtkUnsignedCharArray()
        self._window.GetPixelData(left, height - bottom, right - 1, height - top - 1, 1, raw, 0)
        drawn[top:bottom, left:right] = from_vtk(raw).reshape(bottom - top, right - left, 3)[::-1]
        self._renderer.SetViewport(0, 0, 1, 1)
        self._aim(self._camera)

    def still_picture(self) -> Picture:
        """Twice the size, brought back to the window's by averaging: smooth edges without the cost of multisampling."""
        if self._seen_from() != self._drawn_from:
            self._drawn = None
        return Picture(halved(self.pixels(2)), STILL_QUALITY)


SEEN_DEPTH = 40.0
"""What lies this far before and behind the centre is drawn [m]: any small boat, however she is panned."""
BESIDE = 3
"""Pixels beside what changed that are drawn with it, and beside these again: more than half the width of any line."""
LINE_LIFT = -5.0
"""In 1/65 000 of the depth that is seen: some millimetres by which a line is drawn before the surface it lies on."""
EYE_DISTANCE = 60.0
"""From the eye to the centre of the picture [m]: beyond any small boat; in a parallel projection it changes nothing else."""


def halved(pixels: Pixels) -> Pixels:
    """The mean of each two by two pixels."""
    height, width = pixels.shape[0] // 2, pixels.shape[1] // 2
    blocks = pixels[: height * 2, : width * 2].reshape(height, 2, width, 2, 3).astype(np.uint16)
    mean: Pixels = (blocks.sum(axis=(1, 3)) // 4).astype(np.uint8)
    return mean
