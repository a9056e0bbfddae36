"""A picture on its way to the browsers."""

from __future__ import annotations

import io
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from PIL import Image

Pixels = NDArray[np.uint8]
BLOCK = 16
"""Pixels: a JPEG is made of squares of this side; a part of whole squares looks as it does within the whole."""
Part = tuple[int, int, int, int]
"""Left, top, right and bottom [pixels]."""


@dataclass(frozen=True, eq=False)
class Picture:
    """pixels: (h, w, 3), its own; quality: of the JPEG; changed: what of it may differ from the picture before, None: all."""

    pixels: Pixels
    quality: int
    changed: Part | None = None

    @property
    def is_new(self) -> bool:
        """Whether anything differs from the picture before."""
        return self.changed is None or (self.changed[2] > self.changed[0] and self.changed[3] > self.changed[1])

    @property
    def at(self) -> tuple[int, int] | None:
        """Where the upper left corner of `part` belongs; None where there is no part."""
        return None if self.changed is None else (self.changed[0] // BLOCK * BLOCK, self.changed[1] // BLOCK * BLOCK)

    @cached_property
    def whole(self) -> bytes:
        """All of it as a JPEG."""
        return encode(self.pixels, self.quality)

    @cached_property
    def part(self) -> bytes:
        """What changed, up to the next squares, as a JPEG; nothing where nothing did."""
        if not self.is_new:
            return b""
        if self.changed is None or self.at is None:
            return self.whole
        (left, top), (_, _, right, bottom) = self.at, self.changed
        return encode(self.pixels[top : -(-bottom // BLOCK) * BLOCK, left : -(-right // BLOCK) * BLOCK], self.quality)


def encode(pixels: Pixels, quality: int) -> bytes:
    """Pixels (h, w, 3) as a JPEG."""
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "JPEG", quality=quality)
    return out.getvalue()
