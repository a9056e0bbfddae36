"""The command `sketcher`, and `python -m sketcher`: one run, and out as soon as all is written."""

import ctypes
import gc
import os
import sys
from contextlib import suppress
from typing import NoReturn

OBJECTS_APART = 100_000
"""New objects between two searches for garbage: a report makes some 70 000, hardly any to be thrown away, and one search costs it
10 ms."""
HELD = 1 << 25
"""[bytes] Memory given back by arrays is kept for the next ones up to twice this, and for arrays up to this: to have it from the
system anew each time costs a report a twentieth."""
_TRIM_THRESHOLD, _MMAP_THRESHOLD = -1, -3
"""Numbers of the C library's `mallopt`."""


def run() -> NoReturn:
    """Run the command typed and end the process with its code, without taking every object apart first."""
    gc.set_threshold(OBJECTS_APART)
    _keep_memory()
    # Matrices here have three columns: a second thread for their products only takes the core from what is drawn meanwhile.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from sketcher.cli import main

    code = main()
    for stream in (sys.stdout, sys.stderr):
        with suppress(OSError, ValueError):
            stream.flush()
    os._exit(code)


def _keep_memory() -> None:
    """Have the C library keep what arrays give back, where it is one that can be told so."""
    mallopt = getattr(ctypes.CDLL(None), "mallopt", None) if sys.platform == "linux" else None
    if mallopt is not None:
        mallopt(_TRIM_THRESHOLD, 2 * HELD)
        mallopt(_MMAP_THRESHOLD, HELD)


if __name__ == "__main__":
    run()
