"""What the colours in the picture mean, in a corner of it; where there is no room, behind a button."""

from __future__ import annotations

from sketcher.outputs.scene3d.lettering.picture_key import Key, picture_key, tint_keys
from sketcher.web.state import PageState
from sketcher.web.ui.html import Markup, tag

ROOMY = (560, 260)
"""Pixels across and down a picture that has room for the key beside the boat; in a smaller one it is opened by hand."""


def key_of_picture(state: PageState) -> Markup:
    """Nothing where no picture is drawn."""
    if state.picture_problem:
        return Markup("")
    damage = state.damage
    flooded = () if damage is None else tuple(damage.water_in)
    shown = state.evaluation if damage is None else damage.evaluation
    keys = [*tint_keys(shown, state.look, flooded), *picture_key(shown, state.look, flooded, holed=damage is not None)]
    roomy = state.picture_size[0] >= ROOMY[0] and state.picture_size[1] >= ROOMY[1]
    rows = tag("ul", *(tag("li", _patch(key), key.words) for key in keys))
    # Another element where there is another room for it: what was opened by hand stays open.
    return tag("details", tag("summary", "Key"), rows, open=roomy, data_key=f"key/{roomy}")


def _patch(key: Key) -> Markup:
    """A patch of its colour, or a line."""
    if key.width is None:
        mark = tag("rect", x=0.5, y=0.5, width=17, height=11, fill=key.colour, class_="swatch")
    else:
        mark = tag("line", x1=0, y1=6, x2=18, y2=6, stroke=key.colour, stroke_width=key.width)
    return tag("svg", mark, viewBox="0 0 18 12", aria_hidden="true")
