"""New contents of compartments and berths, with first values to be typed over, where the owner points."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.results import Compartment
from sketcher.geometry.solid.rays import holds, home_of
from sketcher.model.contents import BoatPart, Bottles, Chain, Foam, Person, Stowage, Tank
from sketcher.model.errors import SketchError

Point = tuple[float, float, float]
CONTENT_KINDS = ("person", "stowage", "bottles", "chain", "foam", "tank", "part")
FIRST_STATURE = 1.80
"""[m]"""
FIRST_BOTTLE = Bottles(name="", space="", diameter=0.108, length=0.310, litres=0.00206, kg=0.05)
"""A usual drink bottle of two litres, from memory: to be measured and typed over."""
FIRST_CHAIN = Chain(name="", space="", length=40.0, size=0.008, pipe=(0.0, 0.0, 0.0))
PIPE_UNDER_DECK = 0.05
"""[m] A pipe's lower end is first taken so far below the top of its space."""
FIRST_PART = 100.0
"""[kg]"""


def new_content(evaluation: Evaluation, kind: str, name: str, at: Point, on: str | None) -> Any:
    """A new object of one of `CONTENT_KINDS` at a point [m]. on: the berth or compartment that is selected, where one is.

    Raises SketchError where there is no berth for a person, or no space at the point.
    """
    if kind == "person":
        return _person(evaluation, name, on)
    if kind == "part":
        return BoatPart(name=name, kg=FIRST_PART, made_of="steel")
    space = _space(evaluation, at, on)
    match kind:
        case "stowage":
            return Stowage(name=name, space=space.name)
        case "bottles":
            return replace(FIRST_BOTTLE, name=name, space=space.name)
        case "chain":
            return replace(FIRST_CHAIN, name=name, space=space.name, pipe=_under_the_top(space, at))
        case "foam":
            return Foam(name=name, space=space.name)
        case "tank":
            return Tank(name=name, space=space.name)
    raise SketchError(f"there is no `{kind}` to add", f"Known: {', '.join(CONTENT_KINDS)}.")


def _person(evaluation: Evaluation, name: str, on: str | None) -> Person:
    berths = evaluation.scene.berths
    if not berths:
        raise SketchError("a person lies in a berth, and there is none here", "Add the berth first.")
    berth = next((berth for berth in berths if berth.name == on), berths[0])
    return Person(name=name, berth=berth.name, stature=berth.stature or FIRST_STATURE)


def _space(evaluation: Evaluation, at: Point, on: str | None) -> Compartment:
    """The compartment selected, else the one that holds the point, else the one whose middle is nearest to it."""
    spaces = evaluation.layout.compartments
    if not spaces:
        raise SketchError("there is no space to fill", "Put panels into the hull first.")
    chosen = next((space for space in spaces if space.name == on), None)
    if chosen is not None:
        return chosen
    home = home_of(np.array(at), [space.mesh for space in spaces])
    return spaces[home] if home >= 0 else min(spaces, key=lambda space: float(np.hypot(*np.subtract(space.centroid, at)[:2])))


def _under_the_top(space: Compartment, at: Point) -> Point:
    """A place for a pipe's lower end: plumb over the point, or over the space's middle, a little below its top there."""
    for x, y in ((at[0], at[1]), space.centroid[:2]):
        for z in np.linspace(space.highest, space.lowest, 40):
            if holds(space.mesh, np.array([x, y, z])):
                return (x, y, round(float(z) - PIPE_UNDER_DECK, 3))
    return space.centroid
