"""Makes the sample aircraft again, pictures and project files: `python -m sample_projects.make_samples [FOLDER]`."""

from __future__ import annotations

import shutil
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
    _keep(folder / "merrow-t2", sheets, merrow_t2(views), merrow_t2_flawed(views))
    sheets = {"front": front_sheet()}
    views = (front_view(sheets["front"]),)
    _keep(folder / "skarn-p9", sheets, skarn_p9(views), skarn_p9_flawed(views))
    sheets = {"side": pellow.side_sheet(), "corner": pellow.corner_sheet()}
    views = (pellow.side_view(sheets["side"]), pellow.corner_view(sheets["corner"]))
    _keep(folder / "pellow-3", sheets, pellow_3(views), pellow_3_flawed(views))


def _keep(folder: Path, sheets: dict[str, Sheet], sound: Project, flawed: Project) -> None:
    """Both twins have the same drawings: it is the model that is flawed."""
    twin = folder.with_name(f"{folder.name}-flawed")
    for name, sheet in sheets.items():
        sheet.save(folder / "drawings" / f"{name}.png")
    shutil.copytree(folder / "drawings", twin / "drawings", dirs_exist_ok=True)
    write_project(sound, folder)
    write_project(flawed, twin)


if __name__ == "__main__":
    make_all(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent)
