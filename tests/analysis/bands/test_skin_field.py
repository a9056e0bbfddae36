"""How the skin follows its readings."""

from __future__ import annotations

import numpy as np
import pytest
from box_boat import box_boat

from sketcher.analysis.bands.readings import readings_of
from sketcher.analysis.bands.skin_field import Push, SkinField
from sketcher.analysis.evaluate import hull_form


@pytest.mark.closed_form
def test_places_between_stations_and_points_go_by_shares() -> None:
    """Half way along the box and half way up its side: half a station's point each, two points of each station half of that."""
    scene = box_boat()
    field = SkinField.of(hull_form(scene.hull))
    column = int(np.argmin(np.abs(field.places[:, 0, 0] - 2.0)))
    row = int(np.argmin(np.linalg.norm(field.places[column] - (2.0, 0.9, 0.5), axis=1)))
    assert field.places[column, row] == pytest.approx((2.0, 0.9, 0.5), abs=0.06)  # rows are some 100 mm apart
    push = np.zeros(field.places.shape)
    push[column, row] = (0.0, 1.0, 0.0)
    readings = readings_of(scene)
    slopes = dict(
        zip([(each.what, each.number, each.point) for each in readings], field.slopes(Push(push), readings), strict=True)
    )
    up = field.places[column, row, 2]
    for station in (0, 1):
        assert slopes["half-breadth", station, 1] == pytest.approx(0.5 * (1.0 - up) * 0.005, abs=1e-9)
        assert slopes["half-breadth", station, 2] == pytest.approx(0.5 * up * 0.005, abs=1e-9)
    assert slopes["height", 0, 1] == slopes["station", 0, 0] == 0.0
