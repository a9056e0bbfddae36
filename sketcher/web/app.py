"""The sketch in the browser: one server on this machine for one boat."""

from __future__ import annotations

import asyncio
import contextlib
import logging
import signal
import socket
import threading
import webbrowser
from collections.abc import Callable, Coroutine
from concurrent.futures import Executor, Future
from pathlib import Path
from typing import Any, TypeVar

from aiohttp import web

from sketcher.analysis.evaluate import evaluate
from sketcher.analysis.evaluation import Evaluation
from sketcher.model.demos import demo_folder, demo_scenes
from sketcher.model.errors import SketchError
from sketcher.model.files.saving import open_scene
from sketcher.model.files.sending import take_out
from sketcher.model.packed import is_packed
from sketcher.model.scene import Scene
from sketcher.outputs.progress import Deadline
from sketcher.web.access import AccessControl, OneLine, guard
from sketcher.web.controller import Controller
from sketcher.web.logic.files.allowed_folders import AllowedFolders
from sketcher.web.logic.files.scene_files import SceneFiles
from sketcher.web.logic.later_bottles import LaterBottles
from sketcher.web.logic.session import Session
from sketcher.web.logic.workspace import Workspace
from sketcher.web.render_thread import OnThisThread, Painter, close_window, probe_opengl
from sketcher.web.server import Wire, add_routes
from sketcher.web.state import Dialog
from sketcher.web.view.frame_loop import FrameLoop

FIRST_PORT, PORTS_TRIED, LAST_PORT = 8029, 20, 65535
R = TypeVar("R")
KEEP_EVERY = 1.0
"""Seconds between looks whether there is unsaved work to keep: what a crash may lose at most."""


def serve(scene_path: str | None = None, host: str = "127.0.0.1", port: int | None = None, open_browser: bool = True) -> None:
    """Open a scene (a demo without one) and serve its page until Ctrl-C.

    port None: the first free one from 8029. Raises SketchError where the scene cannot be read or no port can be had.
    """
    listening = listen(host, port)
    # A second Ctrl-C while the first is being obeyed is no more than the first.
    with contextlib.closing(listening), contextlib.suppress(KeyboardInterrupt):
        opengl_problem, drawing = in_background(probe_opengl), OnThisThread()
        scene = at_hand(scene_path) if scene_path is not None else demo_scenes()[0]
        controller = controller_for(scene, opengl_problem, drawing, None if scene_path is not None else Path.cwd())
        ending = ended_by_signals()
        serving = in_background(lambda: _served(_run(controller, listening, host, open_browser, ending), drawing))
        drawing.work()
        close_window()
        serving.result()
        print("The sketch is closed.")


def ended_by_signals() -> Future[None]:
    """Done once the program is told to end."""
    ending: Future[None] = Future()

    def end(*_: object) -> None:
        if not ending.done():
            ending.set_result(None)

    for sign in (signal.SIGINT, signal.SIGTERM):
        signal.signal(sign, end)
    return ending


def _served(serving: Coroutine[Any, Any, None], drawing: OnThisThread) -> None:
    try:
        asyncio.run(serving)
    finally:
        drawing.shutdown()


def at_hand(path: str) -> Path:
    """The scene to work on; of a boat packed in one file the one that is taken out of it, and where that is."""
    if not is_packed(path):
        return Path(path)
    taken = take_out(path)
    print(f"Taken out of {path}: changes are saved in {taken.scene}.")
    if taken.beside is not None:
        print(f"An earlier copy was changed since and stays as it is: {taken.beside}.")
    return Path(taken.scene)


def in_background(work: Callable[[], R]) -> Future[R]:
    """Something worked out in a thread that nothing waits for when the program ends."""
    answer: Future[R] = Future()

    def do() -> None:
        try:
            answer.set_result(work())
        except Exception as problem:
            answer.set_exception(problem)

    threading.Thread(target=do, daemon=True).start()
    return answer


def listen(host: str, port: int | None) -> socket.socket:
    """A socket listening on the port, or to the first free one where none was asked for. Raises SketchError where none is."""
    if port is not None and not 0 <= port <= LAST_PORT:
        raise SketchError(f"there is no port {port}", f"Give one from 1024 to {LAST_PORT}.")
    wanted = range(FIRST_PORT, FIRST_PORT + PORTS_TRIED) if port is None else [port]
    for number in wanted:
        listening = socket.socket(socket.AF_INET6 if ":" in host else socket.AF_INET, socket.SOCK_STREAM)
        try:
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            listening.bind((host.strip("[]"), number))
            # Two that start at once may both bind a port; only one can listen on it.
            listening.listen()
            return listening
        except OSError as problem:
            listening.close()
            reason = problem.strerror or str(problem)
    tried = f"port {port}" if port is not None else f"none of the ports {wanted[0]} to {wanted[-1]}"
    raise SketchError(f"{tried} on {host} can be had: {reason}", "Give another with --port, or leave it out.")


PATIENCE = 4.0
"""Seconds that bottles may be placed for before the page goes on without the rest, and says so."""


def _evaluate_in_time(scene: Scene) -> Evaluation:
    return evaluate(scene, Deadline(PATIENCE))


def controller_for(
    path: Path, opengl_problem: Future[str] | None, drawing: Executor | None = None, home: Path | None = None
) -> Controller:
    """A controller with a scene opened. opengl_problem: why this machine cannot draw, empty where it can; None: draw nothing.

    drawing: has pictures drawn, always by the same thread; None: by one of their own. home: where new boats go, if no scene was
    asked for: how to begin is asked then.

    Raises SketchError where the scene or its hull cannot be read.
    """
    opened = open_scene(path, half_entered=True)
    demos = demo_folder()
    hull = Path(opened.scene.hull.file or path)
    beside = [hulls] if (hulls := path.resolve().parent.parent / "hulls").is_dir() else []
    at_home = [] if home is None else [home]
    folders = AllowedFolders.about(*at_home, path, *beside, hull, demos / "scenes", demos / "hulls", home=home)
    workspace = Workspace(Session(opened, _evaluate_in_time), SceneFiles(folders))
    if home is not None and workspace.dialog is None:
        workspace.dialog = Dialog(name="start")
    return Controller(workspace, None if opengl_problem is None else Painter(opengl_problem, drawing))


async def _run(controller: Controller, listening: socket.socket, host: str, open_browser: bool, ending: Future[None]) -> None:
    """Serve until told to stop, then tell the pages that it has ended."""
    port = listening.getsockname()[1]
    access = AccessControl(host=host, port=port)
    app = guard(access)
    wire = Wire(wake=lambda: loop.change(), free=lambda: loop.free())
    loop = frame_loop(controller, wire)
    add_routes(app, wire, controller)
    runner = runner_of(app)
    await runner.setup()
    await web.SockSite(runner, listening).start()
    running = asyncio.get_running_loop()

    def news() -> None:
        running.call_soon_threadsafe(loop.change)

    workspace = controller.workspace
    along = workspace.along, workspace.best, workspace.sure
    beside = workspace.build, workspace.judged_hull, *along, workspace.stage, workspace.files.fitting
    for each in (*beside, workspace.drag):
        each.changed = news
    workspace.session.bottles = later = LaterBottles(evaluate, news, PATIENCE)
    _say_where(access, host, port, open_browser)
    tasks = [asyncio.create_task(loop.run()), asyncio.create_task(_keep_work(controller, loop))]
    await asyncio.wrap_future(ending)
    for task in tasks:
        task.cancel()
    workspace.drag.escape()
    controller.keep_work()
    for each in beside:
        each.changed = lambda: None
    workspace.build.stop()
    workspace.end_along()
    later.drop()
    await wire.close()
    await runner.cleanup()


def runner_of(app: web.Application) -> web.AppRunner:
    """What runs the page, its remarks in one line each."""
    return web.AppRunner(app, access_log=None, handle_signals=False, logger=OneLine(logging.getLogger(__name__)))


def frame_loop(controller: Controller, wire: Wire) -> FrameLoop:
    """The loop that brings pictures and markup to the pages."""
    return FrameLoop(
        before=controller.before_picture,
        draw=controller.picture,
        parts=controller.parts,
        send=wire.show,
        ready=wire.any_ready,
        watching=wire.any_open,
        at_rest=controller.at_rest,
    )


async def _keep_work(controller: Controller, loop: FrameLoop) -> None:
    """Keep unsaved work beside the file, watch the file and work out the build, again and again."""
    while True:
        await asyncio.sleep(KEEP_EVERY)
        controller.keep_work()
        controller.build_ahead()
        if controller.notice_file_change():
            loop.change()


def _say_where(access: AccessControl, host: str, port: int, open_browser: bool) -> None:
    shown = "127.0.0.1" if host in ("0.0.0.0", "::") else host
    address = f"http://{f'[{shown}]' if ':' in shown else shown}:{port}/"
    if access.needs_key:
        print(f"This sketch can be reached from other machines. It asks for a key, once for each browser: {access.key}")
        address += f"?key={access.key}"
    print(f"The sketch is at {address}  (Ctrl-C ends it)", flush=True)
    if open_browser:
        webbrowser.open(address)
