"""Paper for the ends of supports: three faces in one, as they lie in the boat, at true size."""

import numpy as np
import pytest

from sketcher.analysis.cut.results import EndCut, Support
from sketcher.outputs.drawing.recording import Line, Words
from sketcher.outputs.paper.timber.support_wraps import cut_line, support_wraps

SQUARE = EndCut(place="hull", side=90.0, face=90.0, tilt=90.0)


def support() -> Support:
    """A support 30 by 45 mm under a lid: its first edge 900 mm long, its second 940, its lower face 50 mm shorter at each end.

    It runs aft; its second edge is to port of the first, so that both lie on paper as seen from above.
    """
    upper = np.array([[1.00, -0.37, 0.6], [1.90, -0.37, 0.6], [1.92, -0.40, 0.6], [0.98, -0.40, 0.6]])
    lower = upper + np.array([[0.05, 0.0, -0.045], [-0.05, 0.0, -0.045], [-0.05, 0.0, -0.045], [0.05, 0.0, -0.045]])
    return Support(
        name="tank top, support 1",
        lid="tank top",
        width=0.030,
        depth=0.045,
        corners=np.stack([upper, lower]),
        edges=(0.90, 0.94),
        ends=(SQUARE, SQUARE),
        notches=((0.02, 0.2),),
        notched=0.012,
        source="lid-bearers",
    )


@pytest.mark.closed_form
@pytest.mark.parametrize(("which", "sides"), [("first", (0, 3)), ("last", (1, 2))])
def test_an_end_unfolds_with_its_lengths(which: str, sides: tuple[int, int]) -> None:
    """Each stretch of the line to saw along is as long on paper as the edge of the cut between its two corners in the boat."""
    made = support()
    upper, lower = 1000.0 * made.corners
    one, two = sides
    sawn = cut_line(made, which)  # type: ignore[arg-type]
    inside = [lower[two], upper[two], upper[one], lower[one]]
    assert np.linalg.norm(np.diff(sawn, axis=0), axis=1) == pytest.approx(np.linalg.norm(np.diff(inside, axis=0), axis=1))
    places = [30.0, -20.0, 0.0, 50.0] if which == "first" else [-30.0, 20.0, 0.0, -50.0]
    assert sawn[:, 0] == pytest.approx(places)
    assert sawn[:, 1] == pytest.approx([0.0, 45.0, 75.0, 120.0])


@pytest.mark.example
def test_both_ends_of_every_support_are_printed_with_a_line_to_check() -> None:
    """Three supports: six ends by name on pages of A4, each page with 100 mm; a strap let in 20 mm from the end is drawn."""
    pages = list(support_wraps([support()] * 3, "a4", "layout", "mm"))
    said = [item.text for page in pages for item in page.items if isinstance(item, Words) and "support 1:" in item.text]
    assert sorted(said) == ["tank top, support 1: first end, at hull"] * 3 + ["tank top, support 1: last end, at hull"] * 3
    for page in pages:
        assert (page.width, page.height) == (210.0, 297.0)
        lines = [item.points for item in page.items if isinstance(item, Line)]
        assert any(abs(run[0][0] - run[1][0]) == pytest.approx(100.0) for run in lines)
        assert all(0.0 < x < 210.0 and 0.0 < y < 297.0 for run in lines for x, y in run)
    let_in = [item for page in pages for item in page.items if isinstance(item, Line) and item.layer == "marks"]
    assert len(let_in) == 3
