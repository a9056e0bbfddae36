"""How a command ends: its exit code, and whatever went wrong in one to three lines on stderr."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import click

from sketcher.model.errors import SketchError

DONE, STOPPED, UNUSABLE, INTERRUPTED = 0, 1, 2, 130
"""Exit codes: done; `check` found a finding that stops; bad usage or an unreadable file; Ctrl-C."""


def exit_code(run: Callable[[], int]) -> int:
    """The code that a run returns, or that what broke it off stands for."""
    _let_any_name_print()
    try:
        return run()
    except click.exceptions.Exit as asked:
        return asked.exit_code
    except click.UsageError as problem:
        return complain(_usage_problem(problem))
    except SketchError as problem:
        return complain(problem)
    except BrokenPipeError:
        # What reads our output has seen enough; Python must not complain again when it closes.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except OSError as problem:
        # Files are read and written with words of their own: what is left is what we print to.
        why = problem.strerror or problem
        return complain(SketchError(f"the output cannot be written: {why}", "Make room, or send it elsewhere."))
    except KeyboardInterrupt:
        return INTERRUPTED
    except MemoryError:
        return complain(SketchError("there is not enough memory for this boat", "Close other programs, or leave panels out."))


def complain(problem: SketchError) -> int:
    """Say a problem, with the line of its key, which what was noticed after reading does not know."""
    from sketcher.model.files.line_lookup import located

    print(located(problem), file=sys.stderr)
    return UNUSABLE


@contextmanager
def buildable(path: str) -> Iterator[None]:
    """A shape that the solids' kernel refuses is the file's fault, and is said as such."""
    from sketcher.geometry.mesh import GeometryError

    try:
        yield
    except GeometryError as problem:
        remedy = "Look at the station or panel changed last: a corner folded over, or faces that cross far outside the boat."
        raise SketchError(f"no closed boat can be made of this: {problem}", remedy, file=path) from problem


def _usage_problem(problem: click.UsageError) -> SketchError:
    """Wrong usage, with the nearest right word if there is one."""
    command = problem.ctx.command_path if problem.ctx else "sketcher"
    if isinstance(problem, click.NoSuchCommand | click.NoSuchOption) and problem.possibilities:
        return SketchError(f"{command}: {problem.message}", f"Did you mean {problem.possibilities[0]}?")
    return SketchError(f"{command}: {problem.format_message()}", f"See: {command} --help")


def _let_any_name_print() -> None:
    """A name that the terminal has no letters for is printed with question marks, not refused."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")
