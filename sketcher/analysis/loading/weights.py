"""How weights move the waterline: the boat as she floats fixes her mass, and every change to it moves her."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from sketcher.analysis.afloat.buoyancy import buoyancy_of, carried_at
from sketcher.analysis.afloat.equilibrium import Settled, Unsettled, settle
from sketcher.analysis.afloat.floating import centre_of_gravity, floating
from sketcher.analysis.afloat.waterplane import water_at
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Phrase
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.loading.panel_masses import panel_weights
from sketcher.analysis.results import Floating, Layout, WaterPlane
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.mesh import Floats
from sketcher.geometry.plane import Plane
from sketcher.model.scene import Scene, Weight


@dataclass(frozen=True, eq=False, slots=True)
class Loading:
    """A boat's mass [kg] and centre of gravity (3,) [m]."""

    mass: float
    centre: Floats

    def with_all(self, items: Sequence[Weight]) -> Loading:
        """The loading with these weights put on, or taken off where negative; without any mass left, the centre is kept."""
        mass = self.mass + sum(item.kg for item in items)
        moment = self.mass * self.centre + sum((item.kg * np.array(item.at) for item in items), start=np.zeros(3))
        return Loading(mass, moment / mass if mass > 0 else self.centre)


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemEffect:
    """What one weight alone does: the water's rise [m] at the hull's foremost and aftmost point, and the heel it gives [deg].

    hand_forward, hand_after [m]: by kg per cm and moment per cm, as a person would. None: cannot be known. planned: as a
    weight's.
    """

    name: str
    kg: float
    forward: float | None
    after: float | None
    heel: float | None
    hand_forward: float | None
    hand_after: float | None
    planned: bool = False


@dataclass(frozen=True, eq=False, kw_only=True)
class Loaded:
    """The boat in one condition. condition: its name, None for the weights that belong to none.

    water, floating: how she then floats; None where that cannot be known. reason: why, or what to mind. estimated: from the
    hull's `boat` block alone.
    """

    condition: str | None
    change: float
    mass: float | None
    centre: tuple[float, float, float] | None
    water: WaterPlane | None
    floating: Floating | None
    items: tuple[ItemEffect, ...]
    estimated: bool = False
    reason: Phrase | None = None


def conditions(scene: Scene) -> tuple[str, ...]:
    """The conditions that weights are grouped into, in the file's order."""
    return tuple(dict.fromkeys(weight.condition for weight in scene.weights if weight.condition is not None))


def as_floating(layout: Layout, water: WaterPlane | None) -> Loading | None:
    """The boat as she floats at the stated waterline; None where waterline, height of gravity or part of the hull is missing."""
    height = layout.scene.centre_of_gravity_height
    if water is None or height is None or layout.hull.hull.open_aft:
        return None
    carried = carried_at(layout.hull, water)
    if carried.volume <= 0:
        return None
    return Loading(layout.scene.water_density * carried.volume, centre_of_gravity(carried, height))


def changes(layout: Layout, condition: str | None = None) -> tuple[Weight, ...]:
    """Every change to the boat as she floats: weights of no condition and of this one, planned panels, panels taken out."""
    listed = (weight for weight in layout.scene.weights if weight.condition in (None, condition))
    return (*listed, *panel_weights(layout))


def loading(layout: Layout, water: WaterPlane | None, condition: str | None = None) -> Loading | None:
    """The boat with every change of a condition; None where she as floating is not known."""
    boat = as_floating(layout, water)
    return None if boat is None else boat.with_all(changes(layout, condition))


@kept_with_owner(1)
def with_changes(evaluation: Evaluation) -> Loaded | None:
    """How she floats with all that changes her weight, contents counted; None where nothing does. No effects of single items."""
    layout = evaluation.layout
    return loaded(layout, evaluation.water, evaluation.floating, each=False) if changes(layout) else None


def loaded(
    layout: Layout, water: WaterPlane | None, afloat: Floating, condition: str | None = None, *, each: bool = True
) -> Loaded:
    """How she floats with the changes of a condition, and, where `each` is wanted, what each item alone does.

    Exact equilibrium where the whole hull is known; else estimates by the hull's `boat` block.
    """
    items = changes(layout, condition)
    change = sum(item.kg for item in items)
    boat = as_floating(layout, water)
    if water is None:
        return _unknown(condition, change, items, Phrase("no-waterline-stated"))
    if boat is None:
        return _estimated(layout, water, afloat, condition, items)
    density = layout.scene.water_density
    after = boat.with_all(items)
    settled = settled_with(layout.hull, after, water, density)
    effects = tuple(_effect(layout, boat, item, water, afloat) for item in items if each)
    if isinstance(settled, Unsettled):
        return replace(_unknown(condition, change, items, settled.why), items=effects, mass=after.mass)
    then = water_at(layout.hull, settled.plane)
    scene = replace(layout.scene, centre_of_gravity_height=float(after.centre[2]))
    x, y, z = after.centre.tolist()
    return Loaded(
        condition=condition,
        change=change,
        mass=after.mass,
        centre=(x, y, z),
        water=then,
        floating=floating(scene, layout.hull, then, layout.flow_paths)[0],
        items=effects,
        reason=Phrase("lies-at-an-angle-of-loll") if settled.lolled else None,
    )


def settled_with(form: HullForm, boat: Loading, water: WaterPlane, density: float) -> Settled | Unsettled:
    """The rest that a boat whole and loaded comes to from a waterline; density [kg/m3]."""
    x, y, z = boat.centre.tolist()
    return _settle(form, boat.mass / density, (x, y, z), water.plane, density)


@kept_with_owner(2)
def _settle(
    form: HullForm, volume: float, centre: tuple[float, float, float], plane: Plane, density: float
) -> Settled | Unsettled:
    """Kept, since panels move oftener than weights, and who asks how she floats then asks how she floods."""
    return settle(buoyancy_of(form), volume, np.array(centre), plane, (), density)


def _effect(layout: Layout, boat: Loading, item: Weight, water: WaterPlane, afloat: Floating) -> ItemEffect:
    hand = _by_hand(afloat, water, item, water.x_after - water.x_forward)
    alone, density = boat.with_all([item]), layout.scene.water_density
    settled = settle(buoyancy_of(layout.hull), alone.mass / density, alone.centre, water.plane, (), density)
    if isinstance(settled, Unsettled):
        return ItemEffect(
            name=item.name,
            kg=item.kg,
            forward=None,
            after=None,
            heel=None,
            hand_forward=hand[0],
            hand_after=hand[1],
            planned=item.planned,
        )
    then = water_at(layout.hull, settled.plane)
    return ItemEffect(
        name=item.name,
        kg=item.kg,
        forward=then.forward - water.forward,
        after=then.after - water.after,
        heel=then.heel - water.heel,
        hand_forward=hand[0],
        hand_after=hand[1],
        planned=item.planned,
    )


def _by_hand(afloat: Floating, water: WaterPlane, item: Weight, length: float) -> tuple[float, float] | tuple[None, None]:
    """The water's rise at both ends by kg per cm and moment per cm over `length` [m]; None where one of them is missing."""
    at, per_cm, moment = afloat.centre_of_flotation, afloat.kg_per_cm, afloat.moment_per_cm
    if at is None or per_cm is None or moment is None or moment <= 0:
        return None, None
    sinkage = item.kg / per_cm / 100.0
    slope = item.kg * (at - item.at[0]) / moment / 100.0 / length
    return sinkage + slope * (at - water.x_forward), sinkage + slope * (at - water.x_after)


def _estimated(layout: Layout, water: WaterPlane, afloat: Floating, condition: str | None, items: tuple[Weight, ...]) -> Loaded:
    """By hand alone, from what the `boat` block tells; unknown where that is not enough, or the height of gravity is missing."""
    change = sum(item.kg for item in items)
    boat = layout.hull.hull.boat
    if not layout.hull.hull.open_aft:
        return _unknown(condition, change, items, Phrase("gravity-height-not-stated"))
    if boat is None or boat.length is None:
        return _unknown(condition, change, items, Phrase("measured-forward-only"))
    rises = [(item, *_by_hand(afloat, water, item, boat.length)) for item in items]
    effects = tuple(
        ItemEffect(name=item.name, kg=item.kg, forward=None, after=None, heel=None, hand_forward=forward, hand_after=after)
        for item, forward, after in rises
    )
    known = [(forward, after) for _, forward, after in rises if forward is not None and after is not None]
    if len(known) < len(items):
        return replace(
            _unknown(condition, change, items, Phrase("boat-block-lacks-figures")),
            items=effects,
        )
    mass = None if boat.displacement is None else boat.displacement + change
    then = replace(water, forward=water.forward + sum(up for up, _ in known), after=water.after + sum(up for _, up in known))
    return Loaded(
        condition=condition,
        change=change,
        mass=mass,
        centre=None,
        water=then,
        floating=_sunk(afloat, water.forward - then.forward, mass, layout.scene.water_density),
        items=effects,
        estimated=True,
        reason=Phrase("by-the-boat-block"),
    )


def _sunk(afloat: Floating, forward: float, mass: float | None, density: float) -> Floating:
    """The figures of a boat measured only forward: her freeboard there, changed by so much [m]."""
    known = None if afloat.forward_freeboard is None else afloat.forward_freeboard + forward
    estimated = ("displacement", "volume", "forward_freeboard")
    return replace(by_weight(mass, density), forward_freeboard=known, estimated=estimated)


def by_weight(mass: float | None, density: float) -> Floating:
    """What the boat's mass [kg] alone tells in water of a density [kg/m3]: what she displaces, wherever she comes to rest."""
    return Floating(displacement=mass, volume=None if mass is None else mass / density)


def _unknown(condition: str | None, change: float, items: tuple[Weight, ...], reason: Phrase) -> Loaded:
    bare = tuple(
        ItemEffect(
            name=item.name,
            kg=item.kg,
            forward=None,
            after=None,
            heel=None,
            hand_forward=None,
            hand_after=None,
            planned=item.planned,
        )
        for item in items
    )
    return Loaded(
        condition=condition, change=change, mass=None, centre=None, water=None, floating=None, items=bare, reason=reason
    )
