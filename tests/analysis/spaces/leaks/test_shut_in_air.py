"""Air shut in a space: warmed by the sun, drawn in by cold water, and leaving by a hole; each against its closed form."""

from __future__ import annotations

import numpy as np
import pytest
from specimens import PANELS, box_form, codes, filled, layout_scene

from sketcher.analysis.findings import Mass
from sketcher.analysis.spaces.layout import lay_out
from sketcher.analysis.spaces.leaks.shut_in_air import hole_passed, pressure_gained, sealed_air_findings, seconds_to_fall
from sketcher.model.contents import Bottles
from sketcher.model.scene import Opening
from sketcher.outputs.wording.sentences import message as in_words

BOTTLES = Bottles(name="large", space="void", diameter=0.1, length=0.4, litres=0.003, kg=0.05)


@pytest.mark.closed_form
def test_a_sealed_space_in_the_sun_presses_on_its_lid_by_the_gas_law() -> None:
    """12 to 45 deg C: 101 325 x 33 / 285.15 = 11 726 Pa, on the lid of 1.98 x 2 m over the void 4.73 tonnes; the open locker and
    the cabin, where people see to it, are left out."""
    layout = lay_out(layout_scene(box_form(), **PANELS), box_form())
    (told,) = sealed_air_findings(layout)
    load = 101325 * 33 / 285.15 * 1.98 * 2 / 9.81
    assert told.measured == pytest.approx(load, rel=1e-9)
    assert told.values["loads"][0].values == {"space": "void", "panel": "top", "load": Mass(pytest.approx(load))}  # type: ignore[index, union-attr, arg-type]
    assert "warmed by the sun to 45 °C presses with 11.7 kPa: 4734 kgf on top (void)." in in_words(told)
    assert "a breather high up, open in harbour, closed at sea" in in_words(told)


@pytest.mark.example
@pytest.mark.parametrize("cover", ["tight", "none"])
def test_a_breather_takes_the_warning_away(cover: str) -> None:
    """A hose that is shut at sea, or stands open: there is nothing to warn of."""
    hose = Opening(name="breather", through=None, joins=("void", "cabin"), diameter=0.008, cover=cover)
    boat = filled(openings=(*PANELS["openings"], hose))  # type: ignore[misc]
    assert "sealed-air-warmed" not in codes(boat)
    assert "sealed-air-warmed" in codes(filled())


@pytest.mark.closed_form
def test_bottles_draw_in_by_the_gas_law_and_lose_as_much_lift() -> None:
    """From 20 to 5 deg C the air loses 15 / 293.15 of its volume, and the bottles up to that share of what they displace."""
    boat = filled(bottles=(BOTTLES,))
    (told,) = [each for each in boat.findings if each.code == "bottles-draw-in"]
    assert boat.contents is not None
    displaced = boat.contents.bottles[0].stows[0].displaced
    assert told.measured == pytest.approx(15 / 293.15)
    assert told.values["lost"] == Mass(pytest.approx(15 / 293.15 * 1025 * displaced))  # type: ignore[arg-type]
    assert "takes 5 % less room" in in_words(told)


@pytest.mark.closed_form
def test_an_overpressure_leaves_by_a_hole_in_the_time_of_the_closed_form() -> None:
    """Stepped through in time, dp = -(P / V) C A sqrt(2 p / rho) dt: 1.2 m3 fall from 5 to 2 inches of water by 4.1 mm in 30 s,
    as the hole found for that time does; half the space takes half the hole."""
    start, left, volume = 5 * 249.0889, 2 * 249.0889, 1.2
    area = hole_passed(volume, start, left, 30.0)
    assert np.sqrt(4 * area / np.pi) == pytest.approx(0.0041, abs=5e-5)
    density, pressure, step = 101325 / 287.05 / 293.15, start, 1e-3
    for _ in range(30_000):
        pressure -= 101325 / volume * 0.6 * area * np.sqrt(2 * pressure / density) * step
    assert pressure == pytest.approx(left, rel=1e-3)
    assert hole_passed(volume / 2, start, left, 30.0) == pytest.approx(area / 2)
    assert seconds_to_fall(volume, area, start, left) == pytest.approx(30.0)
    assert pressure_gained(20.0, 20.0) == 0.0
