"""Scenes opened, begun and saved through the page, all within the chosen folders."""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from sketcher.analysis.ready.layouts import LAYOUTS
from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import read_hull, write_hull
from sketcher.model.files.recovery import Recovery, drop_recovery, find_recoveries, recovery_files
from sketcher.model.files.replacement import replace_file
from sketcher.model.files.saving import SceneDocument, changed_elsewhere, hull_file, open_scene
from sketcher.model.files.scene_file import new_scene_text
from sketcher.model.files.tables.tape_table import read_tape_table
from sketcher.model.scene import Scene
from sketcher.outputs.wording.say import listed
from sketcher.outputs.wording.sentences import capitalized
from sketcher.web.logic.files.allowed_folders import AllowedFolders
from sketcher.web.logic.files.boat_begun import begin_boat
from sketcher.web.logic.files.layout_fitting import LayoutFitting, NewScene
from sketcher.web.logic.session import Session
from sketcher.web.state import Dialog, Notice


@dataclass(eq=False, repr=False)
class SceneFiles:
    """What the page may do with files. Each method gives back the question to ask next, None where there is none.

    fitting: fits ready layouts beside the server.
    """

    folders: AllowedFolders
    fitting: LayoutFitting = field(default_factory=LayoutFitting)
    _noticed: SceneDocument | None = None

    def save(self, session: Session) -> Dialog | None:
        """Save; a file changed elsewhere is left alone and the owner asked."""
        if changed_elsewhere(session.opened):
            return Dialog(name="changed", about=session.file)
        session.save()
        return None

    def save_as(self, session: Session, name: str, *, replace: bool) -> Dialog | None:
        """Save beside the scene under another name; a name that will not do is asked for again.

        A scene of that name is replaced only when that is asked for; any other file of that name never is.
        """
        try:
            path = self.folders.new_file(Path(session.opened.path), name)
            if path.exists():
                if path not in self.folders.scenes().values():
                    raise SketchError("there is a file of this name already, which is no scene", "Choose another name.")
                if not replace:
                    problem = "There is a scene of this name already. Choose another name, or replace it: it cannot be undone."
                    return Dialog(name="save as", about=path.name, options=(path.name,), problem=problem)
            session.save_as(str(path), replace=replace)
        except SketchError as problem:
            return Dialog(name="save as", about=name, problem=f"{problem.message}. {problem.remedy}")
        return None

    def open(self, session: Session, name: str, *, sure: bool) -> Dialog | None:
        """Go on with another scene; unsaved work is asked about first.

        Raises SketchError where it cannot be read; then this one stays.
        """
        path = self._known(name)
        if session.unsaved and not sure:
            return Dialog(name="leave", about=name)
        session.open(open_scene(path, half_entered=True))
        return self.offer_recovery(session)

    def other(self, name: str) -> Scene:
        """A scene of the chosen folders as it is saved. Raises SketchError where there is none, or it cannot be read."""
        return open_scene(self._known(name)).scene

    def _known(self, name: str) -> Path:
        path = self.folders.scenes().get(name)
        if path is None:
            raise SketchError(f"there is no scene `{name}` in the chosen folders", "Choose one of the list.")
        return path

    def reload(self, session: Session) -> None:
        """Read the scene's file again as it now is; what was not saved is left behind."""
        session.open(open_scene(session.opened.path, half_entered=True))
        session.notices.tell(f"Read {session.file} again")

    def hulls(self, session: Session) -> tuple[str, ...]:
        """The hulls to begin a scene in, the one that is open first."""
        hulls = self.folders.hulls()
        own = Path(hull_file(session.opened.path, session.scene.hull_path)).resolve()
        return tuple(sorted(hulls, key=lambda name: hulls[name].resolve() != own))

    def new(self, session: Session, hull: str, name: str, file: str, layout: str = "") -> Dialog | None:
        """Begin a scene in a hull, or in a table of measurements that is made a hull of first.

        layout: a ready one: it is fitted beside the server, and the question says so until `take_fitted`; empty: none.
        """
        try:
            wanted = self._wanted(session, hull, name, file, layout)
            if layout:
                self.fitting.begin(wanted)
                return Dialog(name="fitting", about=hull, options=(layout,))
            self._begin(session, wanted, "")
        except SketchError as problem:
            return self._asked_again(session, file, problem)
        return None

    def take_fitted(self, session: Session) -> tuple[Dialog | None] | None:
        """Go on in the scene whose layout is fitted, or ask again why it cannot be; None: there is nothing new."""
        wanted = self.fitting.wanted
        try:
            come = self.fitting.newly_come()
            if come is None:
                return None
            wanted, text = come
            self._refuse_loss(session, wanted.target)
            self._begin(session, wanted, text)
        except SketchError as problem:
            return (self._asked_again(session, wanted.target.name if wanted else "", problem),)
        return (None,)

    def _wanted(self, session: Session, hull: str, name: str, file: str, layout: str) -> NewScene:
        """The scene to be begun. Raises SketchError where it cannot be."""
        source = self.folders.hulls().get(hull)
        if source is None:
            raise SketchError(f"there is no hull `{hull}` in the chosen folders", "Choose one of the list.")
        target = self.folders.new_file(Path(session.opened.path), file)
        self._refuse_loss(session, target)
        if layout and layout not in LAYOUTS:
            raise SketchError(f"there is no ready layout `{layout}`", "Choose one of the list.")
        hull_path = _hull_path(source)
        if hull_path != source and hull_path.exists():
            raise SketchError(f"there is a hull {hull_path.name} beside this table already", "Choose that hull, or rename it.")
        between = Path(os.path.relpath(hull_path, target.parent)).as_posix()
        return NewScene(hull, source, target, between, name.strip() or "First layout", layout)

    def _refuse_loss(self, session: Session, target: Path) -> None:
        if target.exists():
            raise SketchError("there is a file of this name already", "Choose another name.")
        if session.unsaved:
            raise SketchError("this scene has unsaved work", "Save it first.")

    def _begin(self, session: Session, wanted: NewScene, text: str) -> None:
        """Write a scene in a hull and go on in it; a table of measurements becomes a hull file beside it first."""
        hull_path = _hull_path(wanted.source)
        if hull_path != wanted.source:
            write_hull(read_tape_table(wanted.source).hull, hull_path)
        units = read_hull(hull_path).units
        replace_file(wanted.target, (text or new_scene_text(wanted.title, wanted.between, units)).encode())
        session.open(open_scene(wanted.target))

    def _asked_again(self, session: Session, file: str, problem: SketchError) -> Dialog:
        words = f"{problem.message}. {problem.remedy}"
        return Dialog(name="new", about=file, options=self.hulls(session), problem=words)

    def new_boat(self, session: Session, typed: tuple[str, ...]) -> Dialog | None:
        """Begin a boat from her principal dimensions, and a scene in her; what will not do is asked for again."""
        try:
            if session.unsaved:
                raise SketchError("this scene has unsaved work", "Save it first.")
            beside = Path(session.opened.path)
            session.open(open_scene(begin_boat(typed, lambda name: self.folders.new_file(beside, name))))
        except SketchError as problem:
            return Dialog(name="new boat", options=typed, problem=f"{capitalized(problem.message)}. {problem.remedy}")
        return None

    def recover(self, session: Session, which: str, *, take: bool) -> Dialog | None:
        """Take up work that an earlier run could not save, or forget it and ask about the next.

        which: the file it is kept in, as the question named it. When one is taken up, others stay for another opening.
        """
        works, measured = session.found_work(), session.hull.found_work()
        chosen = next((work for work in works if Path(work.path).name == which), None)
        of_hull = next((work for work in measured if Path(work.path).name == which), None)
        found = chosen or of_hull
        if found is None or not take:
            if found is not None:
                drop_recovery(found)
            return self.offer_recovery(session)
        if chosen is not None:
            session.take_up(chosen)
        elif of_hull is not None:
            session.hull.take_up(of_hull)
        if measured and chosen is not None:
            return self.offer_recovery(session)
        if len(works) > 1:
            session.notices.tell("Other unsaved work stays kept beside the scene: it is offered when she is opened again.")
        return None

    def offer_recovery(self, session: Session) -> Dialog | None:
        """Ask about the newest work that earlier runs could not save."""
        works = session.found_work()
        return _asked(session.file, works) if works else _asked(session.hull.file, session.hull.found_work())

    def kept_elsewhere(self, session: Session) -> Notice | None:
        """Which other scenes of the chosen folders have unsaved work kept beside them; None where there is none."""
        here = Path(session.opened.path).resolve()
        found = [name for name, path in self.folders.scenes().items() if path.resolve() != here and _has_kept_work(path)]
        if not found:
            return None
        return Notice(text=f"Unsaved work was kept in {listed(found)}.", remedy="More, Open another scene takes it up again.")

    def notice_change(self, session: Session) -> Dialog | None:
        """Ask what to do where the scene's file was changed by something else: once of each time that it was read."""
        if session.opened is self._noticed or not changed_elsewhere(session.opened):
            return None
        self._noticed = session.opened
        return Dialog(name="changed", about=session.file)


def _asked(file: str, works: Sequence[Recovery[Any]]) -> Dialog | None:
    """The question about the newest work kept beside a file; None where there is none."""
    if not works:
        return None
    when = datetime.fromtimestamp(works[0].kept).strftime("%d %B, %H:%M")
    return Dialog(name="recover", about=file, options=(Path(works[0].path).name, when, str(len(works))))


def next_name(path: Path) -> str:
    """A free name that counts on from this one: layout.yaml, layout-2.yaml."""
    stem = re.sub(r"-\d+$", "", path.stem)
    number = next(number for number in range(2, 1000) if not path.with_name(f"{stem}-{number}.yaml").exists())
    return f"{stem}-{number}.yaml"


def _has_kept_work(path: Path) -> bool:
    try:
        return bool(recovery_files(path)) and bool(find_recoveries(open_scene(path, half_entered=True)))
    except SketchError:
        return False


def _hull_path(source: Path) -> Path:
    """The hull's file: of a table of measurements the one that is made of it, beside it."""
    return source.with_suffix(".yaml") if source.suffix.lower() == ".csv" else source
