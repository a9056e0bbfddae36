"""Where the repository keeps its code and its demo boats."""

from pathlib import Path

ROOT = Path(__file__).parents[2]
CODE = ROOT / "sketcher"
HULLS = ROOT / "hulls"
SCENES = ROOT / "scenes"
