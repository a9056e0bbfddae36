"""What was noticed about hull or scene, in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Severity = Literal["stop", "warn", "note"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """Something noticed. It never stops the work. message: plain words that say what, where, by how much and what to do.

    code: a stable kebab-case word. object: the panel, compartment, berth, station it is about. measured, limit: in SI or text.
    source: an id in `analysis.sources`, or None. binding: whom the rule binds, in words; None where there is no rule.
    """

    code: str
    severity: Severity
    object: str
    message: str
    measured: float | str | None = None
    limit: float | str | None = None
    source: str | None = None
    binding: str | None = None
    at: tuple[float, float, float] | None = None
