"""Everything that the page's markup is made from, of the moment."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypedDict

from sketcher.geometry.mesh import Floats
from sketcher.outputs.drawing.cut_outlines import Kind
from sketcher.outputs.scene3d.objects import WATERLINE
from sketcher.outputs.wording.quantities import length_with_unit
from sketcher.web.curves_state import NO_CURVES, CurvesState
from sketcher.web.logic.first_steps import first_steps
from sketcher.web.logic.objects.typed_fields import field_rows
from sketcher.web.logic.objects.water_fields import water_rows
from sketcher.web.logic.scene_objects import exists
from sketcher.web.logic.staged.shown_stage import staged_words
from sketcher.web.logic.workspace import Workspace
from sketcher.web.page.hull_state import hull_state
from sketcher.web.page.picture_labels import PictureLabels
from sketcher.web.state import DamagedCondition, DragFigure, HandlePlace, PageState, SheetState
from sketcher.web.typed_state import FieldRow
from sketcher.web.view.drawing_sheet import NO_SHEET
from sketcher.web.view.ghost_outline import ghost_svg
from sketcher.web.view.handles import lines_of
from sketcher.web.view.sheet.panes import KINDS, has_room_for_all
from sketcher.web.view.sheet.snapping import measure_svg

MOST_LIDS = 3
"""Lids that a drag's figures tell of: more would hide what is being dragged."""


def page_state(
    workspace: Workspace,
    labels: PictureLabels,
    picture_problem: str = "",
    *,
    key_now: bool = True,
    curves: CurvesState = NO_CURVES,
) -> PageState:
    """picture_problem: why no picture can be drawn, empty where one can; key_now: whether the drawings' key is made anew."""
    session, settings, selection = workspace.session, workspace.view_settings, workspace.selection
    damaged, shown = workspace.damaged(), workspace.shown
    boards = workspace.boards() if settings.look.arrangement == "pattern" else None
    placing = workspace.placing
    measuring = workspace.measuring
    measuring.drop_old(shown if damaged is None else damaged.evaluation)
    figures = workspace.drag.figures or measuring.figures(session.scene.units) or placing.figures(resting=workspace.resting)
    if placing.kind is None and not measuring.on and figures and damaged is not None:
        figures += _lids_over_water(damaged, session.scene.units)
    steps = session.hull.history if workspace.at_hull else session.history
    names, figured = labels.labels(lines_of(figures)), workspace.figured
    whole = figured is None and not session.filling
    sheet = _sheet(workspace, damaged, labels.handle_places(), key_now=key_now)
    return PageState(
        evaluation=shown,
        figured=figured,
        views_behind=_views_behind(workspace),
        filling=session.filling,
        look=settings.look,
        file=session.file,
        selected=selection.selected,
        tab=selection.tab,
        unsaved=session.unsaved,
        undo=steps.undo_name,
        redo=steps.redo_name,
        notice=session.notices.shown,
        drag_figures=figures,
        corner=labels.corner,
        dialog=workspace.dialog,
        kind_to_add=placing.kind,
        ghost=_over_picture(workspace),
        beside_pointer=(placing.kind is not None and placing.by_pointer) or (measuring.on and measuring.by_pointer),
        cut_range=settings.cut_range(),
        picture_problem=picture_problem,
        pointer_over="place" if placing.kind is not None else selection.pointer_over,
        echo=workspace.echo,
        spoken=workspace.spoken or _waiting_words(workspace, figures),
        fields=_fields(workspace),
        steps=first_steps(workspace),
        labels=names,
        handles=labels.handles(),
        damage=damaged,
        holes=workspace.damage.in_turn(resting=workspace.resting and whole),
        kept=workspace.comparing.side_by_side(resting=workspace.resting and whole and settings.look.arrangement == "compare"),
        picture_size=settings.size,
        sheet=sheet,
        drawn=SheetState(
            key=workspace.sheet.key,
            kinds=tuple(pane.kind for pane in workspace.sheet.panes),
            all_fit=has_room_for_all(shown, workspace.sheet.size),
            whole=workspace.sheet.is_whole,
            whole_pattern=workspace.pattern.paper.is_whole,
            measuring=measuring.on,
        ),
        boards=boards,
        pattern=workspace.pattern.paper.markup(boards, session.scene.units),
        build=workspace.build.state(session.scene),
        hull=hull_state(workspace) if workspace.at_hull else None,
        half_entered=workspace.half_entered,
        curves=curves,
        sure=None if workspace.drag.object_drag is not None else workspace.sure.of(workspace.shown.scene),
        **_stages(workspace),
    )


class _Stages(TypedDict):
    stages: tuple[str, ...]
    stage: int
    stage_behind: bool
    stage_problem: str
    later: str


def _stages(workspace: Workspace) -> _Stages:
    """After which stage she is shown, where there are any."""
    stage, selected = workspace.stage, workspace.selection.selected
    choices = staged_words(workspace.session.scene)
    at = next((k for k, (number, _) in enumerate(choices, 1) if number == stage.number and number is not None), 0)
    there = selected is None or selected.kind == "compartment" or exists(workspace.shown, selected)
    return _Stages(
        stages=tuple(word for _, word in choices),
        stage=at,
        stage_behind=at > 0 and stage.behind,
        stage_problem=stage.problem if at else "",
        later="" if there or selected is None else selected.name,
    )


def _fields(workspace: Workspace) -> tuple[FieldRow, ...]:
    """What can be typed of what is selected."""
    ref, session = workspace.selection.selected, workspace.session
    marks = water_rows(session.evaluation, workspace.editor.water_typed) if ref == WATERLINE else ()
    return (*marks, *field_rows(session.scene, ref))


def _views_behind(workspace: Workspace) -> tuple[Kind, ...]:
    """The drawings that wait for the hand to rest: they show what it moves at another place."""
    return () if workspace.resting else tuple(kind for kind in KINDS if kind not in workspace.drag.views_now)


def _lids_over_water(damaged: DamagedCondition, units: str) -> tuple[DragFigure, ...]:
    """How far each lid stands over the water while she is holed and something is dragged."""
    lids = damaged.case.lids[:MOST_LIDS]
    return tuple(DragFigure(f"{lid.name} over water", length_with_unit(lid.clear_of_water, units)) for lid in lids)


def _over_picture(workspace: Workspace) -> str:
    """What waits to be placed, and what of a layout kept as B is elsewhere, over the picture in its pixels."""
    settings = workspace.view_settings
    if not settings.shows_boat:
        return ""

    def flat(points: Floats) -> Floats:
        return settings.camera.project(points, settings.size)[:, :2]

    differing = workspace.comparing.outlines(resting=workspace.resting) if settings.look.beside else None
    now, kept = ("", "") if differing is None else (ghost_svg(ghost, flat) for ghost in differing)
    waiting = "" if workspace.placing.kind is None else ghost_svg(workspace.placing.would_be().ghost, flat)
    return (f'<g class="now">{now}</g><g class="kept">{kept}</g>' if now or kept else "") + waiting


def _waiting_words(workspace: Workspace, figures: tuple[DragFigure, ...]) -> str:
    """What waits to be placed as it is read out to who moves it by keys, once they rest."""
    placing = workspace.placing
    if placing.kind is None or placing.by_pointer or not workspace.resting:
        return ""
    return ", ".join(f"{figure.label} {figure.value}".strip() for figure in figures)


def _sheet(
    workspace: Workspace, damaged: DamagedCondition | None, held: Sequence[HandlePlace], *, key_now: bool
) -> dict[str, str]:
    """The drawings, if they are seen: while something is dragged only those that can follow at once are made anew."""
    look, sheet = workspace.view_settings.look, workspace.sheet
    if look.arrangement not in ("both", "drawings", "compare"):
        return NO_SHEET
    sheet.before = None if damaged is None else damaged.case.intact
    sheet.water_in = {} if damaged is None else damaged.water_in
    evaluation = workspace.shown if damaged is None else damaged.evaluation
    views = KINDS if workspace.resting else workspace.drag.views_now
    ghost = None if workspace.placing.kind is None else workspace.placing.would_be().ghost
    # What a hole does to the water is not what another layout is about.
    kept = workspace.comparing.kept if look.beside and damaged is None else None
    measuring, measured = workspace.measuring, ""
    pane = next((pane for pane in sheet.panes if pane.kind == measuring.kind), None)
    if measuring.on and measuring.ends is not None and pane is not None:
        measured = measure_svg(pane, sheet.size[1], measuring.ends, measuring.here if measuring.over == pane.kind else None)
    selected = workspace.selection.selected
    return sheet.parts(evaluation, look, selected, views, key_now=key_now, ghost=ghost, kept=kept, measured=measured, held=held)
