"""Markup built from values: everything that is not already markup is escaped."""

from __future__ import annotations

from html import escape

Attribute = str | float | bool | None


class Markup(str):
    """Text that is already markup and goes into a page as it is."""

    __slots__ = ()


def markup(child: object) -> Markup:
    """A child as markup: None vanishes, Markup stays, anything else is escaped text."""
    if child is None:
        return Markup("")
    return child if isinstance(child, Markup) else Markup(escape(str(child), quote=False))


def join(*children: object) -> Markup:
    return Markup("".join(markup(child) for child in children))


def tag(name: str, /, *children: object, **attributes: Attribute) -> Markup:
    """An element. A trailing underscore of an attribute's name is dropped and the others become hyphens (data_do: data-do).

    True stands bare, None and False vanish.
    """
    words = []
    for key, value in attributes.items():
        if value is None or value is False:
            continue
        name_of = key.rstrip("_").replace("_", "-")
        words.append(f" {name_of}" if value is True else f' {name_of}="{escape(str(value))}"')
    opened = f"<{name}{''.join(words)}>"
    return Markup(opened if name in VOID else f"{opened}{join(*children)}</{name}>")


VOID = frozenset({"input", "br", "hr", "img", "meta", "link"})


def button(label: object, do: str, /, **attributes: Attribute) -> Markup:
    """A button that asks for something; its data attributes are the rest of the message."""
    return tag("button", label, type="button", data_do=do, **attributes)
