"""Cautions that follow what a space is used for, on boxes divided by a bulkhead and a lid."""

from __future__ import annotations

from dataclasses import replace

import pytest
from specimens import box_form, layout_scene

from sketcher.analysis.cut.cautions import cautions_before, cautions_of
from sketcher.analysis.evaluate import judged
from sketcher.analysis.findings import Finding
from sketcher.analysis.hazards import foamed
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.contents import Foam, Tank
from sketcher.model.scene import Berth, Bulkhead, Lid, NamedSpace, Opening, Scene, Waterline
from sketcher.outputs.wording.sentences import message, words

FORM = box_form()
MAIN = Bulkhead(name="main", at=2.0, thickness=0.018)
TOP = Lid(name="bunk", height=0.5, start="stem", end="main", thickness=0.012)
PORT = Opening(name="port", through="bunk", at=(1.0, 0.5), diameter=0.2, cover="tight")
CABIN = NamedSpace(name="cabin", at=(1.0, 0.5, 0.8), use="accommodation")


HAZARDS = ("foam-burns", "foam-not-listed", "gas-space", "battery-space", "petrol-space", "diesel-space")
LEVEL = Waterline(forward=0.3, after=0.3)


def boat(use: str, **blocks: object) -> Scene:
    """A box with a low space of a use under a bunk, from the stem to a bulkhead, and a cabin over it."""
    low = NamedSpace(name="low", at=(1.0, 0.5, 0.2), use=use)
    return layout_scene(FORM, bulkheads=(MAIN,), lids=(TOP,), compartments=(low, CABIN), openings=(PORT,), **blocks)


def found(scene: Scene) -> dict[str, Finding]:
    return {each.code: each for each in judged(lay_out(scene, FORM)).findings if each.code in HAZARDS}


@pytest.mark.example
def test_foam_is_cautioned_of_by_its_use_alone() -> None:
    """Fire, trunks and a drain where only the use says foam, and in the report itself; nothing of foam in a void."""
    of = found(boat("foam"))
    assert {code: each.severity for code, each in of.items()} == {"foam-burns": "warn", "foam-not-listed": "note"}
    assert "no welding" in message(of["foam-burns"], "mm")
    assert "trunks" in message(of["foam-burns"], "mm")
    assert "a drain at the lowest place" in message(of["foam-not-listed"], "mm")
    assert [space.name for space in foamed(lay_out(boat("foam"), FORM))] == ["low"]
    assert found(boat("void")) == {}


@pytest.mark.example
def test_listed_foam_burns_too_and_is_not_called_unlisted() -> None:
    """A filling listed for a void: fire, and no word of a missing list."""
    scene = boat("void", foams=(Foam(name="filling", space="low", form="blocks"),))
    assert list(found(scene)) == ["foam-burns"]


@pytest.mark.example
@pytest.mark.parametrize(("use", "form", "poured", "fire"), [("foam", "", 1, 1), ("void", "blocks", 0, 1), ("void", "", 0, 0)])
def test_the_lid_over_foam_is_cautioned_of_before_it_is_closed(use: str, form: str, poured: int, fire: int) -> None:
    """Isocyanate where foam is poured or may be, fire wherever there is foam."""
    foams = (Foam(name="filling", space="low", form=form),) if form else ()  # type: ignore[arg-type]
    layout = lay_out(replace(boat(use), foams=foams), FORM)
    said = " ".join(words(each) for each in cautions_of(layout, layout.panels[0], ("low",), ()))
    assert (said.count("isocyanate"), said.count("hot-air")) == (poured, fire)


@pytest.mark.closed_form
def test_gas_under_a_berth_and_under_water_is_warned_of() -> None:
    """The floor at 0 under a waterline 0.3 m up is 300 mm under; a berth on the lid, a port into the cabin and no hatch."""
    berth = Berth(name="bed", lies_on="bunk", start="stem", end="main", cushion=0.08)
    scene = boat("gas", berths=(berth,), waterline=LEVEL)
    gas = found(scene)["gas-space"]
    said = message(gas, "mm")
    assert gas.severity == "warn"
    for words_ in ("it lies under bed", "300 mm under the waterline", "no opening leads from it up", "overboard above the water"):
        assert words_ in said
    loose = found(replace(scene, openings=(replace(PORT, cover="loose"),)))["gas-space"]
    assert "it is open to cabin" in message(loose, "mm")
    assert "not known whether its floor can drain" in message(found(boat("gas"))["gas-space"], "mm")


@pytest.mark.example
def test_a_gas_locker_as_practice_asks_is_a_note_alone() -> None:
    """High up, with a hatch in the deck, tight to the inside: what practice asks for, and nothing against it."""
    high = (NamedSpace(name="locker", at=(1.0, 0.5, 0.8), use="gas"),)
    hatch = Opening(name="hatch", through="deck", at=(1.0, 0.0), size=(0.4, 0.4), cover="loose")
    scene = layout_scene(FORM, bulkheads=(MAIN,), lids=(TOP,), compartments=high, openings=(hatch,), waterline=LEVEL)
    gas = found(scene)["gas-space"]
    assert (gas.severity, gas.values["against"]) == ("note", ())
    assert "Here" not in message(gas, "mm")


@pytest.mark.example
def test_petrol_in_the_bow_is_a_warning_and_water_is_nothing() -> None:
    """A tank of petrol in a low void, whatever the void's use says; diesel is a note; a battery beside petrol is warned of."""

    def tank(holds: str, use: str = "void") -> dict[str, Finding]:
        return found(boat(use, tanks=(Tank(name="tank", space="low", holds=holds),)))  # type: ignore[arg-type]

    assert tank("petrol")["petrol-space"].severity == "warn"
    assert tank("diesel")["diesel-space"].severity == "note"
    assert tank("water") == {}
    both = tank("petrol", "battery")
    assert "petrol is in it too" in message(both["battery-space"], "mm")
    assert both["battery-space"].severity == "warn"
    assert found(boat("battery"))["battery-space"].severity == "note"


@pytest.mark.example
def test_people_who_sleep_beside_batteries_are_told() -> None:
    """A berth of its own boards in a cabin whose use is battery."""
    scene = layout_scene(
        FORM,
        bulkheads=(MAIN,),
        compartments=(NamedSpace(name="cabin", at=(1.0, 0.5, 0.8), use="battery"),),
        berths=(Berth(name="bed", height=0.4, start="stem", end="main", cushion=0.08),),
    )
    assert "people sleep in the same space (bed)" in message(found(scene)["battery-space"], "mm")


@pytest.mark.example
def test_what_explodes_goes_ashore_before_anything_sparks() -> None:
    """Gas, battery and petrol are named once, before her skin is ground; with none of them nothing is said."""
    scene = boat("battery", tanks=(Tank(name="tank", space="low", holds="petrol"),))
    said = [words(each) for each in cautions_before(lay_out(scene, FORM))]
    assert any("Aboard is or will be battery and petrol" in each for each in said)
    assert not any("Aboard" in words(each) for each in cautions_before(lay_out(boat("void"), FORM)))


@pytest.mark.example
def test_foam_in_a_steel_hull_hides_rust() -> None:
    """One sentence more than in another hull."""
    scene = boat("foam")
    steel = replace(scene, hull=replace(scene.hull, material="steel"))
    assert "steel rusts unseen" in message(found(steel)["foam-burns"], "mm")
    assert "rust" not in message(found(scene)["foam-burns"], "mm")
