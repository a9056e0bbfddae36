"""Tints that eyes of every kind can tell apart, and a printer without colour too."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from sketcher.geometry.mesh import Floats
from sketcher.outputs.palette import ACCENT, INK, PAPER, PENCIL, SPACE_TINTS, TINTS, USE_TINTS, WATER, channels

# Machado, Oliveira and Fernandes, A Physiologically-based Model for Simulation of Color Vision Deficiency (2009), severity 1.0;
# from memory.
EYES = {
    "full colour": np.eye(3),
    "no red cones": np.array([[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]),
    "no green cones": np.array(
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]
    ),
    "no blue cones": np.array(
        [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]
    ),
}
JUST_SEEN = 2.3
"""CIE L*a*b* distance that is just noticed, side by side (Mahy, Van Eycken and Oosterlinck 1994; from memory)."""


def linear(colour: str) -> Floats:
    """sRGB decoded (IEC 61966-2-1)."""
    value = np.array(channels(colour))
    return np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)


def lab(rgb: Floats) -> Floats:
    """CIE L*a*b* under D65 of linear sRGB (CIE 15)."""
    to_xyz = np.array([[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]])
    ratio = to_xyz @ np.clip(rgb, 0, 1) / np.array([0.95047, 1.0, 1.08883])
    f = np.where(ratio > (6 / 29) ** 3, np.cbrt(ratio), ratio / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def contrast(a: str, b: str) -> float:
    """WCAG 2.1 contrast ratio."""
    light = sorted(float(linear(c) @ np.array([0.2126, 0.7152, 0.0722])) for c in (a, b))
    return (light[1] + 0.05) / (light[0] + 0.05)


@pytest.mark.published
@pytest.mark.parametrize("eye", list(EYES))
def test_the_tints_stay_apart_for_every_kind_of_eye(eye: str) -> None:
    """Below, crossing and above differ by at least eight times what is just noticed, whichever cones are missing."""
    seen = {name: lab(EYES[eye] @ linear(TINTS[name])) for name in ("below", "crosses", "above")}
    for a, b in combinations(seen, 2):
        assert np.linalg.norm(seen[a] - seen[b]) > 8 * JUST_SEEN, (eye, a, b)


@pytest.mark.published
@pytest.mark.parametrize("eye", list(EYES))
@pytest.mark.parametrize("tints", [SPACE_TINTS, tuple(USE_TINTS.values())], ids=["space", "use"])
def test_spaces_stay_apart_for_every_kind_of_eye(eye: str, tints: tuple[str, ...]) -> None:
    """Tints of spaces, and of uses, differ by at least four times what is just noticed, whichever cones are missing."""
    seen = [lab(EYES[eye] @ linear(tint)) for tint in tints]
    assert min(np.linalg.norm(a - b) for a, b in combinations(seen, 2)) > 4 * JUST_SEEN


@pytest.mark.published
def test_the_tints_stay_apart_in_grey() -> None:
    """Printed without colour their lightness still steps by at least ten (of a hundred), darkest below."""
    grey = [lab(linear(TINTS[name]))[0] for name in ("below", "crosses", "above")]
    assert grey[1] - grey[0] > 10
    assert grey[2] - grey[1] > 10


@pytest.mark.published
@pytest.mark.parametrize("ground", [PAPER, *TINTS.values(), *SPACE_TINTS, *USE_TINTS.values()])
def test_names_can_be_read_on_every_tint(ground: str) -> None:
    """Ink on paper and on each tint has the contrast that WCAG 2.1 AA asks of text, 4.5 to 1."""
    assert contrast(INK, ground) >= 4.5


@pytest.mark.published
@pytest.mark.parametrize("ink", [PENCIL, ACCENT, WATER])
def test_small_words_can_be_read_on_paper(ink: str) -> None:
    """The other inks that words are written in reach 4.5 to 1 on paper."""
    assert contrast(ink, PAPER) >= 4.5
