"""A page of a PDF as a picture, for lines plans that come as one."""

from __future__ import annotations

import io
from threading import Lock

LONGEST_SIDE = 3000
"""Pixels: a hair line of a lines plan on a large sheet is still one."""
MOST_BYTES = 60_000_000
"""Of a PDF that is drawn: more than any scanned plan takes."""


_ONE_AT_A_TIME = Lock()
"""The library that draws may be used by one thread at a time only."""


def drawn_page(data: bytes) -> bytes | None:
    """The first page of a PDF as PNG; None for what is none."""
    import pypdfium2

    try:
        with _ONE_AT_A_TIME, pypdfium2.PdfDocument(data) as document:
            page = document[0]
            picture = page.render(scale=LONGEST_SIDE / max(page.get_size())).to_pil()
    except (pypdfium2.PdfiumError, IndexError, ValueError, ZeroDivisionError):
        return None
    out = io.BytesIO()
    picture.convert("RGB").save(out, "PNG")
    return out.getvalue()
