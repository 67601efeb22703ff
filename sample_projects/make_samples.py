"""Makes the sample aircraft again, pictures and project files, byte for byte: `python -m sample_projects.make_samples`."""

from __future__ import annotations

import sys
from pathlib import Path

from core.document.project import View
from core.document.project_file import write_project
from sample_projects.tools.merrow_t2 import merrow_t2


def make_all(folder: Path) -> None:
    """Every sample, each in its own folder within `folder`."""
    views = (View(id="side", name="Side elevation", plane="side"), View(id="plan", name="Steering in plan", plane="plan"))
    write_project(merrow_t2(views), folder / "merrow-t2")


if __name__ == "__main__":
    make_all(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent)
