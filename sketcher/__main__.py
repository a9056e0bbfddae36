"""The command `sketcher`, and `python -m sketcher`: one run, and out as soon as all is written."""

import gc
import os
import sys
from contextlib import suppress
from typing import NoReturn

OBJECTS_APART = 100_000
"""New objects between two searches for garbage: a report makes some 70 000, hardly any to be thrown away, and one search costs it
10 ms."""


def run() -> NoReturn:
    """Run the command typed and end the process with its code, without taking every object apart first."""
    gc.set_threshold(OBJECTS_APART)
    # Matrices here have three columns: a second thread for their products only takes the core from what is drawn meanwhile.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from sketcher.cli import main

    code = main()
    for stream in (sys.stdout, sys.stderr):
        with suppress(OSError, ValueError):
            stream.flush()
    os._exit(code)


if __name__ == "__main__":
    run()
