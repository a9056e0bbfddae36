"""The sketch in the browser: one server on this machine, one boat on its desk."""

from __future__ import annotations

import asyncio
import contextlib
import signal
import socket
import threading
import webbrowser
from collections.abc import Callable
from concurrent.futures import Future
from pathlib import Path

from aiohttp import web

from sketcher.analysis.evaluate import evaluate
from sketcher.analysis.evaluation import Evaluation
from sketcher.model.demos import demo_folder, demo_scenes
from sketcher.model.errors import SketchError
from sketcher.model.files.saving import open_scene
from sketcher.model.scene import Scene
from sketcher.outputs.progress import Deadline
from sketcher.web.access import Doors, guard
from sketcher.web.controller import Controller
from sketcher.web.handlers import ASKS
from sketcher.web.logic.allowed_folders import Folders
from sketcher.web.logic.files import Files
from sketcher.web.logic.session import Session
from sketcher.web.render_thread import Painter, probe_opengl
from sketcher.web.server import Wire, add_routes
from sketcher.web.view.frame_loop import FrameLoop

FIRST_PORT, PORTS_TRIED, LAST_PORT = 8029, 20, 65535
KEEP_EVERY = 1.0
"""Seconds between looks whether there is unsaved work to keep: what a crash may lose at most."""


def serve(scene_path: str | None = None, host: str = "127.0.0.1", port: int | None = None, open_browser: bool = True) -> None:
    """Open a scene (a demo without one) and serve its page until Ctrl-C.

    port None: the first free one from 8029. Raises SketchError where the scene cannot be read or no port can be had.
    """
    listening = listen(host, port)
    # A second Ctrl-C while the first is being obeyed is no more than the first.
    with contextlib.closing(listening), contextlib.suppress(KeyboardInterrupt):
        able = serve_beside(probe_opengl)
        desk = desk_for(Path(scene_path) if scene_path is not None else demo_scenes()[0], able)
        asyncio.run(_run(desk, listening, host, open_browser))
        print("The sketch is closed.")


def serve_beside(work: Callable[[], str]) -> Future[str]:
    """Something worked out in a thread that nothing waits for when the program ends."""
    answer: Future[str] = Future()
    threading.Thread(target=lambda: answer.set_result(work()), daemon=True).start()
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


def _patiently(scene: Scene) -> Evaluation:
    return evaluate(scene, Deadline(PATIENCE))


def desk_for(path: Path, able: Future[str] | None) -> Controller:
    """A desk with a scene on it. able: what becomes of the trial whether this machine can draw; None: draw nothing.

    Raises SketchError where the scene or its hull cannot be read.
    """
    opened = open_scene(path)
    demos = demo_folder()
    hull = Path(opened.scene.hull.file or path)
    beside = [hulls] if (hulls := path.resolve().parent.parent / "hulls").is_dir() else []
    folders = Folders.about(path, *beside, hull, demos / "scenes", demos / "hulls")
    return Controller(Session(opened, _patiently), Files(folders), None if able is None else Painter(able), ASKS)


async def _run(desk: Controller, listening: socket.socket, host: str, open_browser: bool) -> None:
    """Serve until told to stop, then say good-bye to the pages."""
    port = listening.getsockname()[1]
    doors = Doors(host=host, port=port)
    app = guard(doors)
    wire = Wire(wake=lambda: loop.change(), free=lambda: loop.free())
    loop = frame_loop(desk, wire)
    add_routes(app, wire, desk)
    runner = web.AppRunner(app, access_log=None, handle_signals=False)
    await runner.setup()
    await web.SockSite(runner, listening).start()
    running = asyncio.get_running_loop()

    def build_news() -> None:
        running.call_soon_threadsafe(loop.change)

    desk.building.wake = build_news
    stopped = asyncio.Event()
    for sign in (signal.SIGINT, signal.SIGTERM):
        running.add_signal_handler(sign, stopped.set)
    _say_where(doors, host, port, open_browser)
    tasks = [asyncio.create_task(loop.run()), asyncio.create_task(_keep_work(desk, loop))]
    await stopped.wait()
    for task in tasks:
        task.cancel()
    desk.dragging.escape()
    desk.keep_work()
    desk.building.wake = lambda: None
    desk.building.stop()
    await wire.close()
    await runner.cleanup()


def frame_loop(desk: Controller, wire: Wire) -> FrameLoop:
    """The loop that brings the desk's state to the pages."""
    return FrameLoop(
        before=desk.before_picture,
        draw=desk.picture,
        parts=desk.parts,
        send=wire.show,
        ready=wire.any_ready,
        watching=wire.any_open,
        at_rest=desk.at_rest,
    )


async def _keep_work(desk: Controller, loop: FrameLoop) -> None:
    """Keep unsaved work beside the file and watch the file, again and again."""
    while True:
        await asyncio.sleep(KEEP_EVERY)
        desk.keep_work()
        if desk.look_at_file():
            loop.change()


def _say_where(doors: Doors, host: str, port: int, open_browser: bool) -> None:
    shown = "127.0.0.1" if host in ("0.0.0.0", "::") else host
    address = f"http://{f'[{shown}]' if ':' in shown else shown}:{port}/"
    if doors.needs_key:
        print(f"This sketch can be reached from other machines. It asks for a key, once for each browser: {doors.key}")
        address += f"?key={doors.key}"
    print(f"The sketch is at {address}  (Ctrl-C ends it)", flush=True)
    if open_browser:
        webbrowser.open(address)
