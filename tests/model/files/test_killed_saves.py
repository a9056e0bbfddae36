"""A save that is broken off by the end of its process."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

SCRIPT = Path(__file__).parents[2] / "benchmarks" / "killed_saves.py"


@pytest.mark.slow
@pytest.mark.example
@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a system that forks")
def test_a_killed_save_leaves_the_old_file_or_the_new_one() -> None:
    """Killed at some thirty moments, most of them while the file is written: never a part of it, and both outcomes are met."""
    done = subprocess.run([sys.executable, str(SCRIPT), "--moments", "30"], capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stdout + done.stderr
    assert done.stdout.startswith("killed 30 times")
    assert " 0 left the old" not in done.stdout
    assert " 0 the new" not in done.stdout
