"""Contrast by the formula of WCAG 2.1, sections 'relative luminance' and 'contrast ratio'; AA for text is 4.5 (1.4.3),
for lines that have to be seen 3 (1.4.11)."""

from __future__ import annotations

from dataclasses import fields

import pytest

from app.painting.theme import DARK, LIGHT, Theme
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
        ("text", "clear_fill"),
        ("clash", "clash_fill"),
        ("tight", "tight_fill"),
        ("clear", "clear_fill"),
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
