"""The first guess of a hull: it has the dimensions that were given, a surface, and says of every point that it is guessed."""

from __future__ import annotations

import pytest

from sketcher.analysis.hull.form import form_hull
from sketcher.analysis.ready.typical_forms import FORMS, first_guess
from sketcher.analysis.survey.findings import check_hull
from sketcher.model.document import compose
from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import hull_from, hull_text


@pytest.mark.property
@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("form", FORMS)
def test_each_form_makes_a_hull_of_the_dimensions_given(form: str, units: str) -> None:
    """Length, beam and depth to half a step of the tape; a closed surface; the file reads back as it is."""
    hull = first_guess("Mine", form, units, (6.4, 2.2, 1.05), (0.95, 0.7), 3.1)
    step = {"mm": 5e-4, "in": 1.3e-4}[units]
    assert abs(hull.stations[-1].at - min(x for x, _ in hull.stem) - 6.4) <= step
    assert abs(max(2 * point[0] for station in hull.stations for point in station.points) - 2.2) <= 2 * step
    assert min(point[1] for station in hull.stations for point in station.points) == 0.0
    assert all(station.wholly_guessed for station in hull.stations)
    made = form_hull(hull)
    assert made.inside.volume > 0.25 * 6.4 * 2.2 * 1.05
    assert [finding.code for finding in made.findings] == ["points-guessed"]
    assert hull_from(compose(hull_text(hull), "")) == hull


@pytest.mark.example
def test_freeboards_say_how_high_the_ends_are() -> None:
    """The bow's sheer stands as much over the stern's as the freeboards differ."""
    hull = first_guess("Mine", "round bilge", "mm", (6.4, 2.2, 1.05), (0.95, 0.7))
    assert hull.stem[-1][1] - hull.stations[-1].points[-1][1] == pytest.approx(0.25, abs=1e-3)


@pytest.mark.example
def test_a_guess_is_not_judged_against_itself() -> None:
    """Nothing measured, nothing doubtful."""
    found = check_hull(first_guess("Mine", "chined", "mm", (6.4, 2.2, 1.05)))
    assert [finding.code for finding in found if finding.severity == "warn"] == []


@pytest.mark.property
@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"form": "box"}, "there is no form `box`"),
        ({"units": "yd"}, "no unit of length"),
        ({"dimensions": (6400.0, 2.2, 1.0)}, "no small boat's"),
        ({"dimensions": (6.4, 7.0, 1.0)}, "wider or deeper than she is long"),
        ({"form": "catamaran hull"}, "need their distance"),
        ({"freeboards": (0.0, 0.5)}, "do not go with the depth"),
    ],
)
def test_dimensions_that_cannot_be_are_refused(changes: dict[str, object], words: str) -> None:
    """It is said which, and what to give instead."""
    given = {"name": "x", "form": "chined", "units": "mm", "dimensions": (6.4, 2.2, 1.0)}
    with pytest.raises(SketchError, match=words):
        first_guess(**{**given, **changes})  # type: ignore[arg-type]
