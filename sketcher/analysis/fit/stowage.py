"""Room to stow things in: how much, the largest box, on what floor, through which opening, and what of it is within reach."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sketcher.analysis.findings import Finding, Length, Place, Share
from sketcher.analysis.fit.access import Access, Entrance, accesses, entrances_to, free_space, space_named
from sketcher.analysis.results import Compartment, Layout
from sketcher.geometry.caching import remembered
from sketcher.geometry.mesh import TriMesh
from sketcher.geometry.packing.box_growth import Asked, Box
from sketcher.geometry.packing.largest_box import Grid, grids_of, largest_box
from sketcher.geometry.solid.paths_inside import walls_of
from sketcher.model.contents import Stowage

LEVEL = np.cos(np.radians(15.0))
"""Things stand on a floor that slopes by less than 15 degrees."""

_ENTRANCES_TRIED = 2
"""Openings, the largest first, through which the largest box is sought; smaller ones pass no larger box."""


@dataclass(frozen=True, eq=False, kw_only=True)
class Room:
    """What a space offers for stowage. volume: net of fittings [m3]; floor_area: of what is flat enough to stand on [m2].

    largest: the largest box at all; passing: the largest that also goes through an opening, and through which; proportioned: the
    largest of the proportions asked for, or of the size asked for, which fits when it is no smaller; proportioned_passing: of
    those proportions the largest that also goes through an opening. None: there is none, or none was asked for.
    """

    name: str
    space: str
    volume: float
    floor_area: float
    largest: Box | None
    passing: Box | None
    passing_through: str | None
    proportioned: Box | None
    proportioned_passing: Box | None
    wanted: tuple[float, float, float] | None
    fits: bool | None
    entrances: tuple[Entrance, ...]
    access: tuple[Access, ...]

    @property
    def shown(self) -> Box | None:
        """The box to draw: the one asked for, where it fits, at the foot of the largest of its shape; else the largest."""
        if self.wanted is None or not self.fits or self.proportioned is None:
            return self.proportioned_passing or self.proportioned or self.passing or self.largest
        box = self.proportioned
        share = float(np.cbrt(np.prod(self.wanted) / box.volume))
        axes = np.array(box.axes)
        up = int(np.abs(axes[:, 2]).argmax())
        drop = (1.0 - share) / 2 * box.size[up] * np.sign(axes[up, 2])
        return Box.about(np.array(box.middle) - drop * axes[up], np.array(box.size) / 2 * share, axes)


def rooms(layout: Layout) -> tuple[tuple[Room, ...], tuple[Finding, ...]]:
    """The room in every space that the scene stows in, in the file's order. Raises SketchError for a space that is not there."""
    views: dict[str, _View] = {}
    measured: list[Room] = []
    findings: list[Finding] = []
    for stowage in layout.scene.stowage:
        if stowage.space not in views:
            views[stowage.space] = _view(layout, space_named(layout, stowage.space, f"stowage.{stowage.name}.in"))
            findings += _out_of_reach(views[stowage.space])
        room = _room(views[stowage.space], stowage)
        measured.append(room)
        findings += _too_small(room)
    return tuple(measured), tuple(findings)


@dataclass(frozen=True, eq=False)
class _View:
    """What everything stowed in one space has in common."""

    space: Compartment
    free: TriMesh
    entrances: tuple[Entrance, ...]
    access: tuple[Access, ...]
    largest: Box | None
    passing: Box | None
    through: str | None


def _view(layout: Layout, space: Compartment) -> _View:
    free, entrances = free_space(layout, space), entrances_to(layout, space)
    grids, largest = _measured(free)
    passing, through = _passing(free, entrances)
    reached = accesses(space, entrances, walls_of(free), grids[0])
    return _View(space, free, entrances, reached, largest, passing, through)


@remembered(8)
def _measured(free: TriMesh) -> tuple[tuple[Grid, ...], Box | None]:
    """A space's grids and its largest box, kept while the space stays as it is."""
    grids = grids_of(free)
    return grids, largest_box(free, grids)


@remembered(64)
def _limited(free: TriMesh, asked: Asked) -> Box | None:
    grids, _ = _measured(free)
    return largest_box(free, grids, asked, any_way_round=True)


def _room(view: _View, stowage: Stowage) -> Room:
    proportioned = _asked_for(view.free, stowage)
    return Room(
        name=stowage.name,
        space=view.space.name,
        volume=view.free.volume,
        floor_area=floor_area(view.free),
        largest=view.largest,
        passing=view.passing,
        passing_through=view.through,
        proportioned=proportioned,
        proportioned_passing=None if proportioned is None else _drawn_in(proportioned, view.entrances),
        wanted=stowage.size,
        fits=None if stowage.size is None else proportioned is not None and _holds(proportioned, stowage.size),
        entrances=view.entrances,
        access=view.access,
    )


def floor_area(mesh: TriMesh) -> float:
    """Plan area [m2] of the surface that carries what stands in a space: facing up, and nearly level."""
    a, b, c = mesh.vertices[mesh.triangles.T]
    normal = np.cross(b - a, c - a)
    size = np.linalg.norm(normal, axis=1)
    level = normal[:, 2] < -LEVEL * np.maximum(size, 1e-18)
    return float(-normal[level, 2].sum() / 2)


def _passing(free: TriMesh, entrances: tuple[Entrance, ...]) -> tuple[Box | None, str | None]:
    """The largest box that also goes through an opening end on."""
    best: Box | None = None
    through = None
    for entrance in [each for each in entrances if each.limb != "nothing"][:_ENTRANCES_TRIED]:
        # A square inscribed in a round opening is the largest section of a box that goes through it.
        a, b = (entrance.sides[0] / np.sqrt(2),) * 2 if entrance.round else entrance.sides
        box = _limited(free, Asked(at_most=(a, b, np.inf)))
        if box is not None and (best is None or box.volume > best.volume + 1e-9):
            best, through = box, entrance.name
    return best, through


def _asked_for(free: TriMesh, stowage: Stowage) -> Box | None:
    """The largest box of the proportions asked for, whichever way round it is largest."""
    shape = stowage.size or stowage.proportions
    if shape is None:
        return None
    return _limited(free, Asked(proportions=shape))


def _drawn_in(box: Box, entrances: tuple[Entrance, ...]) -> Box | None:
    """A box made smaller about its middle until it goes through an opening end on; None where there is no opening."""
    shares = [min(1.0, entrance.box_share(box.size)) for entrance in entrances]
    return Box.about(np.array(box.middle), np.array(box.size) / 2 * max(shares), np.array(box.axes)) if shares else None


def _holds(box: Box, size: tuple[float, float, float]) -> bool:
    return all(have >= want - 1e-6 for have, want in zip(sorted(box.size), sorted(size), strict=True))


def _too_small(room: Room) -> tuple[Finding, ...]:
    if room.wanted is None:
        return ()
    sides = tuple(Length(side) for side in room.wanted)
    if room.fits is False:
        largest = () if room.proportioned is None else tuple(Length(side) for side in sorted(room.proportioned.size))
        return (
            Finding(
                code="stowage-too-small",
                severity="warn",
                object=room.name,
                values={"stowage": room.name, "sides": sides, "space": room.space, "largest": largest},
                measured=None if room.proportioned is None else max(room.proportioned.size),
                limit=max(room.wanted),
            ),
        )
    if room.entrances and not any(entrance.passes_box(room.wanted) for entrance in room.entrances):
        entrance = room.entrances[0]
        return (
            Finding(
                code="stowage-shut-out",
                severity="warn",
                object=room.name,
                values={
                    "stowage": room.name,
                    "sides": sides,
                    "space": room.space,
                    "opening": entrance.name,
                    "opening_sides": tuple(Length(side) for side in entrance.sides),
                },
            ),
        )
    return ()


def _out_of_reach(view: _View) -> tuple[Finding, ...]:
    """Where no opening lets a hand to every corner of a space that things are stowed in."""
    if not view.access or max(access.share for access in view.access) > 0.999:
        return ()
    best = max(view.access, key=lambda access: access.share)
    farthest = best.farthest if np.isfinite(best.farthest) else None
    return (
        Finding(
            code="stowage-out-of-reach",
            severity="note",
            object=view.space.name,
            values={
                "opening": best.opening,
                "limb": best.limb,
                "share": Share(best.share),
                "space": view.space.name,
                "farthest": None if farthest is None else Length(farthest),
                "corner": Place(best.farthest_at),
            },
            measured=farthest,
            source="arm-reach",
            at=best.farthest_at,
        ),
    )
