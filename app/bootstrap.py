"""Makes `python3 app` and `python3 tests` work on a bare machine: system libraries, `.venv`, packages, run again in it.

Standard library only. What is slow to import is imported where it is used, since every later run passes here too.
Everything said goes to standard error: standard output belongs to the command.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING, Literal, NoReturn

if TYPE_CHECKING:
    from subprocess import CompletedProcess

ROOT = Path(__file__).resolve().parent.parent
LOCK = ROOT / "requirements.lock"
MARK = "made-by-bayfold"
"""Stands in an environment that this module made, and may therefore wipe."""

Purpose = Literal["command", "window", "tests"]
PURPOSES: tuple[Purpose, ...] = ("command", "window", "tests")

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
WITHOUT_DISPLAY = ("check", "poses", "strip", "-h", "--help", "--version")


class SetUpFailed(Exception):
    """What stands in the way of a set-up, and what to do about it, in one message."""


def ensure(purpose: Purpose) -> None:
    """Return when this is the ready environment's Python; otherwise make that ready and run the command again in it."""
    try:
        home = environment_folder()
        if Path(sys.prefix).resolve() == home.resolve():
            return
        if not _is_ready(home, purpose):
            with _alone(home):
                if not _is_ready(home, purpose):
                    _set_up(home, purpose)
        _run_again(python_of(home))
    except SetUpFailed as failure:
        _say(str(failure))
    except OSError as error:
        _say(f"set-up could not go on: {error}")
    except KeyboardInterrupt:
        _say("set-up interrupted; the next run starts it again")
        raise SystemExit(130) from None
    raise SystemExit(2)


def purpose_of(arguments: list[str]) -> Purpose:
    """A window is only wanted where there is a display, and not by a command that does without."""
    if has_display() and not (arguments and arguments[0] in WITHOUT_DISPLAY):
        return "window"
    return "command"


def has_display() -> bool:
    """Whether a window could be shown."""
    if not sys.platform.startswith("linux"):
        return True
    if os.environ.get("QT_QPA_PLATFORM", "") == "offscreen":
        return False
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


# ---- the environment -------------------------------------------------------------------------------------------------


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


def _key() -> str:
    """What an environment was made for: another Python, another place or another lock needs another one."""
    return f"{sys.version_info[0]}.{sys.version_info[1]} {ROOT}\n{LOCK.read_text(encoding='utf-8')}"


def _is_ready(home: Path, purpose: Purpose) -> bool:
    """A stamp is written last, so an interrupted set-up has none."""
    try:
        stamped = (home / f"ready-{purpose}").read_text(encoding="utf-8")
    except OSError:
        return False
    return stamped == _key() and python_of(home).exists() and (home / "pyvenv.cfg").exists()


def _has_packages(home: Path) -> bool:
    return any(_is_ready(home, purpose) for purpose in PURPOSES)


@contextmanager
def _alone(home: Path) -> Iterator[None]:
    """Hold the set-up lock, so that of two runs at once the second waits and finds everything done."""
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
                _say("another run is setting up; waiting for it")
                fcntl.flock(handle, fcntl.LOCK_EX)
        yield


def _set_up(home: Path, purpose: Purpose) -> None:
    filled = _has_packages(home)
    provide_system_packages(purpose, environment=not filled)
    if not filled:
        _say(f"setting up, once: libraries go to {home} (about 700 MB, a minute or less)")
        _install_packages(_make_environment(home))
    # A ready environment in a checkout that cannot be written needs no stamp for the next purpose.
    with suppress(PermissionError):
        (home / f"ready-{purpose}").write_text(_key(), encoding="utf-8")


def _make_environment(home: Path) -> list[str]:
    """An empty environment, wiping a stale or half-made one; answers the command that is its pip."""
    import shutil
    from importlib.util import find_spec

    if home.is_symlink() or (home.exists() and any(home.iterdir()) and not (home / MARK).exists()):
        raise SetUpFailed(f"{home} was not made by this program; move it away, or run {python_of(home)} in its stead")
    if home.exists():
        shutil.rmtree(home)
    home.mkdir(parents=True)
    (home / MARK).touch()
    from venv import EnvBuilder

    EnvBuilder(symlinks=os.name != "nt").create(home)
    python = str(python_of(home))
    if find_spec("ensurepip") is None:  # Debian splits ensurepip off, but its own pip can fill another environment
        return [sys.executable, "-m", "pip", "--python", python]
    if _run([python, "-m", "ensurepip", "--default-pip"]).returncode:
        raise SetUpFailed("this Python could not put pip into a virtual environment; is its ensurepip module whole?")
    return [python, "-m", "pip"]


def _install_packages(installer: list[str]) -> None:
    options = "install --quiet --retries 2 --require-hashes --no-deps --only-binary=:all: -r"
    done = _run([*installer, "--no-input", "--disable-pip-version-check", *options.split(), str(LOCK)], hold_lock=True)
    if done.returncode:
        lines = [line for line in done.stdout.splitlines() if line.startswith("ERROR:")] or done.stdout.splitlines()
        said = lines[-1].removeprefix("ERROR: ") if lines else f"pip ended with status {done.returncode}"
        raise SetUpFailed(f"libraries could not be installed ({said}); is the network there? The next run tries again")


def _run(command: list[str], *, hold_lock: bool = False) -> CompletedProcess[str]:
    """Run with output kept, without the settings that would send packages elsewhere.

    With `hold_lock` the set-up lock stays taken until the command ends, even if this process is killed before it.
    """
    import subprocess

    elsewhere = {"PIP_USER", "PIP_TARGET", "PIP_PREFIX", "PIP_ROOT", "PYTHONHOME", "PYTHONPATH"}
    environment = {name: value for name, value in os.environ.items() if name not in elsewhere}
    return subprocess.run(
        command, check=False, env=environment, text=True, errors="replace", stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, close_fds=not hold_lock,
    )  # fmt: skip


def _run_again(python: Path) -> NoReturn:
    """The same command with the same flags from the same folder, by the environment's Python."""
    guard, me = "BAYFOLD_RUN_AGAIN", str(os.getppid() if os.name == "nt" else os.getpid())
    if os.environ.get(guard) == me:
        raise SetUpFailed(f"{python} does not run in its own environment; is PYTHONHOME set?")
    command = [str(python), *sys.orig_argv[1:]]
    sys.stderr.flush()
    if os.name == "nt":  # exec there loses the console and the exit status
        import subprocess

        raise SystemExit(subprocess.call(command, env={**os.environ, guard: str(os.getpid())}))
    os.execve(python, command, {**os.environ, guard: me})


# ---- the system's libraries ------------------------------------------------------------------------------------------


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
    _say(f"{why}; installing {' '.join(packages)}")
    os.environ.setdefault("DEBIAN_FRONTEND", "noninteractive")
    _apt("apt-get update")  # may fail without network, where the packages may yet be in the cache
    patient = f"{install} -o DPkg::Lock::Timeout=300"
    if _apt(patient):
        _run(["dpkg", "--configure", "-a"])  # mends an installation that was cut off
        if complaint := _apt(patient):
            raise SetUpFailed(f"{why}, but `{install}` failed: {complaint}")


def _apt(command: str, *, patience: int = 100) -> str:
    """Run apt-get, waiting up to five minutes for its lists to be free; answers its complaint, or nothing."""
    from time import sleep

    for _ in range(patience):
        done = _run(command.split())
        if "lists/lock" not in done.stdout:
            break
        sleep(3)
    errors = [line for line in done.stdout.splitlines() if line.startswith("E:")]
    return "" if done.returncode == 0 else " ".join(errors) or f"status {done.returncode}"


def _say(text: str) -> None:
    print(f"bayfold: {text}", file=sys.stderr, flush=True)
