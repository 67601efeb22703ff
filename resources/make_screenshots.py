"""Takes the pictures of the window that the README shows: python resources/make_screenshots.py [FOLDER].

It needs no display. The folder is resources/screenshots unless another is named.
"""

from __future__ import annotations

import os
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path[0] = str(ROOT)
os.environ["QT_QPA_PLATFORM"] = "offscreen"

from PySide6.QtCore import QSettings, Qt  # noqa: E402
from PySide6.QtTest import QTest  # noqa: E402

from app.application import make_application  # noqa: E402
from app.main_window import MainWindow  # noqa: E402
from app.panels.remedy import TRYING  # noqa: E402
from app.panels.sweep_form import Span  # noqa: E402
from app.settings import Look, Settings  # noqa: E402
from core.findings.finding import Kind  # noqa: E402

SIZE = (1440, 900)
SKETCHED = ((-235.0, -70.0), (-120.0, -70.0), (-112.0, -90.0), (-220.0, -95.0))


@dataclass(frozen=True, slots=True)
class Shot:
    file: str
    project: str
    look: Look
    moment: float = 0.0
    chosen: str | None = None
    finding: Kind | None = None
    two_views: bool = False
    swept: bool = False
    """Whether the sweep of what is chosen is shown."""
    tool: str = ""
    clicks: tuple[tuple[float, float], ...] = ()
    """Places of the view, in mm, that the tool was clicked at; the hand rests at the last."""
    size: tuple[int, int] = SIZE


SHOTS = (
    Shot("window-light.png", "merrow-t2", Look.LIGHT, moment=3.6, chosen="leg-up"),
    Shot("window-dark.png", "merrow-t2", Look.DARK, moment=3.6, chosen="leg-up"),
    Shot("findings-light.png", "merrow-t2-flawed", Look.LIGHT, finding=Kind.CLASH),
    Shot("findings-dark.png", "merrow-t2-flawed", Look.DARK, finding=Kind.JAMMED),
    Shot("sketch-light.png", "skarn-p9", Look.LIGHT, tool="outline", clicks=SKETCHED),
    Shot("sweep-light.png", "merrow-t2", Look.LIGHT, moment=3.6, chosen="wheel", swept=True),
    Shot("curve-light.png", "merrow-t2", Look.LIGHT, moment=3.6, chosen="brace-jack"),
)


def take(shot: Shot, folder: Path) -> Path:
    """One picture of a window opened for it."""
    with tempfile.TemporaryDirectory() as kept:
        store = QSettings(str(Path(kept) / "settings.ini"), QSettings.Format.IniFormat)
        settings = Settings(store)
        settings.home = Path(kept)
        window = MainWindow(settings)
        window.set_look(shot.look)
        window.resize(*shot.size)
        window.show()
        if not window.keeping.open(ROOT / "sample_projects" / shot.project):
            raise SystemExit(window.notice.text)
        while window.runner.working:
            QTest.qWait(20)
        window.sheet.panes.set_two(shot.two_views)
        window.session.choose(shot.chosen)
        window.sheet.take_up(shot.tool)
        for place in shot.clicks:
            click(window, *place, rests=place == shot.clicks[-1])
        window.session.set_moment(shot.moment)
        for finding in window.session.sequence_study.findings:
            if finding.kind == shot.finding:
                window.session.show_finding(finding)
        if shot.swept:
            show_sweep(window)
        QTest.qWait(200)
        while window.details.remedy.isVisible() and window.details.remedy.text == TRYING:
            QTest.qWait(20)
        file = folder / shot.file
        window.grab().save(str(file))
        window.close()
    return file


def show_sweep(window: MainWindow) -> None:
    form = window.details.sweep
    form.set_span(Span.SEQUENCE)
    while form.export.isHidden():
        QTest.qWait(20)


def click(window: MainWindow, x: float, y: float, *, rests: bool) -> None:
    canvas = window.sheet.canvases[0]
    pixel = canvas.placement.to_device(x, y).toPoint()
    QTest.mouseMove(canvas, pixel)
    QTest.qWait(20)
    if not rests:
        QTest.mouseClick(canvas, Qt.MouseButton.LeftButton, pos=pixel)


def main() -> int:
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "resources" / "screenshots"
    folder.mkdir(parents=True, exist_ok=True)
    application = make_application()
    for shot in SHOTS:
        print(take(shot, folder))  # noqa: T201 - it says what it made
    del application
    return 0


if __name__ == "__main__":
    sys.exit(main())
