"""How heavy materials are, for what is planned and for what floats swamped."""

from __future__ import annotations

GRAVITIES = {
    "lead": 11.34,
    "cast iron": 7.2,
    "steel": 7.85,
    "aluminium": 2.71,
    "concrete": 2.4,
    "GRP": 1.5,
    "oak": 0.63,
    "teak": 0.65,
    "pine": 0.50,
    "plywood": 0.55,
    "balsa": 0.16,
}
"""Specific gravities; 1 - 1/SG gives the published factors. Sources `swamped-weight` and `swamped-weight-others`."""


def specific_gravity(material: str) -> float | None:
    """The specific gravity of the first material of the table that is named in a text; None where none is.

    >>> specific_gravity("birch plywood, 9 ply"), specific_gravity("grp sandwich"), specific_gravity("cheese")
    (0.55, 1.5, None)
    """
    named = material.casefold()
    return next((gravity for name, gravity in GRAVITIES.items() if name.casefold() in named), None)
