"""The environment of packages: where it is, whether it is ready, and making it so."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from app.bootstrap.purpose import PURPOSES, Purpose
from app.bootstrap.talk import SetUpFailed, run, say

ROOT = Path(__file__).resolve().parent.parent.parent
LOCK = ROOT / "requirements.lock"
MARK = "made-by-bayfold"
"""Stands in an environment that this module made, and may therefore wipe."""


def environment_folder() -> Path:
    """`.venv` in the checkout; for a checkout that cannot be written, a folder of its own in the user's cache."""
    local = ROOT / ".venv"
    if os.access(ROOT, os.W_OK) or _has_packages(local):
        return local
    from zlib import crc32

    cache = Path(os.environ.get("XDG_CACHE_HOME") or os.environ.get("LOCALAPPDATA") or Path.home() / ".cache")
    return cache / "bayfold" / f"venv-{crc32(str(ROOT).encode()):08x}"


def python_of(home: Path) -> Path:
    """The environment's Python."""
    return home / "Scripts" / "python.exe" if os.name == "nt" else home / "bin" / "python"


def key() -> str:
    """What an environment was made for: another Python, another place or another lock needs another one."""
    return f"{sys.version_info[0]}.{sys.version_info[1]} {ROOT}\n{LOCK.read_text(encoding='utf-8')}"


def is_ready(home: Path, purpose: Purpose) -> bool:
    """A stamp is written last, so an interrupted set-up has none."""
    try:
        stamped = (home / f"ready-{purpose}").read_text(encoding="utf-8")
    except OSError:
        return False
    return stamped == key() and python_of(home).exists() and (home / "pyvenv.cfg").exists()


def _has_packages(home: Path) -> bool:
    return any(is_ready(home, purpose) for purpose in PURPOSES)


@contextmanager
def alone(home: Path) -> Iterator[None]:
    """Hold the set-up lock, so that of two runs at once the second waits and finds everything done."""
    if home.exists() and not os.access(home.parent, os.W_OK):  # all that is left to do there is to look
        yield
        return
    home.parent.mkdir(parents=True, exist_ok=True)
    with Path(f"{home}.lock").open("a+b") as handle:
        os.set_inheritable(handle.fileno(), True)
        if os.name == "nt":
            import msvcrt

            handle.seek(0)
            msvcrt.locking(handle.fileno(), msvcrt.LK_LOCK, 1)  # type: ignore[attr-defined, unused-ignore]
        else:
            import fcntl

            try:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                say("another run is setting up; waiting for it")
                fcntl.flock(handle, fcntl.LOCK_EX)
        yield


def set_up(home: Path, purpose: Purpose) -> None:
    """Make an environment ready for a purpose, and stamp it; raises SetUpFailed with what stands in the way."""
    filled = _has_packages(home)
    from app.bootstrap.system_packages import provide_system_packages

    provide_system_packages(purpose, environment=not filled)
    if not filled:
        say(f"setting up, once: libraries go to {home} (about 700 MB, a minute or two)")
        _install_packages(_make_environment(home))
    # A ready environment in a checkout that cannot be written needs no stamp for the next purpose.
    with suppress(OSError):
        (home / f"ready-{purpose}").write_text(key(), encoding="utf-8")


def _make_environment(home: Path) -> list[str]:
    """An empty environment, wiping a stale or half-made one; answers the command that is its pip."""
    import shutil
    from importlib.util import find_spec

    if home.is_symlink() or (home.exists() and any(home.iterdir()) and not (home / MARK).exists()):
        raise SetUpFailed(f"{home} was not made by this program; move it away, or run {python_of(home)} in its stead")
    if os.pathsep in str(home):
        raise SetUpFailed(f"no environment can stand in {home}, for the {os.pathsep!r} in it; please move the folder")
    if home.exists():
        shutil.rmtree(home)
    home.mkdir(parents=True)
    (home / MARK).touch()
    from venv import EnvBuilder

    EnvBuilder(symlinks=os.name != "nt").create(home)
    python = str(python_of(home))
    if find_spec("ensurepip") is None:  # Debian splits ensurepip off, but its own pip can fill another environment
        return [sys.executable, "-m", "pip", "--python", python]
    if run([python, "-m", "ensurepip", "--default-pip"]).returncode:
        raise SetUpFailed("this Python could not put pip into a virtual environment; is its ensurepip module whole?")
    return [python, "-m", "pip"]


def _install_packages(installer: list[str]) -> None:
    options = "install --quiet --retries 2 --require-hashes --no-deps --only-binary=:all: -r"
    done = run([*installer, "--no-input", "--disable-pip-version-check", *options.split(), str(LOCK)], hold_lock=True)
    if done.returncode:
        lines = [line for line in done.stdout.splitlines() if line.startswith("ERROR:")] or done.stdout.splitlines()
        said = lines[-1].removeprefix("ERROR: ") if lines else f"pip ended with status {done.returncode}"
        raise SetUpFailed(f"libraries could not be installed ({said}); is the network there? The next run tries again")
