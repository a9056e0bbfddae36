"""The strip along the top: which layout this is, whether it is saved, and what can be done with it as a whole."""

from __future__ import annotations

from sketcher.web.state import ARRANGEMENTS, PageState
from sketcher.web.ui.html import Markup, button, join, tag

ARRANGEMENT_WORDS = {
    "both": "Boat and drawings",
    "boat": "Boat",
    "drawings": "Drawings",
    "hull": "Hull",
    "compare": "Compare",
    "pattern": "Pattern",
    "build": "Build",
}

HALF_ENTERED = "No boat comes of the hull's numbers yet: what is shown is her as she was before, or without what is wrong"


def bar(state: PageState) -> Markup:
    """The whole strip."""
    return join(
        tag("h1", button(state.evaluation.scene.name, "dialog", data_name="title", title="Give this layout another title")),
        tag("span", state.file, class_="file"),
        tag("span", "not saved", class_="unsaved"),
        tag("span", "hull half-entered", class_="half", title=HALF_ENTERED) if state.half_entered else None,
        tag("span", class_="space"),
        tag(
            "div",
            *(
                button(word, "arrange", data_arrangement=key, aria_pressed=str(state.look.arrangement == key).lower())
                for key, word in ((key, ARRANGEMENT_WORDS[key]) for key in ARRANGEMENTS)
            ),
            class_="group",
            role="group",
            aria_label="What is shown",
        ),
        tag(
            "div",
            _step("Undo", "undo", state.undo, "Ctrl+Z"),
            _step("Redo", "redo", state.redo, "Ctrl+Y"),
            button("Steps", "dialog", data_name="steps", title="All steps by name: go back to any of them"),
            class_="group",
        ),
        tag(
            "div",
            button("Save", "save", class_="main" if state.unsaved else "plain", title="Save the scene's file (Ctrl+S)"),
            tag("button", "More", type="button", class_="plain", popovertarget="menu"),
            class_="group",
        ),
        menu(),
    )


def _step(word: str, do: str, name: str | None, keys: str) -> Markup:
    """Undo or redo, named by what it would take back or do again."""
    title = f"{word}: {name} ({keys})" if name else f"Nothing to {word.lower()}"
    return button(word, do, title=title, aria_label=title, aria_disabled=str(name is None).lower())


def menu() -> Markup:
    """Files, exports and help."""
    return tag(
        "div",
        button("Open another scene…", "dialog", data_name="open"),
        button("New boat from her dimensions…", "dialog", data_name="new boat"),
        button("New scene from a hull…", "dialog", data_name="new"),
        button("Save as…", "dialog", data_name="save as"),
        tag("a", "One file to send, with hull and layout", href="/download/boat.zip", download=True),
        tag("hr"),
        tag("a", "One page to print, PDF", href="/download/page.pdf", download=True),
        tag("a", "Drawings as SVG", href="/download/drawings.svg", download=True),
        tag("a", "Drawings as PDF", href="/download/drawings.pdf", download=True),
        tag("a", "Picture, twice the size, PNG", href="/download/picture.png", download=True),
        tag("hr"),
        button("Keyboard and mouse", "dialog", data_name="keys"),
        id="menu",
        popover="auto",
    )
