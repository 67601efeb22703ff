"""Draughting film and ink: every colour of the window and of what is painted, in light and in dark.

Colours are "#rrggbb". No state is told by its colour alone: what is wrong is hatched, what is chosen is drawn wider,
what is near is dimensioned, and every ribbon and sign has a shape of its own.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from core.drawing.drawing import Tint


@dataclass(frozen=True, slots=True, kw_only=True)
class Theme:
    """A set of colours that belong together."""

    name: str
    dark: bool

    # The window about the sheet.
    window: str
    """The ground behind panels."""
    panel: str
    """Lists, tables, lanes: what is read on."""
    panel_stripe: str
    """Every other row."""
    field: str
    """Where something can be typed."""
    button: str
    border: str
    """Hairlines between regions and about fields; decoration only."""
    edge: str
    """Lines that have to be seen: a field's frame when it has the keyboard, a button's rim (3 : 1)."""
    text: str
    text_soft: str
    """Captions, units, notes; still AA."""
    text_off: str
    """What cannot be used now."""

    # The hand of the user.
    accent: str
    """The scrub rule, the keyboard's place, links, the chosen outline; AA as text on panel, window and paper."""
    accent_soft: str
    """A ground under what is chosen, on which `text` is read."""
    accent_text: str
    """On a ground of `accent`."""

    # The sheet.
    paper: str
    paper_back: str
    """Beyond the sheet, and behind the rulers."""
    grid: str
    grid_strong: str
    ink: str
    """Outlines, figures, notes."""
    ink_soft: str
    """Centre lines, ghosts, thin lines."""

    # What a check says; each is AA as text on panel and on paper.
    clash: str
    clash_fill: str
    """Under the hatching of a common area, and as a ground for `text`."""
    tight: str
    tight_fill: str
    clear: str
    stale: str
    """What is not checked at present."""

    # Soft grounds of bodies by role, on which ink is drawn.
    structure: str
    leg: str
    wheel: str
    door: str
    link: str
    lock: str
    other: str

    # Grounds that a body may have of its own; stronger than those of roles, so that both can be told apart.
    sky: str
    moss: str
    straw: str
    heather: str
    copper: str

    def tint(self, tint: Tint) -> str:
        """The ground of a filled area."""
        fields = {Tint.CLASH: "clash_fill", Tint.CHOSEN: "accent_soft"}
        return str(getattr(self, fields.get(tint, tint.value)))


LIGHT = Theme(
    name="light",
    dark=False,
    window="#e4e1d9",
    panel="#f5f3ed",
    panel_stripe="#edeae2",
    field="#fdfcf9",
    button="#eeebe3",
    border="#c9c4b8",
    edge="#85806f",
    text="#1b2436",
    text_soft="#565c69",
    text_off="#9a9788",
    accent="#0a626d",
    accent_soft="#c6dfdf",
    accent_text="#fdfcf9",
    paper="#f8f6f0",
    paper_back="#dedad0",
    grid="#efebe1",
    grid_strong="#e2ddd0",
    ink="#172138",
    ink_soft="#596076",
    clash="#a52019",
    clash_fill="#f3cfc8",
    tight="#7d5100",
    tight_fill="#f2dfb3",
    clear="#3d6240",
    stale="#62646b",
    structure="#cfccc3",
    leg="#b7c8d9",
    wheel="#b0aca8",
    door="#e8d6a8",
    link="#bcd1b6",
    lock="#d0bedb",
    other="#d8d6d0",
    sky="#8fc3ee",
    moss="#a4cb79",
    straw="#f2dd62",
    heather="#dfa5dd",
    copper="#eda873",
)

PRINTED = replace(LIGHT, name="printed", paper="#ffffff")
"""For files: the paper brings its own colour."""

DARK = Theme(
    name="dark",
    dark=True,
    window="#141a22",
    panel="#1c242e",
    panel_stripe="#212a35",
    field="#11171e",
    button="#26303c",
    border="#323d4a",
    edge="#71808f",
    text="#e3e6e6",
    text_soft="#a7b0b8",
    text_off="#66717d",
    accent="#6cc7c4",
    accent_soft="#1f4b52",
    accent_text="#0d1a1d",
    paper="#19222d",
    paper_back="#11181f",
    grid="#202b37",
    grid_strong="#2a3745",
    ink="#dde5e8",
    ink_soft="#93a3b0",
    clash="#ff9180",
    clash_fill="#5a2a2a",
    tight="#e6b955",
    tight_fill="#4c3d1c",
    clear="#97c69a",
    stale="#98a1a9",
    structure="#3b444e",
    leg="#35516c",
    wheel="#4a4c50",
    door="#5d5233",
    link="#3c5843",
    lock="#55476b",
    other="#454d57",
    sky="#14598c",
    moss="#43661b",
    straw="#6a5b05",
    heather="#743a78",
    copper="#85431a",
)
