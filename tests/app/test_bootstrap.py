"""Setting up from nothing, and everything that may stand in its way. No test here downloads anything."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from app import bootstrap
from app.bootstrap import environment, purpose, system_packages
from app.bootstrap.talk import SetUpFailed

ROOT = Path(__file__).resolve().parent.parent.parent
OUTSIDE = getattr(sys, "_base_executable", sys.executable)
"""The Python that knows nothing of the environment these tests run in."""
TELL = """
import json, os, sys
def main():
    print(json.dumps({"argv": sys.argv, "prefix": sys.prefix, "path": sys.path[0], "dev": sys.flags.dev_mode}))
    return 7
"""


@pytest.fixture
def checkout(tmp_path, monkeypatch) -> Path:
    """A checkout that needs no packages, with a program that tells how it was run."""
    root = tmp_path / "check out"
    (root / "app").mkdir(parents=True)
    for name in ("__init__.py", "__main__.py"):
        shutil.copy(ROOT / "app" / name, root / "app" / name)
    shutil.copytree(ROOT / "app" / "bootstrap", root / "app" / "bootstrap")
    (root / "app" / "command_line.py").write_text(TELL, encoding="utf-8")
    (root / "app" / "json.py").write_text("raise ImportError('this is not the standard library')", encoding="utf-8")
    (root / "requirements.lock").write_text("# nothing\n", encoding="utf-8")
    monkeypatch.setattr(environment, "ROOT", root)
    monkeypatch.setattr(environment, "LOCK", root / "requirements.lock")
    return root


def run(*command: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    clean = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    return subprocess.run(command, cwd=cwd, env=clean, text=True, capture_output=True, timeout=240)


def stamp(root: Path, ready_for: str = "command") -> Path:
    """An environment that looks ready."""
    home = root / ".venv"
    environment.python_of(home).parent.mkdir(parents=True)
    environment.python_of(home).touch()
    (home / "pyvenv.cfg").touch()
    (home / environment.MARK).touch()
    (home / f"ready-{ready_for}").write_text(environment.key(), encoding="utf-8")
    return home


def test_sets_up_once_and_runs_the_same_command_inside(checkout):
    first = run(OUTSIDE, "-X", "dev", "check out/app", "a b", "--json", cwd=checkout.parent)
    assert first.returncode == 7, first.stderr
    told = json.loads(first.stdout)
    assert told["argv"][1:] == ["a b", "--json"]
    assert (Path(told["prefix"]), Path(told["path"])) == (checkout / ".venv", checkout)
    assert told["dev"] is True
    assert first.stderr.count("setting up") == 1

    second = run(OUTSIDE, "app", "again", cwd=checkout)
    assert (second.returncode, second.stderr) == (7, "")


@pytest.mark.parametrize("where", ["app", "tests"])
def test_old_python_is_told_what_is_needed_in_one_line(where):
    old = f"import runpy, sys; sys.version_info = (3, 8, 1); runpy.run_path({where!r}, run_name='__main__')"
    done = run(OUTSIDE, "-c", old, cwd=ROOT)
    assert done.returncode == 2
    assert done.stderr.startswith("bayfold: needs Python 3.11 or newer")
    assert done.stderr.count("\n") == 1


@pytest.mark.parametrize("where", ["app", "tests"])
def test_old_python_can_read_the_file_that_tells_it(where):
    source = (ROOT / where / "__main__.py").read_text(encoding="utf-8")
    assert source.isascii()
    modern = r"""\bf["']|:=|\[\*|\(\*|\*\*\{|\bprint\b|->|import annotations|\basync\b|\bmatch\b"""
    assert re.findall(modern, source) == []


class TestWhenAnEnvironmentIsReady:
    def test_ready_only_for_what_it_was_made_ready_for(self, checkout):
        home = stamp(checkout)
        assert environment.is_ready(home, "command")
        assert not environment.is_ready(home, "window")

    def test_not_without_a_stamp(self, checkout):
        (stamp(checkout) / "ready-command").unlink()
        assert not environment.is_ready(checkout / ".venv", "command")

    def test_not_once_the_lock_has_changed(self, checkout):
        home = stamp(checkout)
        environment.LOCK.write_text("another==1\n", encoding="utf-8")
        assert not environment.is_ready(home, "command")

    def test_not_once_the_folder_has_moved(self, checkout, monkeypatch):
        stamp(checkout)
        moved = checkout.rename(checkout.with_name("moved"))
        monkeypatch.setattr(environment, "ROOT", moved)
        monkeypatch.setattr(environment, "LOCK", moved / "requirements.lock")
        assert not environment.is_ready(moved / ".venv", "command")

    def test_not_for_another_python(self, checkout, monkeypatch):
        home = stamp(checkout)
        monkeypatch.setattr(environment.sys, "version_info", (3, 99, 0))
        assert not environment.is_ready(home, "command")

    def test_not_once_its_python_is_gone(self, checkout):
        home = stamp(checkout)
        environment.python_of(home).unlink()
        assert not environment.is_ready(home, "command")


class TestEnvironment:
    def test_another_programs_is_left_alone(self, checkout):
        (checkout / ".venv").mkdir()
        theirs = checkout / ".venv" / "theirs"
        theirs.touch()
        with pytest.raises(SetUpFailed, match="not made by this program"):
            environment._make_environment(checkout / ".venv")
        assert theirs.exists()

    def test_not_where_the_systems_path_would_break_it(self, checkout):
        with pytest.raises(SetUpFailed, match="move the folder"):
            environment._make_environment(checkout / f"a{os.pathsep}b")

    def test_half_made_one_is_made_anew(self, checkout, monkeypatch):
        monkeypatch.setattr(environment, "run", lambda *_, **__: subprocess.CompletedProcess([], 0, ""))
        half = checkout / ".venv" / "lib" / "half"
        half.mkdir(parents=True)
        (checkout / ".venv" / environment.MARK).touch()
        environment._make_environment(checkout / ".venv")
        assert not half.exists()
        assert environment.python_of(checkout / ".venv").exists()

    def test_without_ensurepip_the_outer_pip_fills_it(self, checkout, monkeypatch):
        from importlib import util

        monkeypatch.setattr(util, "find_spec", lambda name: None if name == "ensurepip" else object())
        assert "--python" in environment._make_environment(checkout / ".venv")

    def test_in_the_users_cache_where_the_checkout_cannot_be_written(self, checkout, monkeypatch, tmp_path):
        monkeypatch.setattr(environment.os, "access", lambda *_: False)
        monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
        assert environment.environment_folder().parent == tmp_path / "cache" / "bayfold"

    def test_ready_one_is_used_even_in_a_checkout_that_cannot_be_written(self, checkout, monkeypatch):
        home = stamp(checkout)
        monkeypatch.setattr(environment.os, "access", lambda *_: False)
        assert environment.environment_folder() == home

    def test_what_pip_says_is_told_in_one_line(self, checkout, monkeypatch):
        said = "WARNING: something\nERROR: Could not find a version\nERROR: No matching distribution found for x\n"
        monkeypatch.setattr(environment, "run", lambda *_, **__: subprocess.CompletedProcess([], 1, said))
        with pytest.raises(SetUpFailed, match=r"No matching distribution found for x.*network") as raised:
            environment._install_packages(["pip"])
        assert "\n" not in str(raised.value)

    def test_second_run_waits_for_the_first(self, checkout):
        entered = threading.Event()

        def second() -> None:
            with environment.alone(checkout / ".venv"):
                entered.set()

        other = threading.Thread(target=second)
        with environment.alone(checkout / ".venv"):
            other.start()
            assert not entered.wait(0.2)
        assert entered.wait(60)
        other.join()

    def test_never_runs_itself_again_without_end(self, checkout, monkeypatch):
        monkeypatch.setenv("BAYFOLD_RUN_AGAIN", str(os.getpid()))
        with pytest.raises(SetUpFailed, match="PYTHONHOME"):
            bootstrap.run_again(Path(sys.executable))


class TestSystemLibraries:
    @pytest.fixture
    def apt(self, tmp_path, monkeypatch):
        """An apt-get that notes what it is asked, and says what it is told to, an answer a call."""
        notes, answers = tmp_path / "asked", tmp_path / "answers"
        program = tmp_path / "bin" / "apt-get"
        program.parent.mkdir()
        program.write_text(
            f'#!/bin/sh\necho "$@" >> "{notes}"\nread -r line < "{answers}"\nsed -i 1d "{answers}"\n'
            'echo "$line"\n[ -z "$line" ]\n',
            encoding="utf-8",
        )
        program.chmod(0o755)
        monkeypatch.setenv("PATH", f"{program.parent}:{os.environ['PATH']}")
        monkeypatch.setattr("time.sleep", lambda _seconds: None)

        def prepare(*lines: str):
            answers.write_text("".join(f"{line}\n" for line in lines) + "\n" * 20, encoding="utf-8")
            return lambda: notes.read_text(encoding="utf-8").splitlines()

        return prepare

    def test_a_user_is_told_the_exact_line_before_anything_is_downloaded(self, apt, monkeypatch, checkout):
        asked = apt()
        monkeypatch.setattr(system_packages.os, "geteuid", lambda: 1000)
        monkeypatch.setitem(system_packages.PAINTING, "libnowhere.so.9", "libnowhere9")
        monkeypatch.setattr(environment, "_install_packages", lambda _: pytest.fail("downloaded"))
        monkeypatch.setattr("importlib.util.find_spec", lambda _name: None)
        with pytest.raises(SetUpFailed) as raised:
            environment.set_up(checkout / ".venv", "command")
        line = "sudo apt-get update && sudo apt-get install --yes --no-install-recommends libnowhere9 python3-venv"
        assert str(raised.value).splitlines()[-1].strip() == line
        with pytest.raises(FileNotFoundError):
            asked()

    def test_root_updates_and_installs_without_what_is_only_recommended(self, apt, monkeypatch):
        asked = apt()
        monkeypatch.setattr(system_packages.os, "geteuid", lambda: 0)
        system_packages.install_system_packages(["liba", "libb"], why="wanted")
        update, install = asked()
        assert update == "update"
        assert install.startswith("install --yes --no-install-recommends liba libb")
        assert "DPkg::Lock::Timeout" in install

    def test_root_waits_while_another_program_holds_the_package_lists(self, apt, monkeypatch):
        held = "E: Could not get lock /var/lib/apt/lists/lock. It is held by process 12 (apt-get)"
        asked = apt(held, held)
        monkeypatch.setattr(system_packages.os, "geteuid", lambda: 0)
        system_packages.install_system_packages(["liba"], why="wanted")
        assert asked()[:3] == ["update", "update", "update"]

    def test_root_is_told_what_failed(self, apt, monkeypatch):
        apt("", "E: Unable to locate package liba", "E: Unable to locate package liba")
        monkeypatch.setattr(system_packages.os, "geteuid", lambda: 0)
        with pytest.raises(SetUpFailed, match="Unable to locate package liba"):
            system_packages.install_system_packages(["liba"], why="wanted")

    def test_a_system_without_apt_is_told_the_names(self, monkeypatch):
        monkeypatch.setenv("PATH", "/nowhere")
        with pytest.raises(SetUpFailed, match="libegl1"):
            system_packages.install_system_packages(["libegl1"], why="wanted")


@pytest.mark.parametrize(
    ("arguments", "display", "wanted"),
    [
        ([], ":0", "window"),
        (["my-aircraft"], ":0", "window"),
        (["check", "my-aircraft"], ":0", "command"),
        (["--help"], ":0", "command"),
        ([], "", "command"),
    ],
)
def test_libraries_of_a_window_are_wanted_only_for_one(monkeypatch, arguments, display, wanted):
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    monkeypatch.delenv("QT_QPA_PLATFORM", raising=False)
    monkeypatch.setattr(purpose.sys, "platform", "linux")
    monkeypatch.setenv("DISPLAY", display)
    assert purpose.purpose_of(arguments) == wanted


def test_lock_is_hashed_throughout_and_names_no_place():
    lock = (ROOT / "requirements.lock").read_text(encoding="utf-8")
    requirements = [line for line in lock.splitlines() if line and not line.startswith((" ", "#"))]
    assert len(requirements) > 20
    assert lock.count("--hash=sha256:") >= len(requirements)
    assert "://" not in lock
    assert "pyside6-essentials==6.12.0 ; python_full_version >= '3.15'" in lock or "6.12.0" not in lock
