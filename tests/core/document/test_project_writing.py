"""Writing the project's file: whole or not at all, and the same bytes for the same project."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path

import pytest
from PIL import Image

from core.document.project import Aircraft, Project
from core.document.project_file import encode, read_project, write_project
from core.document.step_edits import SetMove
from core.errors import UnwritableProject
from tests.formats.merrow import FOLDER


def names_in(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def bare(name: str = "Skarn P.9") -> Project:
    return Project(aircraft=Aircraft(name=name))


def test_what_is_written_is_read_again(tmp_path: Path):
    write_project(
        bare("Pellow 3 \N{EN DASH} \N{LATIN SMALL LETTER O WITH DIAERESIS}\n\N{SNOWMAN}"), tmp_path / "new" / "pellow"
    )
    assert read_project(tmp_path / "new" / "pellow").aircraft.name == "Pellow 3 – ö\n☃"
    assert names_in(tmp_path / "new" / "pellow") == ["project.json"]


def test_a_write_that_fails_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    write_project(bare(), tmp_path)
    before = (tmp_path / "project.json").read_bytes()

    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(UnwritableProject, match="No space left"):
        write_project(bare("Merrow T.2"), tmp_path)
    assert (tmp_path / "project.json").read_bytes() == before
    assert names_in(tmp_path) == ["project.json"]


def test_a_write_that_fails_leaves_no_folder_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(UnwritableProject, match="No space left"):
        write_project(bare(), tmp_path / "variant")
    assert names_in(tmp_path) == []
    (tmp_path / "there").mkdir()
    with pytest.raises(UnwritableProject, match="No space left"):
        write_project(bare(), tmp_path / "there")
    assert names_in(tmp_path) == ["there"]


def test_the_file_is_on_the_disk_before_it_takes_the_old_ones_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    happened: list[str] = []
    fsync, replace = os.fsync, Path.replace

    def synced(descriptor: int) -> None:
        happened.append("folder" if stat.S_ISDIR(os.fstat(descriptor).st_mode) else "file")
        fsync(descriptor)

    def replaced(path: Path, target: Path) -> Path:
        happened.append("replace")
        assert path.parent == target.parent
        return replace(path, target)

    monkeypatch.setattr(os, "fsync", synced)
    monkeypatch.setattr(Path, "replace", replaced)
    write_project(bare(), tmp_path)
    assert happened == ["file", "replace", "folder"]


def test_a_folder_in_the_way_is_said(tmp_path: Path):
    (tmp_path / "file").write_text("")
    with pytest.raises(UnwritableProject):
        write_project(bare(), tmp_path / "file" / "deeper")
    (tmp_path / "project.json").mkdir()
    with pytest.raises(UnwritableProject):
        write_project(bare(), tmp_path)
    assert names_in(tmp_path) == ["file", "project.json"]


def test_a_number_that_is_none_is_not_written(tmp_path: Path):
    write_project(bare(), tmp_path)
    before = (tmp_path / "project.json").read_bytes()
    with pytest.raises(UnwritableProject):
        write_project(Project(aircraft=Aircraft(name="x", scale=float("nan"))), tmp_path)
    assert (tmp_path / "project.json").read_bytes() == before


def test_rights_and_links_stay(tmp_path: Path):
    real = tmp_path / "real.json"
    write_project(bare(), tmp_path)
    (tmp_path / "project.json").rename(real)
    real.chmod(0o640)
    (tmp_path / "project.json").symlink_to(real)
    write_project(bare("Merrow T.2"), tmp_path)
    assert (tmp_path / "project.json").is_symlink()
    assert stat.S_IMODE(real.stat().st_mode) == 0o640
    assert b"Merrow" in real.read_bytes()


def test_writing_again_changes_no_byte(tmp_path: Path):
    write_project(read_project(FOLDER), tmp_path)
    once = (tmp_path / "project.json").read_bytes()
    (tmp_path / "drawings").mkdir()
    Image.new("L", (4, 3)).save(tmp_path / "drawings" / "side.png")
    write_project(read_project(tmp_path), tmp_path)
    assert (tmp_path / "project.json").read_bytes() == once


def test_a_changed_number_is_one_changed_line():
    project = read_project(FOLDER)
    edited = SetMove(sequence="retract", step="leg-up", drive="gear", to=99.5).apply(project)
    before, after = (encode(one).decode().splitlines() for one in (project, edited))
    changed = [(old, new) for old, new in zip(before, after, strict=True) if old != new]
    assert [old.replace("101", "99.5") for old, _ in changed] == [new for _, new in changed]
    assert len(changed) == 1


def test_the_layout():
    text = encode(read_project(FOLDER)).decode()
    assert text.endswith("}\n")
    assert "\r" not in text
    assert max(map(len, text.splitlines())) <= 120
    assert '\n  "aircraft": {"name": "Merrow T.2", "scale": 12, "note": "nose gear"},\n' in text
    slot = '"bodies": ["crank", "door"], "at": [5, 2], "from": [3, 2], "to": [12, 2]'
    assert f'\n    {{"id": "door-slot", "kind": "slot", {slot}}},\n' in text
    assert '\n          "points": [[-4, 4], [4, 4], [3, -60], [-3, -60]],\n' in text
