"""An aircraft goes into one file and comes out of it the same; a file that means harm, or is broken, writes nothing.

How a zip is laid out, and that names in it may be anything, is PKWARE's APPNOTE.TXT 6.3, sections 4.3 and 4.4.17; the
standard library's zipfile reads and writes it here as any other program would.
"""

from __future__ import annotations

import os
import shutil
import stat
import zipfile
from pathlib import Path

import pytest

from core.document import packing
from core.document.packing import pack, packed_name, unpack
from core.document.project_file import read_project
from core.errors import UnreadableProject, UnwritableProject

SAMPLES = Path(__file__).resolve().parents[3] / "sample_projects"


@pytest.fixture
def aircraft(tmp_path: Path) -> Path:
    folder = tmp_path / "pellow-3"
    shutil.copytree(SAMPLES / "pellow-3", folder, ignore=shutil.ignore_patterns("exports", ".bayfold"))
    (folder / ".bayfold").mkdir()
    (folder / ".bayfold" / "journal").write_bytes(b"at home")
    (folder / "exports").mkdir(exist_ok=True)
    (folder / "exports" / "retract.pdf").write_bytes(b"at home")
    return folder


def made(file: Path, entries: dict[str, bytes], *, mode: int = stat.S_IFREG | 0o644) -> Path:
    """A zip of another's making."""
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in entries.items():
            entry = zipfile.ZipInfo(name)
            entry.create_system = 3
            entry.external_attr = mode << 16
            archive.writestr(entry, data, zipfile.ZIP_DEFLATED)
    return file


def sound() -> dict[str, bytes]:
    return {"project.json": b'{"format": "bayfold-project", "version": 1, "aircraft": {"name": "Pellow 3"}}'}


def files_in(folder: Path) -> dict[str, bytes]:
    return {one.relative_to(folder).as_posix(): one.read_bytes() for one in folder.rglob("*") if one.is_file()}


def test_what_was_packed_comes_out_byte_for_byte_without_history_and_exports(aircraft: Path, tmp_path: Path):
    file = pack(aircraft)
    assert file == tmp_path / "pellow-3.bayfold" == packed_name(aircraft)
    folder = unpack(file, tmp_path / "there" / "pellow")
    kept = {name: data for name, data in files_in(aircraft).items() if not name.startswith((".bayfold", "exports"))}
    assert files_in(folder) == kept
    assert any(name.startswith("drawings/") for name in kept)
    assert read_project(folder) == read_project(aircraft)


def test_any_zip_program_finds_it_whole(aircraft: Path):
    with zipfile.ZipFile(pack(aircraft)) as archive:
        assert archive.testzip() is None
        assert archive.namelist()[0] == "project.json"


def test_the_same_content_makes_the_same_bytes_whenever_and_wherever(aircraft: Path, tmp_path: Path):
    first = pack(aircraft).read_bytes()
    twin = tmp_path / "twin"
    shutil.copytree(aircraft, twin)
    for one in twin.rglob("*"):
        os.utime(one, (1_000_000_000, 1_000_000_000))
    assert pack(twin).read_bytes() == first
    (twin / "drawings" / "other.txt").write_bytes(b"a note")
    assert pack(twin).read_bytes() != first


def test_a_link_among_the_drawings_does_not_go_along(aircraft: Path, tmp_path: Path):
    secret = tmp_path / "secret.txt"
    secret.write_text("not for sending")
    (aircraft / "drawings" / "linked.txt").symlink_to(secret)
    assert b"not for sending" not in pack(aircraft).read_bytes()


def test_a_pack_that_cannot_be_written_leaves_what_stood_there(aircraft: Path, tmp_path: Path, monkeypatch):
    file = tmp_path / "kept.bayfold"
    file.write_bytes(b"before")

    def refuse(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", refuse)
    with pytest.raises(UnwritableProject, match=r"kept\.bayfold: could not be written: No space left on device"):
        pack(aircraft, file)
    assert file.read_bytes() == b"before"
    assert not [one for one in tmp_path.iterdir() if one.name.endswith(".tmp")]


def test_a_folder_without_an_aircraft_is_not_packed(tmp_path: Path):
    with pytest.raises(UnreadableProject, match="there is no such file"):
        pack(tmp_path)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("name", "wrong"),
    [
        ("../evil.txt", "climbs out of the folder"),
        ("drawings/../../evil.txt", "climbs out of the folder"),
        ("/etc/evil.txt", "starts at the top of a disk"),
        ("C:evil.txt", "starts at the top of a disk"),
        ("drawings\\..\\..\\evil.txt", "has a letter"),
        ("\\\\server\\evil.txt", "starts at the top of a disk"),
        ("drawings//side.png", "is no plain name"),
        ("drawings/side.png ", "is no plain name"),
        ("drawings/a:b.png", "has a letter"),
    ],
)
def test_a_name_that_could_reach_elsewhere_is_refused_and_nothing_written(tmp_path: Path, name: str, wrong: str):
    file = made(tmp_path / "bad.bayfold", sound() | {name: b"evil"})
    with pytest.raises(UnreadableProject, match=wrong) as caught:
        unpack(file, tmp_path / "new")
    assert str(file) in str(caught.value)
    assert "\n" not in str(caught.value)
    assert list(tmp_path.iterdir()) == [file]


def test_links_are_refused(tmp_path: Path):
    file = made(tmp_path / "link.bayfold", sound())
    with zipfile.ZipFile(file, "a") as archive:
        entry = zipfile.ZipInfo("drawings")
        entry.create_system = 3
        entry.external_attr = (stat.S_IFLNK | 0o777) << 16
        archive.writestr(entry, "/etc")
    with pytest.raises(UnreadableProject, match="at drawings: is a link"):
        unpack(file, tmp_path / "new")
    assert list(tmp_path.iterdir()) == [file]


@pytest.mark.parametrize(
    ("entries", "wrong"),
    [
        ({"drawings/side.png": b"x"}, r"there is no project\.json in it"),
        ({"merrow/project.json": b"{}"}, "it is in merrow"),
        ({"project.json": b"{}"}, "not a project"),
        ({"project.json": b"no json"}, r"x\.bayfold/project\.json"),
        (sound() | {"drawings/a.png": b"1", "drawings/A.png": b"2"}, "is there twice"),
        (sound() | {"drawings": b"1", "drawings/a.png": b"2"}, "lies in what is a file"),
        (
            {"project.json": b'{"format": "bayfold-project", "version": 1, "aircraft": {"name": "P"}, "views": '
             b'[{"id": "side", "drawing": {"file": "drawings/side.png"}}]}'},
            r"the drawing drawings/side\.png is not in it",
        ),
    ],
)  # fmt: skip
def test_what_is_no_packed_aircraft_is_refused(tmp_path: Path, entries: dict[str, bytes], wrong: str):
    file = made(tmp_path / "x.bayfold", entries)
    with pytest.raises(UnreadableProject, match=wrong):
        unpack(file, tmp_path / "new")
    assert list(tmp_path.iterdir()) == [file]


def test_a_file_cut_short_or_changed_on_the_way_is_refused(aircraft: Path, tmp_path: Path):
    whole = pack(aircraft).read_bytes()
    file = tmp_path / "damaged.bayfold"
    flipped = bytearray(whole)
    flipped[len(whole) // 2] ^= 0xFF  # within a drawing
    for data in (b"", b"no zip", whole[: len(whole) // 2], bytes(flipped)):
        file.write_bytes(data)
        with pytest.raises(UnreadableProject, match=r"damaged\.bayfold.*: cannot be unpacked: it is"):
            unpack(file, tmp_path / "new")
        assert not (tmp_path / "new").exists()
        assert not [one for one in tmp_path.iterdir() if one.name.endswith(".tmp")]


def test_what_swells_beyond_reason_is_refused_before_it_is_unpacked(tmp_path: Path, monkeypatch):
    monkeypatch.setattr(packing, "MOST_BYTES", 1 << 20)
    file = made(tmp_path / "bomb.bayfold", sound() | {"drawings/side.png": bytes(2 << 20)})
    assert file.stat().st_size < 10_000
    with pytest.raises(UnreadableProject, match="holds 2 MB once unpacked; an aircraft has 1 MB at most"):
        unpack(file, tmp_path / "new")
    monkeypatch.setattr(packing, "MOST_FILES", 2)
    with pytest.raises(UnreadableProject, match="holds 3 files"):
        unpack(made(file, sound() | {"a": b"", "b": b""}), tmp_path / "new")


def test_a_pack_that_lies_about_its_size_is_refused(tmp_path: Path):
    """The length in the directory is 24 octets after the entry's beginning (APPNOTE 4.3.12)."""
    file = made(tmp_path / "liar.bayfold", sound() | {"drawings/side.png": bytes(2 << 20)})
    data = bytearray(file.read_bytes())
    entry = data.rindex(b"PK\x01\x02")
    data[entry + 24 : entry + 28] = (1000).to_bytes(4, "little")
    file.write_bytes(bytes(data))
    with pytest.raises(UnreadableProject, match="cannot be unpacked"):
        unpack(file, tmp_path / "new")
    assert list(tmp_path.iterdir()) == [file]


def test_nothing_is_unpacked_over_what_is_there(tmp_path: Path):
    file = made(tmp_path / "x.bayfold", sound())
    there = tmp_path / "there"
    there.mkdir()
    assert unpack(file, there) == there  # it was empty
    before = files_in(there)
    with pytest.raises(UnwritableProject, match="something is there already"):
        unpack(file, there)
    assert files_in(there) == before


def test_the_folder_that_somebody_stands_in_is_filled_and_not_exchanged(tmp_path: Path, monkeypatch):
    file = made(tmp_path / "x.bayfold", sound() | {"drawings/a.txt": b"a"})
    there = tmp_path / "there"
    there.mkdir()
    monkeypatch.chdir(there)
    unpack(file, Path())
    assert set(files_in(there)) == {"project.json", "drawings/a.txt"}
    assert Path("project.json").is_file()
    assert {one.name for one in tmp_path.iterdir()} == {"x.bayfold", "there"}


@pytest.mark.parametrize("squeezed", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_only_what_every_zip_program_reads_is_read(tmp_path: Path, squeezed: int):
    file = tmp_path / "x.bayfold"
    with zipfile.ZipFile(file, "w", squeezed) as archive:
        archive.writestr("project.json", sound()["project.json"])
    with pytest.raises(UnreadableProject, match="squeezed in a way that is not read here"):
        unpack(file, tmp_path / "new")
    assert list(tmp_path.iterdir()) == [file]


def test_history_that_came_along_is_left_out(tmp_path: Path):
    file = made(tmp_path / "x.bayfold", sound() | {".bayfold/journal": b"theirs", "exports/a.pdf": b"theirs"})
    assert set(files_in(unpack(file, tmp_path / "new"))) == {"project.json"}


def test_a_file_that_is_not_there_is_said(tmp_path: Path):
    with pytest.raises(UnreadableProject, match="there is no such file"):
        unpack(tmp_path / "none.bayfold", tmp_path / "new")
