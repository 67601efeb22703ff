"""What would help against the chosen jam or passed limit is told beside it, and of nothing else."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from app.panels.remedy import NOTHING, TRYING, Remedy
from app.session import Session
from core.document.project import Project
from core.findings.finding import Kind
from core.study import run
from tests.app.window import settle
from tests.core.motion.test_cures import lever, swinging
from tests.mechanisms.sketch import FRAME, frame, moving, pivot, project, step


def shown(qtbot, made: Project, kind: Kind) -> tuple[Session, Remedy]:
    session = Session()
    session.open(made, None)
    session.put_study(run(made, frames=41))
    panel = Remedy(session)
    qtbot.addWidget(panel)
    assert panel.isHidden()
    session.show_finding(next(one for one in session.sequence_study.findings if one.kind is kind))
    return session, panel


@pytest.mark.parametrize(
    ("made", "kind", "said"),
    [
        (lever(28.5), Kind.JAMMED, "It would just go through with link 1.501 mm longer (30.001 mm), or if "),
        (swinging((-5.0, 90.0), 100.0), Kind.TRAVEL, "It would just go through if hinge might go up to 100.00°, or "),
    ],
)
def test_what_was_tried_is_told(qtbot, made: Project, kind: Kind, said: str) -> None:
    session, panel = shown(qtbot, made, kind)
    assert not panel.isHidden()
    assert panel.text == TRYING
    qtbot.waitUntil(lambda: panel.text != TRYING)
    assert panel.text.startswith(said)
    session.show_finding(None)
    assert panel.isHidden()
    assert panel.shut_down()


def test_nothing_that_helps_is_said_as_well(qtbot) -> None:
    """A driven triangle without a rod: no length of it is a number of its own, and it jams from the start."""
    made = project(
        (frame(), *moving("left", "right")),
        (pivot("a", FRAME, "left", 0), pivot("b", "left", "right", 30 + 40j), pivot("c", FRAME, "right", 60)),
        {"push": "a"},
        (step("push", 1.0, {"push": 10.0}),),
    )
    _, panel = shown(qtbot, made, Kind.JAMMED)
    qtbot.waitUntil(lambda: panel.text == NOTHING)
    assert panel.shut_down()


def test_of_other_findings_nothing_is_tried(qtbot) -> None:
    made = replace(swinging((-5.0, 90.0), 80.0), drives=(), sequences=())
    _, panel = shown(qtbot, made, Kind.LOOSE)
    assert panel.isHidden()
    assert panel.shut_down()


def test_an_answer_that_comes_late_is_not_shown(qtbot) -> None:
    session, panel = shown(qtbot, lever(28.5), Kind.JAMMED)
    panel._start()  # as the timer would
    session.show_finding(None)
    assert panel.shut_down()
    settle()
    assert panel.text == TRYING
    assert panel.isHidden()


def test_a_new_check_is_tried_anew(qtbot) -> None:
    session, panel = shown(qtbot, lever(28.5), Kind.JAMMED)
    qtbot.waitUntil(lambda: panel.text != TRYING)
    session.put_study(run(session.project, frames=61))
    session.show_finding(session.sequence_study.findings[0])
    qtbot.waitUntil(lambda: "link 1.501 mm longer" in panel.text)
    assert panel.shut_down()
