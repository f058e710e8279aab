"""Contrast of the board's colours, light and dark, by the formula of WCAG 2.2."""

import re
from pathlib import Path

import pytest

import dashboard

LOOK = (Path(dashboard.__file__).parent / "assets" / "board.css").read_text("utf-8")
TEXT_LEAST, MARK_LEAST = 4.5, 3.0
"""Success criteria 1.4.3 and 1.4.11 (WCAG 2.2, W3C Recommendation)."""
GROUNDS = ("paper", "card")
TEXTS = ("ink", "quiet", "link")
MARKS = ("vermillion", "blue", "green")


def palette(scheme: str) -> dict[str, str]:
    """The colours by name; dark ones stand over the light ones."""
    light, dark = re.findall(r":root \{([^}]*--ink[^}]*)\}", LOOK)[:2]
    found: dict[str, str] = {}
    for block in (light, dark) if scheme == "dark" else (light,):
        found |= dict(re.findall(r"--(\w+): (#[0-9a-f]{6});", block))
    return found


def luminance(colour: str) -> float:
    """Relative luminance of '#rrggbb' as WCAG defines it."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_formula_gives_the_published_ends() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    # the grey that is named as just passing on white in many texts; from memory, unchecked
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("ground", GROUNDS)
def test_text_and_marks_can_be_told_from_what_is_behind_them(scheme: str, ground: str) -> None:
    colours = palette(scheme)
    found = {name: contrast(colours[name], colours[ground]) for name in (*TEXTS, *MARKS)}
    assert {n: c for n, c in found.items() if n in TEXTS and c < TEXT_LEAST} == {}
    assert {n: c for n, c in found.items() if n in MARKS and c < MARK_LEAST} == {}
    # what is written on a button: paper on ink
    assert contrast(colours["paper"], colours["ink"]) >= TEXT_LEAST
