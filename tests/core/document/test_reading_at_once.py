"""A project is read by several threads at once, as the window does that is opened on one and pictures others."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[3]
PROGRAM = """
import sys
import threading
from pathlib import Path
from core.document.project_file import read_project

sys.setswitchinterval(1e-5)
together, found = threading.Barrier(4), []

def read():
    together.wait()
    found.append(read_project(Path("sample_projects/merrow-t2")))

threads = [threading.Thread(target=read) for _ in range(4)]
for one in threads:
    one.start()
for one in threads:
    one.join()
sys.exit(0 if len(found) == 4 and all(one == found[0] for one in found) else 1)
"""


def test_the_first_reading_of_all_may_be_done_by_several_threads_at_once():
    """Each process reads for the first time once, and goes wrong five times in six if it can."""
    for _ in range(3):
        done = subprocess.run([sys.executable, "-c", PROGRAM], cwd=ROOT, capture_output=True, check=False)
        assert done.returncode == 0, done.stderr.decode()
