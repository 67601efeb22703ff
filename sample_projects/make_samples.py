"""Makes the sample aircraft again, pictures and project files: `python -m sample_projects.make_samples [FOLDER]`."""

from __future__ import annotations

import sys
from pathlib import Path

from core.document.project import Project
from core.document.project_file import write_project
from sample_projects.tools import pellow_sheets as pellow
from sample_projects.tools.draughting import Sheet
from sample_projects.tools.merrow_flawed import merrow_t2_flawed
from sample_projects.tools.merrow_sheets import plan_sheet, plan_view, side_sheet, side_view
from sample_projects.tools.merrow_t2 import merrow_t2
from sample_projects.tools.pellow_3 import pellow_3
from sample_projects.tools.skarn_p9 import skarn_p9
from sample_projects.tools.skarn_sheet import front_sheet, front_view


def make_all(folder: Path) -> None:
    """Every sample, each in its own folder within `folder`."""
    side, plan, front = side_sheet(), plan_sheet(), front_sheet()
    merrow_views, merrow_sheets = (side_view(side), plan_view(plan)), {"side": side, "plan": plan}
    _keep(folder / "merrow-t2", merrow_t2(merrow_views), merrow_sheets)
    _keep(folder / "merrow-t2-flawed", merrow_t2_flawed(merrow_views), merrow_sheets)
    _keep(folder / "skarn-p9", skarn_p9((front_view(front),)), {"front": front})
    tail, corner = pellow.side_sheet(), pellow.corner_sheet()
    pellow_views = (pellow.side_view(tail), pellow.corner_view(corner))
    _keep(folder / "pellow-3", pellow_3(pellow_views), {"side": tail, "corner": corner})


def _keep(folder: Path, project: Project, sheets: dict[str, Sheet]) -> None:
    for name, sheet in sheets.items():
        sheet.save(folder / "drawings" / f"{name}.png")
    write_project(project, folder)


if __name__ == "__main__":
    make_all(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent)
