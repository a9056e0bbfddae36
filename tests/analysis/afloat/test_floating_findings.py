"""What there is to say of how she floats: each at its limit, on boats worked out by hand."""

from dataclasses import replace

import pytest
from floats import box_boat, hole

from sketcher.analysis.afloat.floating_findings import dry_appendages, edges_under, paths_under_water, unknown_drafts
from sketcher.analysis.results import OUTSIDE, Floating
from sketcher.geometry.plane import Plane
from sketcher.model.hull import Appendage


@pytest.mark.closed_form
def test_an_appendage_is_dry_once_it_stands_over_the_water() -> None:
    """Told with its height over the water; one in it is not mentioned."""
    keel = Appendage(name="keel", volume=0.1, at=(2.0, 0.0, -0.3), lowest=-0.6)
    skeg = Appendage(name="skeg", volume=0.01, at=(3.5, 0.0, 0.45))
    form = box_boat(4.0, 2.0, 1.0, appendages=(keel, skeg))
    assert [(finding.object, finding.measured) for finding in dry_appendages(form, Plane.level(0.4))] == [
        ("skeg", pytest.approx(0.05))
    ]
    assert dry_appendages(form, Plane.level(0.5)) == []
    assert [finding.object for finding in unknown_drafts(form)] == ["skeg"]


@pytest.mark.closed_form
@pytest.mark.parametrize(("level", "depth"), [(0.25, None), (0.3, None), (0.34, 0.04)])
def test_an_open_way_counts_from_where_its_lowest_edge_dips(level: float, depth: float | None) -> None:
    """A hole whose lower edge is at 300 mm: told from just over that level, and only where it leads outside."""
    out = hole(("a", OUTSIDE), (1.0, 0.0, 0.3))
    within = replace(out, between=("a", "b"))
    found = paths_under_water([out, within], Plane.level(level))
    assert [finding.measured for finding in found] == ([] if depth is None else [pytest.approx(-depth)])


@pytest.mark.example
@pytest.mark.parametrize(("freeboard", "told"), [(0.01, []), (0.0, []), (-0.02, ["deck-edge-under-water"])])
def test_the_decks_edge_is_told_once_it_is_under(freeboard: float, told: list[str]) -> None:
    """At the water it is not under yet."""
    afloat = Floating(least_freeboard=freeboard, least_freeboard_at=(1.0, 1.0, 1.0))
    assert [finding.code for finding in edges_under(afloat)] == told
    assert edges_under(Floating()) == []
