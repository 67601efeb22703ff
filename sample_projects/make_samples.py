"""Makes the sample aircraft again, pictures and project files: `python -m sample_projects.make_samples`."""

from __future__ import annotations

import sys
from pathlib import Path

from core.document.project_file import write_project
from sample_projects.tools.merrow_flawed import merrow_t2_flawed
from sample_projects.tools.merrow_sheets import plan_sheet, plan_view, side_sheet, side_view
from sample_projects.tools.merrow_t2 import merrow_t2


def make_all(folder: Path) -> None:
    """Every sample, each in its own folder within `folder`."""
    side, plan = side_sheet(), plan_sheet()
    for name, project in (("merrow-t2", merrow_t2), ("merrow-t2-flawed", merrow_t2_flawed)):
        side.save(folder / name / "drawings" / "side.png")
        plan.save(folder / name / "drawings" / "plan.png")
        write_project(project((side_view(side), plan_view(plan))), folder / name)


if __name__ == "__main__":
    make_all(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent)
