"""Contrast by the formula of WCAG 2.1, sections 'relative luminance' and 'contrast ratio'; AA for text is 4.5 (1.4.3),
for lines that have to be seen 3 (1.4.11)."""

from __future__ import annotations

import math
from dataclasses import fields
from typing import get_args

import pytest

from app.painting.theme import DARK, LIGHT, Theme
from core.document.project import Ink, Role
from core.drawing.drawing import Tint

THEMES = pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)


def luminance(colour: str) -> float:
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_gives_the_standards_own_extremes():
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)  # the textbook grey that just fails


@THEMES
@pytest.mark.parametrize("text", ["text", "text_soft", "accent", "clash", "tight", "clear", "stale"])
@pytest.mark.parametrize("ground", ["window", "panel", "panel_stripe", "field", "paper"])
def test_text_reads_on_every_ground(theme: Theme, text: str, ground: str):
    assert contrast(getattr(theme, text), getattr(theme, ground)) >= 4.5


@THEMES
@pytest.mark.parametrize(
    ("text", "ground"),
    [
        ("accent_text", "accent"),
        ("text", "accent_soft"),
        ("text", "button"),
        ("text", "clash_fill"),
        ("text", "tight_fill"),
        ("clash", "clash_fill"),
        ("tight", "tight_fill"),
        ("ink", "paper_back"),
        ("ink_soft", "paper"),
    ],
)
def test_text_reads_on_the_grounds_made_for_it(theme: Theme, text: str, ground: str):
    assert contrast(getattr(theme, text), getattr(theme, ground)) >= 4.5


@THEMES
@pytest.mark.parametrize("tint", [tint for tint in Tint if tint is not Tint.INK])
def test_outlines_stand_out_from_every_tint(theme: Theme, tint: Tint):
    assert contrast(theme.ink, theme.tint(tint)) >= 4.5


def lab(colour: str) -> tuple[float, float, float]:
    """CIE 1976 L*a*b*, white point D65; the matrix is that of IEC 61966-2-1 (sRGB), from memory."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    white = (0.9505, 1.0, 1.0891)
    xyz = (0.4124 * r + 0.3576 * g + 0.1805 * b, luminance(colour), 0.0193 * r + 0.1192 * g + 0.9505 * b)
    shares = [part / of for part, of in zip(xyz, white, strict=True)]
    x, y, z = (one ** (1 / 3) if one > 0.008856 else 7.787 * one + 16 / 116 for one in shares)
    return (116 * y - 16, 500 * (x - y), 200 * (y - z))


@THEMES
def test_a_bodys_own_tints_can_be_told_from_each_other_and_from_those_of_roles(theme: Theme):
    own = get_args(Ink)
    for one in own:
        for other in (*own, *get_args(Role)):
            if one != other:
                assert math.dist(lab(theme.tint(Tint(one))), lab(theme.tint(Tint(other)))) >= 12.0, (one, other)


@THEMES
def test_what_has_to_be_seen_stands_out_from_its_ground(theme: Theme):
    for ground in (theme.window, theme.panel, theme.field):
        assert contrast(theme.edge, ground) >= 3.0


@THEMES
def test_every_colour_is_six_hex_digits(theme: Theme):
    for field in fields(theme):
        value = getattr(theme, field.name)
        if field.name not in ("name", "dark"):
            assert len(value) == 7
            assert value.startswith("#")
            int(value[1:], 16)
