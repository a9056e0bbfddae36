"""Random layouts in hulls of known shape, and the same layouts scaled and mirrored."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise

import numpy as np
from hypothesis import strategies as st
from specimens import box_form, form_of, layout_scene, wigley_form

from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import Compartment
from sketcher.geometry.mesh import TriMesh
from sketcher.model.scene import Bulkhead, Lid, Partition, Scene

FORMS = {"box": box_form(4.0, 2.0, 1.0), "wigley": wigley_form(4.0, 1.6, 0.8, columns=40, rows=16)}


def _mm(low: float, high: float) -> st.SearchStrategy[float]:
    return st.integers(round(low * 1000), round(high * 1000)).map(lambda mm: mm / 1000)


@st.composite
def layouts(draw: st.DrawFn) -> tuple[Scene, HullForm]:
    """A scene with up to four bulkheads, raked and at an angle, and lids and partitions between them, tied or not."""
    form = FORMS[draw(st.sampled_from(sorted(FORMS)))]
    places = sorted(draw(st.lists(st.integers(4, 34), min_size=1, max_size=4, unique_by=lambda n: n // 6)))
    bulkheads = tuple(
        Bulkhead(
            name=f"bulkhead {k}",
            at=n / 10 + draw(_mm(0.0, 0.05)),
            thickness=draw(st.sampled_from([0.006, 0.009, 0.012, 0.018])),
            rake=draw(st.sampled_from([0.0, 0.0, -6.0, 4.5])),
            angle=draw(st.sampled_from([0.0, 0.0, 5.0])),
            top=draw(st.sampled_from(["deck", "deck", 0.62])),
        )
        for k, n in enumerate(places)
    )
    ends = ["stem", *(b.name for b in bulkheads), "transom"]
    lids, partitions = [], []
    for k, (start, end) in enumerate(pairwise(ends)):
        if draw(st.booleans()):
            height, slope = draw(_mm(0.25, 0.5)), draw(st.sampled_from([0.0, 0.0, 3.0, -2.0]))
            lids.append(Lid(name=f"lid {k}", height=height, start=start, end=end, thickness=0.012, slope=slope))
        if draw(st.booleans()):
            off, top = (
                draw(_mm(-0.3, 0.3)),
                lids[-1].name if lids and draw(st.booleans()) and lids[-1].name == f"lid {k}" else "deck",
            )
            partitions.append(Partition(name=f"web {k}", off_centre=(off, off), start=start, end=end, thickness=0.009, top=top))
    return layout_scene(form, bulkheads=bulkheads, lids=tuple(lids), partitions=tuple(partitions)), form


def scaled_form(form: HullForm, k: float) -> HullForm:
    return form_of(TriMesh(form.inside.vertices * k, form.inside.triangles, form.inside.labels))


def mirrored_form(form: HullForm) -> HullForm:
    flipped = form.inside.vertices * np.array([1.0, -1.0, 1.0])
    return form_of(TriMesh(flipped, form.inside.triangles[:, ::-1], form.inside.labels))


def _times(value: object, k: float) -> object:
    return value * k if isinstance(value, float) else value


def scaled(scene: Scene, k: float) -> Scene:
    """Every length times k; angles as they are."""
    return replace(
        scene,
        gap_limit=scene.gap_limit * k,
        bulkheads=tuple(replace(b, at=_times(b.at, k), thickness=b.thickness * k, top=_times(b.top, k)) for b in scene.bulkheads),  # type: ignore[arg-type]
        lids=tuple(replace(lid, height=lid.height * k, thickness=lid.thickness * k) for lid in scene.lids),
        partitions=tuple(
            replace(p, off_centre=(p.off_centre[0] * k, p.off_centre[1] * k), thickness=p.thickness * k) for p in scene.partitions
        ),
    )


def mirrored(scene: Scene) -> Scene:
    """Port for starboard."""
    return replace(
        scene,
        bulkheads=tuple(replace(b, angle=-b.angle) for b in scene.bulkheads),
        partitions=tuple(replace(p, off_centre=(-p.off_centre[0], -p.off_centre[1])) for p in scene.partitions),
    )


def volumes(compartments: Iterable[Compartment], above: float) -> list[float]:
    """Sorted volumes [m3] of the compartments larger than `above`."""
    return sorted(c.volume for c in compartments if c.volume > above)
