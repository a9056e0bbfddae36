"""Surfaces and strokes drawn by pyvista without a screen, for the page and for files alike.

VTK is called where pyvista has no call: to fill an actor that is there already, to read a picture's pixels, and to mark the
water on walls. Nothing here knows what a compartment is.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pyvista
from numpy.typing import NDArray
from vtkmodules.util import numpy_support
from vtkmodules.vtkCommonCore import vtkFloatArray, vtkIdTypeArray, vtkPoints, vtkUnsignedCharArray
from vtkmodules.vtkCommonDataModel import vtkCellArray, vtkPlane, vtkPolyData
from vtkmodules.vtkRenderingCore import vtkPolyDataMapper

from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.plane import Plane
from sketcher.outputs.palette import FLOODED, PAPER, WATER, channels
from sketcher.outputs.scene3d.camera import Camera
from sketcher.outputs.scene3d.shapes import Shapes, Strokes, Surface, WaterMarks, parted_by_kind

Pixels = NDArray[np.uint8]
from_vtk: Any = numpy_support.vtk_to_numpy
AMBIENT, DIFFUSE = 0.7, 0.32
"""How light a surface is turned away from the camera, and how much lighter turned towards it."""
SEEN_DEPTH = 40.0
"""What lies this far before and behind the centre is drawn [m]: any small boat, however she is panned."""
DEPTH_STEP = 2 * SEEN_DEPTH / 65536
"""[m] What lines are lifted towards the camera in."""
CAMERA_DISTANCE = 60.0
"""From the camera to the centre of the picture [m]: beyond any small boat; in a parallel projection it changes nothing else."""

PLACE_OUT = "//VTK::PositionVC::Dec\nout vec3 place;\n"
PLACE_SET = "//VTK::PositionVC::Impl\nplace = vertexMC.xyz;\n"
PLACE_IN = "//VTK::PositionVC::Dec\nin vec3 place;\n"
MARK = """//VTK::Light::Impl
float over = dot(place, water.xyz) - water.w;
float rise = fwidth(over);
if (over < 0.0) {
  if (pitch > 0.0) {
    float off = abs(over - pitch * round(over / pitch)) / max(rise, 1e-9);
    float line = 1.0 - smoothstep(0.5 * broad - 0.5, 0.5 * broad + 0.5, off);
    float apart = smoothstep(2.0 * broad, 3.5 * broad, pitch / max(rise, 1e-9));
    gl_FragData[0].rgb = mix(gl_FragData[0].rgb, ruled, 0.6 * line * apart);
  } else {
    gl_FragData[0].rgb = mix(gl_FragData[0].rgb, filled, 0.85);
  }
}
"""
"""What marks the water on a wall: lines a pitch apart below it, as wide everywhere; without a pitch its colour."""


@dataclass
class Shown:
    """An actor and the shape it shows, so that an unchanged one is not sent to the graphics card again."""

    actor: Any
    data: Any
    shape: Surface | Strokes | None = None
    look: tuple[object, ...] = ()


def _look_of(shape: Surface | Strokes) -> tuple[object, ...]:
    """All that an actor is told of a shape but its points and cells."""
    if isinstance(shape, Strokes):
        return shape.opacity, shape.colour, shape.width, shape.lift, shape.whole
    colour = shape.colours.tobytes() if len(shape.colours) == 1 else b""
    return shape.opacity, shape.culling, shape.lit, colour, shape.lift, shape.water, shape.whole


def cells_of(indices: Ints) -> Any:
    """A VTK cell array of equal cells from an (m, k) array of point numbers."""
    cells = vtkCellArray()
    cells.SetData(indices.shape[1], _over(vtkIdTypeArray(), np.ascontiguousarray(indices, dtype=np.int64)))
    return cells


def points_of(points: Floats) -> Any:
    stored, array = vtkPoints(), vtkFloatArray()
    array.SetNumberOfComponents(3)
    stored.SetData(_over(array, np.ascontiguousarray(points, dtype=np.float32)))
    return stored


def colours_of(colours: Pixels) -> Any:
    """A VTK array of colours (n, 3) in bytes."""
    array = vtkUnsignedCharArray()
    array.SetNumberOfComponents(3)
    return _over(array, np.ascontiguousarray(colours))


def _over(array: Any, numbers: NDArray[Any]) -> Any:
    """A VTK array that reads numbers where they are: they live as long as it. pyvista's own way takes twice the time."""
    array.SetVoidArray(numbers, numbers.size, 1)
    array.numbers = numbers
    return array


class Stage:
    """One off-screen window. Use it from one thread only: its graphics context belongs to the thread that made it."""

    def __init__(self, size: tuple[int, int]) -> None:
        self.size = size
        self.shown: dict[tuple[str, str], Shown] = {}
        self.planes: tuple[Plane, ...] = ()
        self.camera: Camera | None = None
        self._clipping: tuple[vtkPlane, ...] = ()
        self._plotter: Any = pyvista.Plotter(off_screen=True, window_size=list(size), lighting="none")
        self._plotter.set_background(PAPER)
        self._plotter.add_light(pyvista.Light(light_type="headlight"))
        self._plotter.enable_parallel_projection()
        self.renderer, self.window = self._plotter.renderer, self._plotter.render_window
        self.window.SetMultiSamples(0)
        # Translucent surfaces laid over each other as they come look the same here, in a fifth less time.
        self.renderer.SetUseOIT(False)

    def __del__(self) -> None:
        self.close()

    def close(self) -> None:
        """Give the window back, in the thread that made it."""
        self._plotter.close()

    def resize(self, size: tuple[int, int]) -> None:
        if size != self.size:
            self.size = size
            self.window.SetSize(*size)

    def show(self, shapes: Shapes) -> None:
        """Bring the actors in line with the shapes; only what changed is built anew."""
        wanted: dict[tuple[str, str], Surface | Strokes] = {("surface", key): shape for key, shape in shapes.surfaces.items()}
        wanted.update({("strokes", key): shape for key, shape in shapes.strokes.items()})
        for key in [key for key in self.shown if key not in wanted]:
            gone = self.shown.pop(key)
            self.changes(gone.shape, None)
            self._plotter.remove_actor(gone.actor, reset_camera=False, render=False)
        for key, shape in wanted.items():
            shown = self.shown.get(key) or self.shown.setdefault(key, self._new_actor())
            if shown.shape is None or shape.source is None or shown.shape.source != shape.source:
                self.changes(shown.shape, shape)
                shown.shape = shape
                self._fill(shown, shape)

    def changes(self, before: Surface | Strokes | None, after: Surface | Strokes | None) -> None:
        """Called for each shape that comes, goes or takes another's place."""

    def _new_actor(self) -> Shown:
        data, mapper, actor = vtkPolyData(), vtkPolyDataMapper(), pyvista.Actor()
        mapper.SetInputDataObject(data)
        mapper.SetResolveCoincidentTopologyToPolygonOffset()
        # Else places far from the middle of a shape would reach the water's marks moved and scaled.
        mapper.SetVBOShiftScaleMethod(0)
        actor.SetMapper(mapper)
        self._plotter.add_actor(actor, reset_camera=False, render=False)
        return Shown(actor, data)

    def _fill(self, shown: Shown, shape: Surface | Strokes) -> None:
        """Give an actor its shape. How it looks is stated only where that differs: each statement makes VTK look for shaders."""
        if isinstance(shape, Surface):
            self._fill_surface(shown, shape)
        else:
            shown.data.SetPoints(points_of(shape.points))
            shown.data.SetLines(cells_of(shape.segments))
        look = _look_of(shape)
        if look != shown.look:
            shown.look = look
            self._set_look(shown, shape)
            self._clip(shown)
        shown.data.Modified()

    def _set_look(self, shown: Shown, shape: Surface | Strokes) -> None:
        look = shown.actor.prop
        look.SetOpacity(shape.opacity)
        if isinstance(shape, Surface):
            look.culling = shape.culling
            look.interpolation = "flat"
            look.ambient, look.diffuse = (AMBIENT, DIFFUSE) if shape.lit else (1.0, 0.0)
            if len(shape.colours) == 1:
                look.SetColor(*(shape.colours[0] / 255.0))
            if shape.lift:
                _lift(shown.actor.GetShaderProperty(), shape.lift)
            else:
                _mark_water(shown.actor.GetShaderProperty(), shape.water)
        else:
            look.SetColor(*(part / 255 for part in shape.colour))
            look.SetLineWidth(shape.width)
            look.LightingOff()
            shown.actor.GetMapper().SetRelativeCoincidentTopologyLineOffsetParameters(0.0, -shape.lift / DEPTH_STEP)

    def _fill_surface(self, shown: Shown, surface: Surface) -> None:
        """Colours by point where they can be: by triangle they take a fifth more of a picture's time."""
        data, points, triangles, colours = shown.data, surface.points, surface.triangles, surface.colours
        of_points, of_triangles = None, None
        if surface.kinds is not None:
            point, kind, triangles = parted_by_kind(triangles, surface.kinds, len(points))
            points, of_points = points[point], colours_of(colours[kind])
        elif len(colours) > 1:
            of_triangles = colours_of(colours)
        data.SetPoints(points_of(points))
        data.SetPolys(cells_of(triangles))
        data.GetPointData().SetScalars(of_points)
        data.GetCellData().SetScalars(of_triangles)

    def cut(self, planes: tuple[Plane, ...]) -> None:
        """Take away what lies behind each plane, seen along its normal."""
        if planes == self.planes:
            return
        self.planes = planes
        self._clipping = tuple(vtkPlane() for _ in planes)
        for plane, stated in zip(self._clipping, planes, strict=True):
            plane.SetOrigin(*stated.normal * stated.distance)
            plane.SetNormal(*stated.normal)
        for shown in self.shown.values():
            self._clip(shown)

    def _clip(self, shown: Shown) -> None:
        """Take away what lies behind the planes, unless the shape is drawn whole."""
        mapper = shown.actor.GetMapper()
        mapper.RemoveAllClippingPlanes()
        for plane in self._clipping if shown.shape is None or not shown.shape.whole else ():
            mapper.AddClippingPlane(plane)

    def look_from(self, camera: Camera) -> None:
        """Place the camera."""
        if camera != self.camera:
            self.camera = camera
            self.aim(camera)

    def aim(self, camera: Camera) -> None:
        """Point VTK's camera without keeping where."""
        _, up, eye = camera.axes()
        lens, centre = self._plotter.camera, np.array(camera.centre)
        lens.SetFocalPoint(*centre)
        lens.SetPosition(*(centre + eye * CAMERA_DISTANCE))
        lens.SetViewUp(*up)
        lens.SetParallelScale(camera.height / 2)
        lens.SetClippingRange(CAMERA_DISTANCE - SEEN_DEPTH, CAMERA_DISTANCE + SEEN_DEPTH)

    def pixels(self, enlarged: int = 1) -> Pixels:
        """Render and read the picture (h, w, 3); `enlarged` times the size for a picture that stays."""
        width, height = self.size[0] * enlarged, self.size[1] * enlarged
        if enlarged != 1:
            self.window.SetSize(width, height)
            self._widen(enlarged)
        self.window.Render()
        read = self.read(0, 0, width, height)
        if enlarged != 1:
            self.window.SetSize(*self.size)
            self._widen(1)
        return read

    def read(self, left: int, foot: int, right: int, top: int) -> Pixels:
        """What is drawn (h, w, 3) between pixels counted from the left and from the foot of the window."""
        raw = vtkUnsignedCharArray()
        self.window.GetPixelData(left, foot, right - 1, top - 1, 1, raw, 0)
        read: Pixels = from_vtk(raw).reshape(top - foot, right - left, 3)[::-1]
        return read

    def _widen(self, times: int) -> None:
        """Lines as much wider as the picture is larger."""
        for shown in self.shown.values():
            if isinstance(shown.shape, Strokes):
                shown.actor.prop.SetLineWidth(shown.shape.width * times)
            elif shown.shape is not None and shown.shape.water is not None:
                _uniforms(shown.actor.GetShaderProperty()).SetUniformf("broad", float(times))


def _lift(shader: Any, lift: float) -> None:
    """Move a surface towards the camera [m], corner by corner: an offset by pixel would shade also what is hidden."""
    shader.ClearAllShaderReplacements()
    moved = f"//VTK::PositionVC::Impl\ngl_Position.z -= {lift / SEEN_DEPTH:.8f};\n"
    shader.AddVertexShaderReplacement("//VTK::PositionVC::Impl", True, moved, False)


def _mark_water(shader: Any, water: WaterMarks | None) -> None:
    """Let a surface's walls show the water, or none; the shader is changed only where it does not do so yet."""
    if water is None:
        if shader.GetNumberOfShaderReplacements():
            shader.ClearAllShaderReplacements()
        return
    if not shader.GetNumberOfShaderReplacements():
        shader.AddVertexShaderReplacement("//VTK::PositionVC::Dec", True, PLACE_OUT, False)
        shader.AddVertexShaderReplacement("//VTK::PositionVC::Impl", True, PLACE_SET, False)
        shader.AddFragmentShaderReplacement("//VTK::PositionVC::Dec", True, PLACE_IN, False)
        shader.AddFragmentShaderReplacement("//VTK::Light::Impl", True, MARK, False)
        uniforms = _uniforms(shader)
        uniforms.SetUniformf("broad", 1.0)
        uniforms.SetUniform3f("ruled", channels(WATER))
        uniforms.SetUniform3f("filled", channels(FLOODED))
    uniforms = _uniforms(shader)
    uniforms.SetUniform4f("water", (*water.plane.normal.tolist(), water.plane.distance))
    uniforms.SetUniformf("pitch", water.pitch)


def _uniforms(shader: Any) -> Any:
    return shader.GetFragmentCustomUniforms()


def halved(pixels: Pixels) -> Pixels:
    """The mean of each two by two pixels."""
    height, width = pixels.shape[0] // 2, pixels.shape[1] // 2
    blocks = pixels[: height * 2, : width * 2].reshape(height, 2, width, 2, 3).astype(np.uint16)
    mean: Pixels = (blocks.sum(axis=(1, 3)) // 4).astype(np.uint8)
    return mean
