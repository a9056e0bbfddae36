"""What goes into the spaces, in the margin: who lies where, bottles, chain, foam, tanks, stowage and the swamped answer."""

from __future__ import annotations

from collections.abc import Iterator

from sketcher.analysis.fit.contents_results import Contents
from sketcher.analysis.fit.foam import credit_phrase
from sketcher.outputs.scene3d.objects import ObjectKind, ObjectRef
from sketcher.outputs.wording.quantities import length_with_unit, litres, mass_number, mass_unit
from sketcher.outputs.wording.sentences import words
from sketcher.web.state import PageState
from sketcher.web.ui.html import Markup, button, join, tag

Row = tuple[ObjectKind, str, str, str, bool]
"""Kind and name of an object, what is said of it, its figure, and whether something is amiss."""


def contents_section(state: PageState) -> Markup | None:
    """One table of all that goes in; None where nothing does."""
    inside = state.evaluation.contents
    if inside is None:
        return None
    units = state.evaluation.scene.units
    rows = [_row(state, *row) for row in _rows(inside, units)]
    answer = tag("p", words(inside.swamped.answer, units), class_="small") if inside.swamped is not None else None
    if not rows and answer is None:
        return None
    return tag("section", tag("h2", "What goes in"), tag("table", tag("tbody", *rows)), answer, aria_label="What goes in")


def _rows(inside: Contents, units: str) -> Iterator[Row]:
    for place in inside.lying:
        for one in place.each:
            needs = f"length needed {length_with_unit(one.needed, units)}"
            short = f"short by {length_with_unit(one.short_by, units)}" if one.short_by else "no place for them"
            verdict = f"{short}, {needs}" if one.fits is False else f"fits, {needs}" if one.fits else "not known"
            longest = length_with_unit(one.length, units)
            figure = longest if one.length is None else f"at most {longest}"
            yield "person", one.name, f"{place.berth} · {verdict}", figure, one.fits is False
    for room in inside.rooms:
        goes_in = {None: "", True: " · goes in", False: " · too big"}[room.fits]
        yield "stowage", room.name, f"{room.space}{goes_in}", f"{litres(room.volume)} l", room.fits is False
    for space in inside.bottles:
        for stow in space.stows:
            lift = "lift not known" if stow.lift is None else f"gross lift {mass_number(stow.lift, units)} {mass_unit(units)}"
            yield "bottles", stow.name, f"{stow.space} · {lift}", f"{stow.count}", stow.count == 0
    for chain in inside.chains:
        verdict = "stows itself" if chain.stows_itself else "does not go in" if chain.full.reaches else "needs a hand"
        figure = f"{mass_number(chain.mass, units)} {mass_unit(units)}"
        yield "chain", chain.name, f"{verdict} · falls {length_with_unit(chain.fall, units)}", figure, not chain.stows_itself
    for foam in inside.foams:
        yield "foam", foam.name, f"{foam.space} · {words(credit_phrase(foam), units)}", f"{litres(foam.volume)} l", False
    for tank in inside.tanks:
        yield (
            "tank",
            tank.name,
            f"{tank.holds} · {mass_number(tank.full, units)} {mass_unit(units)} full",
            f"{litres(tank.volume)} l",
            False,
        )


def _row(state: PageState, kind: ObjectKind, name: str, said: str, figure: str, amiss: bool) -> Markup:
    ref = ObjectRef(kind, name)
    words_of_it = tag("small", said, class_="sign" if amiss else None)
    return tag(
        "tr",
        tag("td", button(join(name, words_of_it), "select", class_="name", data_part=ref.key)),
        tag("td", figure, class_="number", data_figure=f"{kind}/{name}"),
        class_="chosen" if state.selected == ref else None,
        data_key=f"in/{ref.key}",
    )
