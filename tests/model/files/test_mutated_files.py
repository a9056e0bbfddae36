"""Files changed by slips of the hand."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

SCRIPT = Path(__file__).parents[2] / "benchmarks" / "mutated_files.py"


@pytest.mark.slow
@pytest.mark.property
@pytest.mark.parametrize("seed", [1])
@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a system that forks")
def test_a_changed_file_is_read_or_refused_in_a_sentence(seed: int) -> None:
    """Of some hundreds of changed demo files none ends in a failure, and what reads stands a saving; a few are evaluated."""
    command = [sys.executable, str(SCRIPT), "--files", "300", "--evaluations", "2", "--seed", str(seed)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=200)
    assert done.returncode == 0, done.stdout + done.stderr
    assert done.stdout.startswith("300 files")
