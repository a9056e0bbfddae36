"""The plane in which one side of a scanned hull is the other's image."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sketcher.analysis.scan.surfels import Surfels, fit_size, surfels_of
from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.rotation import turned_to
from sketcher.model.errors import SketchError

_COARSE, _FINE = 1 / 40, 1 / 120
"""[share of the scan's length] The cells in which the plane is sought, and in which it is settled."""
_DIRECTIONS, _ASKED, _TRIED = 240, 300, 4
"""How many directions of the hemisphere are looked at, by how many pieces of surface, and how many of them are refined.

Her own axes are refined besides: of an even scan one of them is square to the plane.
"""
_STEPS = 12
_LEAST = 50
"""Pieces of surface without which there is no boat."""
_LONGER, _ACROSS = 1.4, 0.7
"""[1] What is so much longer than wide has its plane along its length, though both its ends may be alike: a cosine at most."""
_LIKE = 0.8
"""[1] The cosine of the angle by which a piece of surface and its image may differ to be compared."""


@dataclass(frozen=True, eq=False)
class Mirror:
    """normal (3,): a unit vector square to the plane normal . p = offset. share: of the surface that has an image in it."""

    normal: Floats
    offset: float
    share: float

    def image(self, points: Floats) -> Floats:
        """Points (n, 3) on the other side."""
        return points - 2.0 * np.outer(points @ self.normal - self.offset, self.normal)


def symmetry_plane(points: Floats, length: float) -> Mirror:
    """The plane of symmetry of points (n, 3) of a scan that is about so long."""
    coarse = _surface(points, length * _COARSE)
    spread, axes = np.linalg.eigh(np.cov(coarse.centres.T))
    normals = [*axes.T, *_promising(coarse)]
    if spread[2] > _LONGER**2 * spread[1]:
        normals = [normal for normal in normals if abs(normal @ axes[:, 2]) < _ACROSS]
    tried = [refined(Mirror(normal, float(np.median(coarse.centres @ normal)), 0.0), coarse) for normal in normals]
    best = max(tried, key=lambda mirror: mirror.share)
    return refined(best, _surface(points, fit_size(points, length, length * _FINE)))


def _surface(points: Floats, size: float) -> Surfels:
    """The surfels of points. Raises SketchError where they show no surface."""
    surfels = surfels_of(points, size)
    if len(surfels.centres) < _LEAST:
        raise SketchError("no surface shows among the scan's points", "Is it the right file? Scan her closer, or say --units.")
    return surfels


def refined(mirror: Mirror, surfels: Surfels) -> Mirror:
    """The plane moved until images lie on the surface, those that do not left out more and more strictly."""
    limit = 2.0 * surfels.size
    for _ in range(_STEPS):
        step = _step(mirror, surfels, limit)
        turn = turned_to(mirror.normal)
        normal = mirror.normal + step[0] * turn[0] + step[1] * turn[1]
        size = float(np.linalg.norm(normal))
        middle = surfels.middle
        over = mirror.offset - float(mirror.normal @ middle) + step[2]
        normal = normal / size
        mirror = Mirror(normal, over + float(normal @ middle), mirror.share)
        limit = max(0.8 * limit, 0.25 * surfels.size)
    return Mirror(mirror.normal, mirror.offset, _share(mirror, surfels, 0.25 * surfels.size))


def _promising(surfels: Surfels) -> list[Floats]:
    """The directions in which most of the surface has an image, no two of them near each other."""
    k = np.arange(_DIRECTIONS) + 0.5
    z, around = k / _DIRECTIONS, np.pi * (1.0 + 5.0**0.5) * k
    flat = np.sqrt(1.0 - z**2)
    directions = np.stack([flat * np.cos(around), flat * np.sin(around), z], axis=1)
    asked = np.linspace(0, len(surfels.centres) - 1, min(_ASKED, len(surfels.centres))).astype(np.int64)
    offsets = np.median(surfels.centres @ directions.T, axis=0)
    shares = [_share(Mirror(n, d, 0.0), surfels, surfels.size, asked) for n, d in zip(directions, offsets.tolist(), strict=True)]
    chosen: list[Floats] = []
    for place in np.argsort(shares)[::-1]:
        if all(abs(directions[place] @ other) < 0.97 for other in chosen):
            chosen.append(directions[place])
        if len(chosen) == _TRIED:
            break
    return chosen


def _residuals(mirror: Mirror, surfels: Surfels, asked: Ints | slice = slice(None)) -> tuple[Floats, Floats]:
    """How far the image of each surfel asked stands off the surface nearest it, infinite where none is, and that normal."""
    images = mirror.image(surfels.centres[asked])
    turned = surfels.normals[asked] - 2.0 * np.outer(surfels.normals[asked] @ mirror.normal, mirror.normal)
    near, there = surfels.nearest(images)
    normals = surfels.normals[near]
    off = np.einsum("ij,ij->i", images - surfels.centres[near], normals)
    there &= np.abs(np.einsum("ij,ij->i", turned, normals)) > _LIKE
    return np.where(there, off, np.inf), normals


def _share(mirror: Mirror, surfels: Surfels, limit: float, asked: Ints | slice = slice(None)) -> float:
    off, _ = _residuals(mirror, surfels, asked)
    return float(np.mean(np.abs(off) < limit))


def _step(mirror: Mirror, surfels: Surfels, limit: float) -> Floats:
    """A Gauss-Newton step: the plane's two tilts about the surfels' middle [rad] and its shift [m]."""
    off, normals = _residuals(mirror, surfels)
    used = np.abs(off) < limit
    if used.sum() < 6:
        return np.zeros(3)
    off, normals, arms = off[used], normals[used], surfels.centres[used] - surfels.middle
    turn = turned_to(mirror.normal)
    over = arms @ mirror.normal - (mirror.offset - float(mirror.normal @ surfels.middle))
    along = normals @ mirror.normal
    tilts = [-2.0 * ((arms @ axis) * along + over * (normals @ axis)) for axis in turn[:2]]
    effects = np.stack([*tilts, 2.0 * along], axis=1)
    weights = (1.0 - (off / limit) ** 2) ** 2
    matrix = effects.T @ (effects * weights[:, None])
    return np.asarray(-np.linalg.lstsq(matrix, effects.T @ (weights * off), rcond=None)[0])
