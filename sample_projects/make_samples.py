"""Makes the sample aircraft again, pictures and project files: `python -m sample_projects.make_samples [FOLDER]`."""

from __future__ import annotations

import sys
from pathlib import Path

from core.document.project import Project, View
from core.document.project_file import write_project
from sample_projects.tools import pellow_sheets as pellow
from sample_projects.tools.draughting import Sheet
from sample_projects.tools.merrow_flawed import merrow_t2_flawed
from sample_projects.tools.merrow_sheets import plan_sheet, plan_view, side_sheet, side_view
from sample_projects.tools.merrow_t2 import merrow_t2
from sample_projects.tools.pellow_3 import pellow_3
from sample_projects.tools.pellow_flawed import pellow_3_flawed
from sample_projects.tools.skarn_flawed import skarn_p9_flawed
from sample_projects.tools.skarn_p9 import skarn_p9
from sample_projects.tools.skarn_sheet import front_sheet, front_view


def make_all(folder: Path) -> None:
    """Every sample, each in its own folder within `folder`, and beside each its flawed twin."""
    sheets = {"side": side_sheet(), "plan": plan_sheet()}
    views: tuple[View, ...] = (side_view(sheets["side"]), plan_view(sheets["plan"]))
    _keep(folder / "merrow-t2", merrow_t2(views), sheets)
    _keep(folder / "merrow-t2-flawed", merrow_t2_flawed(views), sheets)
    sheets = {"front": front_sheet()}
    views = (front_view(sheets["front"]),)
    _keep(folder / "skarn-p9", skarn_p9(views), sheets)
    _keep(folder / "skarn-p9-flawed", skarn_p9_flawed(views), sheets)
    sheets = {"side": pellow.side_sheet(), "corner": pellow.corner_sheet()}
    views = (pellow.side_view(sheets["side"]), pellow.corner_view(sheets["corner"]))
    _keep(folder / "pellow-3", pellow_3(views), sheets)
    _keep(folder / "pellow-3-flawed", pellow_3_flawed(views), sheets)


def _keep(folder: Path, project: Project, sheets: dict[str, Sheet]) -> None:
    for name, sheet in sheets.items():
        sheet.save(folder / "drawings" / f"{name}.png")
    write_project(project, folder)


if __name__ == "__main__":
    make_all(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent)
