"""An aircraft in one file to send: a plain zip of its project.json and its drawings, and a folder of such a file.

The same content makes the same bytes: names in one order, one date, nothing squeezed (pictures are already). A file
from elsewhere is looked through before anything is written: what would climb out of its folder, or is a link, or
is no aircraft, is refused whole.
"""

from __future__ import annotations

import contextlib
import os
import secrets
import shutil
import stat
import zipfile
import zlib
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path, PurePosixPath

from core.document.json_text import MOST_BYTES as MOST_PROJECT_BYTES
from core.document.project import Project
from core.document.project_file import FILE_NAME, decode, project_file, put_in_place, read_project
from core.errors import UnreadableProject, UnwritableProject

SUFFIX = ".bayfold"
DRAWINGS = "drawings"
LEFT_OUT = frozenset({".bayfold", "exports"})
"""History and what was written from the aircraft stay at home."""
DATE = (1980, 1, 1, 0, 0, 0)
"""The earliest that a zip can hold."""
MOST_FILES = 1000
MOST_BYTES = 512 << 20
"""Unpacked. Six scans of a sheet at 600 dots an inch are a fifth of it."""
AT_ONCE = 1 << 20
UNSAFE = frozenset('\\:*?"<>|')
"""Letters that are no part of a name, or mean something, on one system or another."""


def packed_name(folder: Path) -> Path:
    """Where a folder's packed file goes unless told otherwise: beside it, named after it."""
    folder = Path(folder).resolve()
    return folder.with_name(folder.name + SUFFIX)


def pack(folder: Path, file: Path | None = None) -> Path:
    """Write an aircraft's folder to one file, whole or not at all; answers the file.

    Raises UnreadableProject for a folder that holds no sound aircraft or a drawing that cannot be sent, and
    UnwritableProject where the file cannot be written, and then leaves what stood there before.
    """
    source = project_file(folder)
    project = read_project(source)
    home = source.resolve().parent
    file = packed_name(home) if file is None else Path(file)
    packed = BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_STORED) as archive:
        for name in (FILE_NAME, *_drawings(project, home, source)):
            _add(archive, name, home / name)
    try:
        put_in_place(file.resolve(), packed.getvalue())
    except OSError as error:
        raise UnwritableProject(f"{file}: could not be written: {error.strerror or error}") from error
    return file


def unpack(file: Path, folder: Path) -> Path:
    """Make a folder of a packed file; answers the folder, which must not be there yet, or be empty.

    Raises UnreadableProject for a file that is no packed aircraft or would reach out of the folder, UnwritableProject
    where the folder cannot be made. Then nothing has been written.
    """
    file, folder = Path(file), Path(folder)
    _refuse_taken(folder)
    try:
        with zipfile.ZipFile(file) as archive:
            members = _members(archive, file)
            _refuse_senseless(archive, members, file)
            _put_down(archive, members, file, folder)
    except FileNotFoundError:
        raise UnreadableProject(file, "there is no such file", right=f"give a file made by pack ({SUFFIX})") from None
    except zipfile.BadZipFile:
        raise _unsound(file, "it is no zip file, or not the whole of one") from None
    except OSError as error:
        raise UnreadableProject(file, f"cannot be read: {error.strerror or error}") from None
    return folder


# ---- packing -------------------------------------------------------------------------------------------------------


def _drawings(project: Project, home: Path, source: Path) -> list[str]:
    """What goes along: the drawings that the project names, and whatever else was traced from; sorted."""
    names = {PurePosixPath(one.file).as_posix() for view in project.views for one in view.drawings}
    beside = home / DRAWINGS
    if beside.is_dir():
        found = (one for one in beside.rglob("*") if one.is_file() and not one.is_symlink())
        names |= {one.relative_to(home).as_posix() for one in found}
    names.discard(FILE_NAME)
    total = 0
    for name in names:
        path = home / name
        if wrong := _what_is_wrong(name):
            raise UnreadableProject(source, f"the drawing's name {wrong}", place=name, right="give it a plain name")
        if not path.resolve().is_relative_to(home):
            raise UnreadableProject(
                source, "the drawing lies outside the aircraft's folder", place=name, right="copy it into drawings"
            )
        with contextlib.suppress(OSError):
            total += path.stat().st_size
    if total > MOST_BYTES or len(names) >= MOST_FILES:
        raise UnreadableProject(
            source, f"has {len(names)} drawings with {_megabytes(total)}, too much to send",
            right=f"{_megabytes(MOST_BYTES)} and {MOST_FILES - 1} drawings at most",
        )  # fmt: skip
    return sorted(names)


def _add(archive: zipfile.ZipFile, name: str, path: Path) -> None:
    entry = zipfile.ZipInfo(name, DATE)
    entry.create_system = 3
    entry.external_attr = (stat.S_IFREG | 0o644) << 16
    try:
        archive.writestr(entry, path.read_bytes(), zipfile.ZIP_STORED)
    except OSError as error:
        raise UnreadableProject(path, f"cannot be read: {error.strerror or error}") from None


# ---- unpacking -----------------------------------------------------------------------------------------------------


def _members(archive: zipfile.ZipFile, file: Path) -> list[zipfile.ZipInfo]:
    """What is to be written, once every name has been looked at."""
    entries = archive.infolist()
    if len(entries) > MOST_FILES:
        raise UnreadableProject(file, f"holds {len(entries)} files", right=f"an aircraft has {MOST_FILES} at most")
    for entry in entries:
        _refuse_unsafe(entry, file)
    files = [one for one in entries if not one.is_dir() and PurePosixPath(one.filename).parts[0] not in LEFT_OUT]
    _refuse_twins(files, file)
    if FILE_NAME not in (one.filename for one in files):
        deeper = next((one.filename for one in files if PurePosixPath(one.filename).name == FILE_NAME), "")
        aside = f"; it is in {PurePosixPath(deeper).parent}" if deeper else ""
        right = f"a packed aircraft has {FILE_NAME} at its top{aside}"
        raise UnreadableProject(file, f"there is no {FILE_NAME} in it", right=right)
    total = sum(one.file_size for one in files)
    if total > MOST_BYTES:
        right = f"an aircraft has {_megabytes(MOST_BYTES)} at most"
        raise UnreadableProject(file, f"holds {_megabytes(total)} once unpacked", right=right)
    return files


def _refuse_unsafe(entry: zipfile.ZipInfo, file: Path) -> None:
    mode = entry.external_attr >> 16
    kind = stat.S_IFMT(mode) if entry.create_system == 3 else 0
    name = entry.orig_filename  # filename has lost what follows a zero byte
    wrong = _what_is_wrong(name.removesuffix("/"))
    if wrong:
        raise UnreadableProject(file, f"the name {wrong}", place=name, right="only plain names within it are taken")
    if kind not in (0, stat.S_IFREG, stat.S_IFDIR):
        what = "is a link" if kind == stat.S_IFLNK else "is no plain file"
        raise UnreadableProject(file, what, place=name, right="pack the drawing itself")
    if entry.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        raise UnreadableProject(
            file, "is squeezed in a way that is not read here", place=name, right="pack it as a plain zip"
        )
    if entry.flag_bits & 0x1:
        raise UnreadableProject(file, "is locked by a password", place=name, right="pack it without one")


def _what_is_wrong(name: str) -> str:
    """Why a name within a packed file cannot be written safely on every system; empty if it can."""
    if name.startswith(("/", "\\")) or name[1:2] == ":":
        return "starts at the top of a disk"
    parts = name.split("/")
    if ".." in parts:
        return "climbs out of the folder"
    if "" in parts or "." in parts or any(part != part.rstrip(". ") for part in parts):
        return "is no plain name"
    if any(letter in UNSAFE or ord(letter) < 32 for letter in name):
        return "has a letter that no file's name may have everywhere"
    return ""


def _refuse_twins(files: list[zipfile.ZipInfo], file: Path) -> None:
    """Two names that one disk or another takes for the same, or a file where another needs a folder."""
    seen: set[str] = set()
    for one in files:
        name = one.filename.casefold()
        if name in seen:
            raise UnreadableProject(file, "is there twice", place=one.filename, right="each file once")
        seen.add(name)
    for one in files:
        if any(str(above) in seen for above in PurePosixPath(one.filename.casefold()).parents):
            raise UnreadableProject(file, "lies in what is a file", place=one.filename, right="a folder above it")


def _refuse_senseless(archive: zipfile.ZipFile, members: list[zipfile.ZipInfo], file: Path) -> None:
    """The project in it is read as if it lay in its folder."""
    entry = archive.getinfo(FILE_NAME)
    if entry.file_size > MOST_PROJECT_BYTES:
        right = f"{_megabytes(MOST_PROJECT_BYTES)} at most"
        raise UnreadableProject(file, f"has {_megabytes(entry.file_size)}", place=FILE_NAME, right=right)
    with _taken_out(file, entry):
        data = archive.read(entry)
    project = decode(data, file / FILE_NAME)
    there = {one.filename for one in members}
    for view in project.views:
        for drawing in view.drawings:
            if PurePosixPath(drawing.file).as_posix() not in there:
                raise UnreadableProject(
                    file, f"the drawing {drawing.file} is not in it", place=f"views, {view.id}",
                    right="pack the aircraft again, with its drawings",
                )  # fmt: skip


def _put_down(archive: zipfile.ZipFile, members: list[zipfile.ZipInfo], file: Path, folder: Path) -> None:
    """Into a folder beside, which takes the place once everything is in it and sound."""
    home = folder.resolve()
    beside = home.with_name(f".{home.name}-{secrets.token_hex(4)}.tmp")
    try:
        beside.mkdir(parents=True)
        for entry in members:
            with _taken_out(file, entry):
                _write(archive, entry, beside / entry.filename)
        if home.is_dir():  # somebody may be standing in it; without project.json it is no aircraft yet
            for one in sorted(beside.iterdir(), key=lambda one: one.name == FILE_NAME):
                one.rename(home / one.name)
        else:
            beside.rename(home)
    except OSError as error:
        raise UnwritableProject(f"{folder}: could not be written: {error.strerror or error}") from error
    finally:
        shutil.rmtree(beside, ignore_errors=True)


def _write(archive: zipfile.ZipFile, entry: zipfile.ZipInfo, path: Path) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    with archive.open(entry) as source, path.open("xb") as out:
        shutil.copyfileobj(source, out, AT_ONCE)
        out.flush()
        os.fsync(out.fileno())


def _refuse_taken(folder: Path) -> None:
    try:
        taken = folder.is_symlink() or (folder.exists() and (not folder.is_dir() or any(folder.iterdir())))
    except OSError as error:
        raise UnwritableProject(f"{folder}: could not be written: {error.strerror or error}") from error
    if taken:
        raise UnwritableProject(f"{folder}: something is there already; give a folder that is empty or not there yet")


@contextlib.contextmanager
def _taken_out(file: Path, entry: zipfile.ZipInfo) -> Iterator[None]:
    """What is damaged is told by its name in the packed file."""
    try:
        yield
    except NotImplementedError:
        raise _unsound(file, "it is squeezed in a way that is not known here", entry.filename) from None
    except (zipfile.BadZipFile, zlib.error, EOFError):
        raise _unsound(file, "it is damaged", entry.filename) from None


def _unsound(file: Path, why: str, name: str = "") -> UnreadableProject:
    right = "ask for the file again, or pack it anew"
    return UnreadableProject(file, f"cannot be unpacked: {why}", place=name, right=right)


def _megabytes(count: int) -> str:
    return f"{count / (1 << 20):.0f} MB"
