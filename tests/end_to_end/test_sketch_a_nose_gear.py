"""A small nose gear drawn by mouse and keys alone over a scan, kept, opened again and checked, beside one by hand."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image, ImageDraw
from PySide6.QtCore import Qt

from app.dialogs.new_aircraft import NewAircraft
from core.document.project import (
    Aircraft,
    Body,
    Circle,
    Drive,
    Move,
    Pivot,
    Polygon,
    Project,
    Rod,
    Sequence,
    Step,
    View,
    Wall,
)
from core.document.project_file import read_project
from core.report import to_json
from core.sketch.fitting import mapped
from core.study import run
from tests.app.sketcher import Sketcher
from tests.app.window import dialog_of, opened_window, settle, wait_for_check

MOST = 80
"""Clicks and keys that it may take."""


def by_hand() -> Project:
    """The same nose gear: a bay wall, a leg with a wheel, a door that a rod pulls along with the leg."""
    bar = ((22.0, 12.0, 1.0), (18.0, 12.0), (18.0, -30.0, 1.0), (22.0, -30.0))
    box = ((-62.0, -40.0), (-60.0, -40.0), (-60.0, 0.0), (-62.0, 0.0))
    wall = ((-60.0, 0.0), (-60.0, 30.0), (20.0, 30.0), (20.0, 0.0))
    up = Step(id="up", duration=2.0, moves=(Move(drive="gear", to=-90.0, profile="eased"),))
    down = Step(id="down", duration=2.0, moves=(Move(drive="gear", to=0.0, profile="eased"),))
    wheel = Circle(centre=(20.0, -30.0), radius=8.0)
    return Project(
        aircraft=Aircraft(name="N", scale=12),
        least_clearance=0.5,
        views=(View(id="side", name="Side elevation", plane="side"),),
        bodies=(
            Body(id="bay", view="side", role="structure", fixed=True, shapes=(Wall(points=wall, thickness=4.0),)),
            Body(id="leg", view="side", role="leg", shapes=(Polygon(points=bar),)),
            Body(id="wheel", view="side", role="wheel", shapes=(wheel,)),
            Body(id="door", view="side", role="door", shapes=(Polygon(points=box),)),
        ),
        connections=(
            Pivot(id="leg-pivot", bodies=("bay", "leg"), at=(20.0, 12.0)),
            Pivot(id="axle", bodies=("leg", "wheel"), at=(20.0, -30.0)),
            Pivot(id="hinge", bodies=("bay", "door"), at=(-60.0, 0.0)),
            Rod(id="rod", bodies=("leg", "door"), ends=((20.0, -5.0), (-60.0, -20.0))),
        ),
        drives=(Drive(id="gear", on="leg-pivot"),),
        sequences=(Sequence(id="retract", steps=(up, down)),),
    )


def verdict(project: Project):
    """What is found, without names and ids: kinds, moments and amounts."""
    found = to_json(run(project))["sequences"][0]
    return [
        {
            key: value
            for key, value in finding.items()
            if key in ("kind", "from", "to", "worst", "depth", "overlap", "freedoms")
        }
        for finding in found["findings"]
    ]


def elevation(folder: Path) -> Path:
    """A scan of the nose gear as it might come from a book: 4 pixels to the millimetre, turned by nothing."""
    image = Image.new("RGB", (480, 400), "white")
    pen = ImageDraw.Draw(image)
    for line in (((-60, 0), (-60, 30), (20, 30), (20, 0)), ((20, 12), (20, -30)), ((-61, 0), (-61, -40))):
        pen.line([pixel_of(*at) for at in line], fill="black", width=3)
    pen.circle(pixel_of(20, -30), 32, outline="black", width=3)
    image.save(folder / "elevation.png")
    return folder / "elevation.png"


def pixel_of(x: float, y: float) -> tuple[float, float]:
    return (4.0 * (x + 80.0), 4.0 * (50.0 - y))


def trace(hand: Sketcher, picture: Path) -> None:
    """Drop the scan on the window, and say where two points of it are."""
    hand.window.laying.lay(picture)
    hand.clicks += 1
    hand.command("fit")
    hand.tool("fit-point")
    for x, y in ((20, 12), (-60, 0)):
        drawing = hand.window.session.project.views[0].drawings[0]
        hand.click(*mapped(drawing.pixel_to_mm, [pixel_of(x, y)])[0].tolist())
        hand.canvas.setFocus()
        hand.press_keys(str(x))
        hand.key(Qt.Key.Key_Tab)
        hand.type(str(y))
    hand.command("fit")


def sketch(hand: Sketcher) -> None:
    """Everything that has to be done with the mouse and the keys."""
    window = hand.window
    hand.tool("wall")
    for at in ((-60, 0), (-60, 30), (20, 30), (20, 0)):
        hand.click(*at)
    hand.key(Qt.Key.Key_Return, hand.canvas)
    hand.command("fit")
    role(hand, "leg")
    hand.tool("bar")
    hand.click(20, 12)
    hand.click(20, -30)
    hand.tool("wheel")
    hand.click(20, -30)
    hand.click(28, -30)
    role(hand, "door")
    hand.tool("box")
    hand.click(-62, -40)
    hand.click(-60, 0)
    hand.tool("pivot")
    for at in ((20, 12), (20, -30), (-60, 0)):
        hand.click(*at)
    hand.tool("rod")
    hand.click(20, -5)
    hand.click(-60, -20)
    hand.command("tool-none")
    hand.click(20, 12)
    hand.command("drive")
    hand.command("add-step")
    field = window.details.form.fields[window.session.project.drives[0].id].line
    hand.press_on(field)
    field.selectAll()
    hand.type("-90", field)
    hand.command("add-step")


def role(hand: Sketcher, wanted: str) -> None:
    """Two keys: into the list of roles, and the letter that the role begins with."""
    roles = hand.window.sheet.tray.role
    roles.setCurrentIndex(roles.findData(wanted))
    roles.activated.emit(roles.currentIndex())
    hand.keys += 2


@pytest.fixture
def hand(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path) as window:
        yield Sketcher(window)


def test_it_is_drawn_in_a_few_clicks_and_says_the_same(qtbot, hand, tmp_path: Path, capsys):
    window = hand.window
    hand.command("new")
    question = dialog_of(window, NewAircraft)
    hand.type("N", question.name)
    qtbot.waitUntil(lambda: window.session.project is not None)
    window.activateWindow()  # a desktop does so when a dialog closes
    qtbot.waitUntil(window.isActiveWindow)
    trace(hand, elevation(tmp_path))
    settle()
    sketch(hand)
    (drawing,) = window.session.project.views[0].drawings
    assert mapped(drawing.pixel_to_mm, [pixel_of(20, -30)])[0] == pytest.approx((20.0, -30.0), abs=0.5)
    wait_for_check(qtbot, window)
    assert window.keeping.save_to(tmp_path / "n")
    hand.keys += 1
    again = read_project(tmp_path / "n")
    assert again == window.session.project
    assert verdict(again) == verdict(by_hand())
    with capsys.disabled():
        told = f"a nose gear took {hand.clicks} clicks and {hand.keys} keys, {hand.count} in all (at most {MOST})"
        print(f"\n{told}")  # noqa: T201 - it is what the test is for
    assert hand.count <= MOST


def test_all_of_it_can_be_undone(qtbot, hand):
    window = hand.window
    window.session.open(
        Project(aircraft=Aircraft(name="N", scale=12), least_clearance=0.5, views=by_hand().views), None
    )
    hand.canvas.fit()
    settle()
    before = window.session.project
    sketch(hand)
    while window.session.undo_label is not None:
        window.session.undo()
    assert window.session.project is before
