"""The face that pictures and PDFs are lettered in: a free sans-serif that comes with the libraries we need anyway."""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from pathlib import Path

REGULAR, BOLD = "Lettering", "Lettering-Bold"

_PLACES = (
    ("matplotlib", "mpl-data/fonts/ttf", "DejaVuSans.ttf", "DejaVuSans-Bold.ttf"),
    ("reportlab", "fonts", "Vera.ttf", "VeraBd.ttf"),
)
"""Where such a face lies: beside the 3D library (many alphabets), else beside the PDF library (western Europe only)."""


@cache
def font_files() -> tuple[str, str]:
    """Paths of the regular and the bold face. Raises FileNotFoundError where neither library brought its fonts."""
    for package, folder, regular, bold in _PLACES:
        spec = find_spec(package)
        if spec is None or spec.origin is None:
            continue
        files = [Path(spec.origin).parent / folder / name for name in (regular, bold)]
        if all(file.is_file() for file in files):
            return str(files[0]), str(files[1])
    raise FileNotFoundError("no lettering found beside matplotlib or reportlab")
