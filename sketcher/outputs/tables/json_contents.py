"""What goes into the spaces, for other programs: the keys that `report --json` has more where a scene has contents."""

from __future__ import annotations

from typing import Any

from sketcher.analysis.fit.bottles import BottledSpace
from sketcher.analysis.fit.chain import ChainStow
from sketcher.analysis.fit.contents_results import Contents
from sketcher.analysis.fit.foam import FoamFill
from sketcher.analysis.fit.lying import LyingPlace
from sketcher.analysis.fit.stowage import Room
from sketcher.analysis.fit.tanks import TankFill
from sketcher.geometry.packing.box_growth import Box
from sketcher.outputs.wording.sentences import words


def contents_figures(contents: Contents | None) -> dict[str, Any]:
    """Plain values under one key for each block of the scene; none where there are no contents."""
    if contents is None:
        return {}
    return {
        "people": [_place(place) for place in contents.lying],
        "stowage": [_room(room) for room in contents.rooms],
        "bottles": [_bottled(space) for space in contents.bottles],
        "chains": [_chain(stow) for stow in contents.chains],
        "foams": [_foam(fill) for fill in contents.foams],
        "tanks": [_tank(fill) for fill in contents.tanks],
        "swamped": None
        if contents.swamped is None
        else {
            "items": [{"name": item.name, "kind": item.kind, "kg": item.kg} for item in contents.swamped.items],
            "weight_kg": contents.swamped.weight,
            "lift_kg": contents.swamped.lift,
            "air_kg": contents.swamped.air,
            "net_kg": contents.swamped.net,
            "with_air_kg": contents.swamped.with_air,
            "unlisted_kg": contents.swamped.unlisted,
            "answer": words(contents.swamped.answer),
        },
    }


def _place(place: LyingPlace) -> dict[str, Any]:
    return {
        "berth": place.berth,
        "people": list(place.people),
        "length_m": place.length,
        "needed_m": place.needed,
        "short_by_m": place.short_by,
        "fits": place.fits,
        "each": [
            {"name": one.name, "length_m": one.length, "needed_m": one.needed, "short_by_m": one.short_by, "fits": one.fits}
            for one in place.each
        ],
        "shoulders_m": place.shoulders,
        "feet_m": place.feet,
        "surface_m": place.surface,
        "boards_m2": place.boards,
        "cushion_m2": place.cushion,
        "boards_outline_m": place.boards_outline.tolist(),
        "cushion_outline_m": place.cushion_outline.tolist(),
        "mends": [words(mend) for mend in place.mends],
        "sleepers": [
            {
                "name": sleeper.name,
                "outline_m": sleeper.outline.tolist(),
                "over_head_m": sleeper.over_head,
                "over_knees_m": sleeper.over_knees,
                "over_seat_m": sleeper.over_seat,
            }
            for sleeper in place.sleepers
        ],
    }


def _room(room: Room) -> dict[str, Any]:
    reached = {access.opening: access for access in room.access}
    return {
        "name": room.name,
        "space": room.space,
        "volume_m3": room.volume,
        "floor_area_m2": room.floor_area,
        "largest_box_m": _box(room.largest),
        "passing_box_m": _box(room.passing),
        "passing_through": room.passing_through,
        "box_asked_for_m": _box(room.proportioned),
        "box_asked_for_passing_m": _box(room.proportioned_passing),
        "fits": room.fits,
        "openings": [
            {
                "name": entrance.name,
                "through": entrance.through,
                "beyond": entrance.beyond,
                "cover": entrance.cover,
                "sides_m": list(entrance.sides),
                "passes": entrance.limb,
                "share_within_reach": reached[entrance.name].share,
                "farthest_m": reached[entrance.name].farthest,
                "farthest_at_m": list(reached[entrance.name].farthest_at),
            }
            for entrance in room.entrances
        ],
    }


def _box(box: Box | None) -> dict[str, Any] | None:
    return (
        None if box is None else {"middle": list(box.middle), "sides": list(box.size), "axes": [list(axis) for axis in box.axes]}
    )


def _bottled(space: BottledSpace) -> dict[str, Any]:
    return {
        "space": space.space,
        "permeability": space.permeability,
        "uplift_kg": space.uplift,
        "lids": list(space.lids),
        "complete": space.complete,
        "kinds": [
            {
                "name": stow.name,
                "count": stow.count,
                "layers": stow.layers,
                "direction": stow.direction.tolist(),
                "diameter_m": stow.diameter,
                "length_m": stow.length,
                "displaced_m3": stow.displaced,
                "share": stow.share,
                "packed": stow.packed,
                "lift_kg": stow.lift,
                "weight_kg": stow.weight,
                "passes": list(stow.passes),
                "lower_ends_m": stow.base.tolist(),
            }
            for stow in space.stows
        ],
    }


def _chain(stow: ChainStow) -> dict[str, Any]:
    return {
        "name": stow.name,
        "space": stow.space,
        "mass_kg": stow.mass,
        "goes_in_kg": stow.goes_in,
        "volume_m3": stow.volume,
        "rule": stow.rule,
        "volumes_m3": stow.volumes,
        "room_m3": stow.room,
        "peak_m": stow.full.peak,
        "fall_m": stow.fall,
        "stows_itself": stow.stows_itself,
        "spilled_m3": stow.full.spilled,
        "centre_full_m": list(stow.full.centroid),
        "centre_half_m": list(stow.half.centroid),
        "pipe_length_m": stow.pipe_length,
        "pipe_slope_deg": stow.pipe_slope,
    }


def _foam(fill: FoamFill) -> dict[str, Any]:
    return {
        "name": fill.name,
        "space": fill.space,
        "form": fill.form,
        "volume_m3": fill.volume,
        "bought_m3": fill.bought,
        "kits": fill.kits,
        "mass_kg": fill.mass,
        "lift_kg": fill.lift,
        "credited_kg": fill.credited,
        "permeability": fill.permeability,
        "top_m": fill.top,
        "hidden_skin_m2": fill.skin,
        "pours": [
            {
                "from_m": pour.low,
                "to_m": pour.high,
                "volume_m3": pour.volume,
                "heat_j": pour.heat,
                "hottest_deg_c": pour.hottest,
                "cooling_s": pour.cooling,
            }
            for pour in fill.pours
        ],
    }


def _tank(fill: TankFill) -> dict[str, Any]:
    return {
        "name": fill.name,
        "space": fill.space,
        "holds": fill.holds,
        "volume_m3": fill.volume,
        "full_kg": fill.full,
        "half_kg": fill.half,
        "centre_full_m": list(fill.full_centre),
        "centre_half_m": list(fill.half_centre),
        "half_level_m": fill.level,
        "gm_loss_m": fill.gm_loss,
        "aboard_kg": fill.aboard,
    }
