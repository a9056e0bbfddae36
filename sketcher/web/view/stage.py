"""The picture: surfaces and strokes drawn by VTK without a screen. Nothing here knows what a compartment is."""

from __future__ import annotations

import io
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import vtkmodules.vtkRenderingOpenGL2  # noqa: F401  registers the renderer's classes
from numpy.typing import NDArray
from PIL import Image
from vtkmodules.util import numpy_support
from vtkmodules.vtkCommonCore import vtkPoints, vtkUnsignedCharArray
from vtkmodules.vtkCommonDataModel import vtkCellArray, vtkPlane, vtkPolyData
from vtkmodules.vtkRenderingCore import vtkActor, vtkPolyDataMapper, vtkRenderer, vtkRenderWindow

from sketcher.geometry.mesh import Floats, Ints
from sketcher.web.view.camera import Camera
from sketcher.web.view.shapes import Shapes, Strokes, Surface

Pixels = NDArray[np.uint8]
to_vtk: Any = numpy_support.numpy_to_vtk
to_vtk_ids: Any = numpy_support.numpy_to_vtkIdTypeArray
from_vtk: Any = numpy_support.vtk_to_numpy
MOVING_QUALITY, STILL_QUALITY = 78, 90
"""JPEG quality while things move, and of a picture that stays."""


@dataclass
class Shown:
    """An actor and what it was made from, so that an unchanged shape is not sent to the graphics card again."""

    actor: Any
    data: Any
    source: object = None


def cells_of(indices: Ints) -> Any:
    """A VTK cell array of equal cells from an (m, k) array of point numbers."""
    cells = vtkCellArray()
    offsets = np.arange(0, indices.size + 1, indices.shape[1], dtype=np.int64)
    cells.SetData(to_vtk_ids(offsets, deep=True), to_vtk_ids(indices.astype(np.int64).ravel(), deep=True))
    return cells


def points_of(points: Floats) -> Any:
    stored = vtkPoints()
    stored.SetData(to_vtk(np.ascontiguousarray(points, dtype=np.float32), deep=True))
    return stored


def encode(pixels: Pixels, quality: int) -> bytes:
    """Pixels (h, w, 3) as a JPEG."""
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "JPEG", quality=quality)
    return out.getvalue()


@dataclass
class Stage:
    """One off-screen window. Use it from one thread only: its graphics context belongs to the thread that made it."""

    background: tuple[float, float, float]
    size: tuple[int, int] = (900, 500)
    _surfaces: dict[str, Shown] = field(default_factory=dict)
    _strokes: dict[str, Shown] = field(default_factory=dict)

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

    def resize(self, size: tuple[int, int]) -> None:
        if size != self.size:
            self.size = size
            self._window.SetSize(*size)

    def show(self, shapes: Shapes) -> None:
        """Bring the actors in line with the shapes; only what changed is built anew."""
        for store, wanted in ((self._surfaces, shapes.surfaces), (self._strokes, shapes.strokes)):
            for key in [key for key in store if key not in wanted]:
                self._renderer.RemoveActor(store.pop(key).actor)
        for key, surface in shapes.surfaces.items():
            self._place(self._surfaces, key, surface)
        for key, strokes in shapes.strokes.items():
            self._place(self._strokes, key, strokes)

    def _place(self, store: dict[str, Shown], key: str, shape: Surface | Strokes) -> None:
        shown = store.get(key)
        if shown is None:
            shown = store[key] = self._new_actor()
        if shape.source is None or shown.source != shape.source:
            shown.source = shape.source
            self._fill(shown, shape)

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
        shown.data.SetPoints(points_of(shape.points))
        look = shown.actor.GetProperty()
        if isinstance(shape, Surface):
            shown.data.SetPolys(cells_of(shape.triangles))
            shown.data.GetCellData().SetScalars(to_vtk(np.ascontiguousarray(shape.colours), deep=True))
            look.SetFrontfaceCulling(shape.culling == "front")
            look.SetBackfaceCulling(shape.culling == "back")
            look.SetInterpolationToFlat()
            look.SetAmbient(0.42)
            look.SetDiffuse(0.62)
        else:
            shown.data.SetLines(cells_of(shape.segments))
            look.SetColor(*(part / 255 for part in shape.colour))
            look.SetLineWidth(shape.width)
            look.LightingOff()
            shown.actor.GetMapper().SetRelativeCoincidentTopologyLineOffsetParameters(0.0, LINE_LIFT)
        look.SetOpacity(shape.opacity)
        shown.data.Modified()

    def cut(self, planes: tuple[tuple[tuple[float, float, float], tuple[float, float, float]], ...]) -> None:
        """Take away what lies behind each plane, given as (a point on it, the normal towards what is kept)."""
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

    def moving_picture(self) -> bytes:
        return encode(self.pixels(), MOVING_QUALITY)

    def still_picture(self) -> bytes:
        """Twice the size, brought back to the window's by averaging: smooth edges without the cost of multisampling."""
        return encode(halved(self.pixels(2)), STILL_QUALITY)

    def close(self) -> None:
        self._window.Finalize()


SEEN_DEPTH = 40.0
"""What lies this far before and behind the centre is drawn [m]: any small boat, however she is panned."""
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
