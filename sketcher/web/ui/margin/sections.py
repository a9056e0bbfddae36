"""The margin's sections, by the id of the element that holds each."""

from __future__ import annotations

from collections.abc import Callable

from sketcher.web.state import PageState
from sketcher.web.ui.html import Markup
from sketcher.web.ui.margin.afloat import afloat_section
from sketcher.web.ui.margin.again import again_section
from sketcher.web.ui.margin.berths import berths_section
from sketcher.web.ui.margin.compartments import compartments_section
from sketcher.web.ui.margin.contents import contents_section
from sketcher.web.ui.margin.damage import damage_section
from sketcher.web.ui.margin.findings import findings_section, first_section
from sketcher.web.ui.margin.limits import limits_section
from sketcher.web.ui.margin.object_list import object_list
from sketcher.web.ui.margin.selected_object import selected_card
from sketcher.web.ui.margin.stages import stages_section
from sketcher.web.ui.margin.steps import steps_section
from sketcher.web.ui.margin.tabs import tabs

MARGIN: dict[str, Callable[[PageState], Markup | None]] = {
    "stages": stages_section,
    "steps": steps_section,
    "tabs": tabs,
    "selected": selected_card,
    "first": first_section,
    "flood": damage_section,
    "spaces": compartments_section,
    "berths": berths_section,
    "contents": contents_section,
    "limits": limits_section,
    "noticed": findings_section,
    "parts": object_list,
    "afloat": afloat_section,
    "again": again_section,
}
