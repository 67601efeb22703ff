"""The system's libraries that Qt loads, and Debian's parts of Python: found by name, installed by apt-get."""

from __future__ import annotations

import os
import sys
from contextlib import suppress

from app.bootstrap.purpose import Purpose
from app.bootstrap.talk import SetUpFailed, run, say

# What Qt loads from the system, by the name it asks for, and the Debian package that has it.
PAINTING = {
    "libglib-2.0.so.0": "libglib2.0-0",
    "libGL.so.1": "libgl1",
    "libEGL.so.1": "libegl1",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
}
X11_WINDOW = {
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
}
VIRTUAL_SCREEN = {"Xvfb": "xvfb", "xauth": "xauth"}
PATIENCE = 100
"""How often apt-get is tried, every three seconds, while another program holds its lists."""


def provide_system_packages(purpose: Purpose, *, environment: bool) -> None:
    """See that Qt finds its libraries and Python can make an environment: install what is missing, or say how."""
    from importlib.util import find_spec
    from shutil import which

    if not sys.platform.startswith("linux"):
        return
    missing = missing_libraries(purpose)
    if environment and (find_spec("venv") is None or (find_spec("ensurepip") or find_spec("pip")) is None):
        missing.append("python3-venv")
    if missing:
        install_system_packages(missing, why="Qt or Python needs packages that this system lacks")
    if purpose == "tests" and os.geteuid() == 0:
        screen = [package for program, package in VIRTUAL_SCREEN.items() if which(program) is None]
        if screen := screen + missing_libraries("window"):
            with suppress(SetUpFailed):  # without, the test in a real window is skipped
                install_system_packages(screen, why="the test in a real window needs a virtual screen")


def missing_libraries(purpose: Purpose) -> list[str]:
    """Debian's names of the packages that are wanted; libraries are asked for by name, as Qt's plugins will."""
    from ctypes import CDLL

    def loads(name: str) -> bool:
        try:
            CDLL(name)
        except OSError:
            return False
        return True

    wanted = PAINTING | X11_WINDOW if purpose == "window" else PAINTING
    return [package for library, package in wanted.items() if not loads(library)]


def install_system_packages(packages: list[str], *, why: str) -> None:
    """Install Debian packages as root, or raise with the line that does."""
    from shutil import which

    install = "apt-get install --yes --no-install-recommends " + " ".join(packages)
    if which("apt-get") is None:
        raise SetUpFailed(f"{why}: please install what your system calls {' '.join(packages)}, then run this again")
    if os.geteuid() != 0:
        raise SetUpFailed(f"{why}; please run this, then try again:\n  sudo apt-get update && sudo {install}")
    say(f"{why}; installing {' '.join(packages)}")
    os.environ.setdefault("DEBIAN_FRONTEND", "noninteractive")
    _apt("apt-get update")  # may fail without network, where the packages may yet be in the cache
    patient = f"{install} -o DPkg::Lock::Timeout=300"
    if _apt(patient):
        run(["dpkg", "--configure", "-a"])  # mends an installation that was cut off
        if complaint := _apt(patient):
            raise SetUpFailed(f"{why}, but `{install}` failed: {complaint}")


def _apt(command: str) -> str:
    """Run apt-get, waiting up to five minutes for its lists to be free; answers its complaint, or nothing."""
    from time import sleep

    for attempt in range(PATIENCE):
        done = run(command.split())
        if "lists/lock" not in done.stdout:
            break
        if not attempt:
            say("another program is at the system's packages; waiting for it")
        sleep(3)
    errors = [line for line in done.stdout.splitlines() if line.startswith("E:")]
    return "" if done.returncode == 0 else " ".join(errors) or f"status {done.returncode}"
