"""The project's file: bytes to a project, strictly, and a project to bytes that diff well.

A file is taken whole or not at all. Of a newer version's file what is not understood is set aside and written back.
"""

from __future__ import annotations

import contextlib
import os
import secrets
import stat
from pathlib import Path
from typing import Any

import msgspec

from core.document import kept
from core.document.checks import problems
from core.document.json_text import MOST_BYTES, Refused, lay_out, parse, shown
from core.document.newer import settled
from core.document.problem import Problem, place_text
from core.document.project import FORMAT, VERSION, Project
from core.document.schema_errors import explained, id_at
from core.document.upgrades import upgraded
from core.errors import UnreadableProject, UnwritableProject

FILE_NAME = "project.json"


def read_project(path: Path, *, lost: bool = True) -> Project:
    """The project in a folder, or in its project.json; raises UnreadableProject, and changes nothing on disk.

    That a drawing is `lost` is a reason to refuse it, unless whoever asks can do without: its words stay in the file.
    """
    file = project_file(path)
    return _decoded(_bytes(file), file, file.parent, lost=lost)


def project_file(path: Path) -> Path:
    """The project.json that a path means: the one in that folder, or the file itself.

    Raises UnreadableProject for a file of another name: saving would put project.json beside it, over what is there.
    """
    path = Path(path)
    try:
        if path.is_dir() and path.name != FILE_NAME:
            return path / FILE_NAME
        if path.name != FILE_NAME and path.is_file():
            raise UnreadableProject(path, f"is not called {FILE_NAME}", right="give the project's folder, or that file")
    except (OSError, ValueError):
        pass  # what is wrong with it is said when it is read
    return path


def decode(data: bytes, file: Path) -> Project:
    """The project in a file's bytes, its drawings not looked for; `file` is only named in messages.

    Raises UnreadableProject.
    """
    return _decoded(data, file, None)


def _decoded(data: bytes, file: Path, folder: Path | None, *, lost: bool = True) -> Project:
    try:
        tree = parse(data)
    except Refused as refused:
        place = refused.line or place_text(refused.place)
        raise UnreadableProject(file, refused.wrong, place=place, right=refused.right) from None
    version = _version(tree, file)
    body = {key: value for key, value in upgraded(tree, version).items() if key not in ("format", "version")}
    newer = version > VERSION
    gathered = kept.gather(body, (Project,), newer=newer)
    try:
        project = msgspec.convert(gathered | {"version": version}, Project, strict=True)
    except msgspec.ValidationError as error:
        path, wrong, right = explained(str(error), body)
        raise UnreadableProject(file, wrong, place=place_text(path, id_at(body, path)), right=right) from None
    if newer:
        project = settled(project)
    _refuse_first(problems(project, folder, lost=lost), file)
    return project


def encode(project: Project) -> bytes:
    """The file's bytes. Raises ValueError for a number that is not finite."""
    tree = kept.spread(project)
    tree.pop("version", None)
    return lay_out({"format": FORMAT, "version": project.version} | tree).encode("utf-8")


def write_project(project: Project, folder: Path) -> None:
    """Put project.json into the folder, whole or not at all; the folder is made where it is missing.

    Raises UnwritableProject, and then leaves what stood there before.
    """
    file = Path(folder) / FILE_NAME
    was_there = file.parent.exists()
    try:
        data = encode(project)
        file.parent.mkdir(parents=True, exist_ok=True)
        put_in_place(file.resolve(), data)
    except (OSError, ValueError) as error:
        if not was_there:
            with contextlib.suppress(OSError):
                file.parent.rmdir()
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise UnwritableProject(f"{file}: could not be written: {reason}") from error


def put_in_place(file: Path, data: bytes) -> None:
    """Write beside the file and put it in its place, so that a power cut leaves the old one or the new one."""
    beside = file.with_name(f".{file.name}-{secrets.token_hex(4)}.tmp")
    try:
        with beside.open("xb") as out:
            out.write(data)
            out.flush()
            os.fsync(out.fileno())
        if file.exists():
            beside.chmod(stat.S_IMODE(file.stat().st_mode))
        beside.replace(file)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
    _sync_folder(file.parent)


def _sync_folder(folder: Path) -> None:
    """Make the new name last too; folders cannot be synchronised everywhere, and then the system sees to it."""
    with contextlib.suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


def _bytes(file: Path) -> bytes:
    try:
        about = file.stat()
        if not stat.S_ISREG(about.st_mode):
            raise UnreadableProject(file, "is not a file", right="give the project's folder or its project.json")
        if about.st_size > MOST_BYTES:
            raise UnreadableProject(
                file, f"is larger than {MOST_BYTES >> 20} MB", right="pictures belong in the drawings folder"
            )
        return file.read_bytes()
    except FileNotFoundError:
        raise UnreadableProject(
            file, "there is no such file", right="give the project's folder or its project.json"
        ) from None
    except OSError as error:
        raise UnreadableProject(file, f"cannot be read: {error.strerror or error}") from None
    except ValueError as error:  # a zero byte in the name
        raise UnreadableProject(file, f"cannot be read: {error}") from None


def _version(tree: Any, file: Path) -> int:
    """The version first: what the rest means depends on it."""
    if not isinstance(tree, dict):
        raise UnreadableProject(file, f"holds {shown(tree)} and not a project", right="a project is a JSON object")
    name = tree.get("format")
    if name != FORMAT:
        has = "has no format key" if name is None else f"says {shown(name)}"
        wrong = f"is JSON, but not a project: it {has}"
        raise UnreadableProject(file, wrong, place="format", right=f'"{FORMAT}" is needed')
    version = tree.get("version")
    if version is None:
        raise UnreadableProject(file, "the version is missing", place="version", right=f"this program writes {VERSION}")
    if isinstance(version, bool) or not isinstance(version, int) or not 1 <= version <= 1_000_000:
        right = f"a whole number from 1 on; {VERSION} is the newest known here"
        raise UnreadableProject(file, f"{shown(version)} is no version", place="version", right=right)
    return version


def _refuse_first(found: tuple[Problem, ...], file: Path) -> None:
    if not found:
        return
    first = found[0]
    others = len(found) - 1
    more = f" ({others} more problem{'s' if others > 1 else ''} in the file)" if others else ""
    raise UnreadableProject(file, first.wrong, place=first.place, right=first.right + more)
