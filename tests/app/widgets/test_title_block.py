"""The strip along the bottom: what was said is read before what the pointer brings."""

from __future__ import annotations

from app.widgets import title_block
from app.widgets.title_block import TitleBlock


def test_what_is_said_stays_for_a_while_wherever_the_pointer_comes(qtbot, monkeypatch):
    monkeypatch.setattr(title_block, "SAID_FOR_MS", 60)
    block = TitleBlock(("Scale",))
    qtbot.addWidget(block)
    block.help("Writes the curves")
    assert block.helped == "Writes the curves"
    block.say("The curves are written")
    block.help("")
    block.help("Leaves the window")
    assert block.helped == "The curves are written"
    qtbot.waitUntil(lambda: block.helped == "Leaves the window")
