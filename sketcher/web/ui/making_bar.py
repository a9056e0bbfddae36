"""The bar from which things are added: an icon, a word and a key for each."""

from __future__ import annotations

from sketcher.outputs.scene3d.objects import ObjectKind
from sketcher.web.state import PageState
from sketcher.web.ui.html import Markup, button, join, tag

SECTION = "M3 5H21C21 13 17 19 12 21 7 19 3 13 3 5Z"
"""A hull cut across, for the icons: 24 units wide and high."""
ICONS: dict[str, tuple[tuple[str, str], ...]] = {
    "bulkhead": (("solid", SECTION),),
    "partition": (("thin", "M2 12C7 6 14 5 22 6V18C14 19 7 18 2 12Z"), ("thick", "M7 12H22")),
    "lid": (("thin", SECTION), ("thick", "M4 11H20")),
    "berth": (("solid", "M2 13H22V18H2Z"), ("thin", "M3 13V10H9V13M4 18V21M20 18V21")),
    "stringer": (("thin", SECTION), ("thin", "M4 10H20"), ("solid", "M4.5 10.5H7.5V14H5.5ZM16.5 10.5H19.5L18.5 14H16.5Z")),
    "opening": (("thin", "M3 3H21V21H3Z"), ("thick", "M9 8H15Q17 8 17 10V14Q17 16 15 16H9Q7 16 7 14V10Q7 8 9 8Z")),
    "more": (("thick", "M12 5V19M5 12H19"),),
}
"""How each icon is drawn: `thin` and `thick` lines, or `solid` and outlined."""
KEYS: dict[ObjectKind, str] = {"bulkhead": "B", "partition": "P", "lid": "L", "berth": "E", "stringer": "S", "opening": "O"}
"""The key that chooses each; D, F and H are taken by what is selected."""
MORE_KEY = "M"
MORE: dict[str, dict[ObjectKind, tuple[str, str]]] = {
    "Goes in": {
        "person": ("person", "P"),
        "stowage": ("stowage", "S"),
        "bottles": ("bottles", "B"),
        "foam": ("foam", "F"),
        "chain": ("chain", "C"),
        "tank": ("tank", "T"),
    },
    "Weighs": {"weight": ("weight", "W"), "part": ("part of the boat", "R")},
    "In the way": {"fitting": ("fitting", "I")},
}
"""What else is added, under what heading, its words and its key once the menu is open."""


def making_bar(state: PageState) -> Markup:
    """The whole bar; what is chosen is marked until it is placed."""
    chosen = state.kind_to_add
    usual = [_choice(kind, key, pressed=chosen == kind) for kind, key in KEYS.items()]
    more = tag(
        "button",
        _icon("more"),
        _lettered("more", MORE_KEY),
        type="button",
        popovertarget="more",
        aria_keyshortcuts=MORE_KEY,
        title=f"What goes in, weights, things in the way ({MORE_KEY})",
        class_="chosen" if chosen is not None and chosen not in KEYS else None,
    )
    return join(*usual, more, _more(chosen))


def _choice(kind: ObjectKind, key: str, *, pressed: bool) -> Markup:
    return button(
        join(_icon(kind), _lettered(kind, key)),
        "add",
        data_value=kind,
        data_key=f"add/{kind}",
        data_letter=key,
        aria_pressed=str(pressed).lower(),
        aria_keyshortcuts=key,
        title=f"Add: {kind} ({key})",
    )


def _more(chosen: ObjectKind | None) -> Markup:
    groups = [
        tag("div", tag("h2", heading), *(_line(kind, *words, pressed=chosen == kind) for kind, words in kinds.items()))
        for heading, kinds in MORE.items()
    ]
    return tag("div", *groups, id="more", popover="auto")


def _line(kind: ObjectKind, word: str, key: str, *, pressed: bool) -> Markup:
    return button(
        join(word, " ", tag("kbd", key, aria_hidden="true")),
        "add",
        data_value=kind,
        data_letter=key,
        aria_pressed=str(pressed).lower(),
        aria_keyshortcuts=key,
    )


def _lettered(word: str, key: str) -> Markup:
    """A word, the letter of its key underlined."""
    before, letter, after = word.partition(key.lower())
    return tag("span", before, tag("u", letter), after)


def _icon(name: str) -> Markup:
    paths = [tag("path", d=drawn, class_=kind) for kind, drawn in ICONS[name]]
    return tag("svg", *paths, viewBox="0 0 24 24", aria_hidden="true")
