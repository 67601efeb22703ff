"""The project's file on disk: what is refused, and how that is said."""

from __future__ import annotations

import errno
import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from core.document import project_file
from core.document.drawing_checks import MOST_PIXELS, lost_drawings
from core.document.project_file import read_project
from core.errors import UnreadableProject
from tests.formats.merrow import FILE, find, tree

TEXT = FILE.read_text(encoding="utf-8")
HEAD = '{"format": "bayfold-project", "version": 1, "aircraft": {"name": "Merrow T.2"}'


def names_in(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def refused(folder: Path, data: bytes | str) -> UnreadableProject:
    """What reading these bytes says: one line, and the file stays as it was."""
    file = folder / "project.json"
    data = data.encode() if isinstance(data, str) else data
    file.write_bytes(data)
    before = file.stat().st_mtime_ns
    with pytest.raises(UnreadableProject) as caught:
        read_project(folder)
    assert (file.read_bytes(), file.stat().st_mtime_ns) == (data, before)
    assert names_in(folder) == ["project.json"]
    told = str(caught.value)
    assert told.startswith(str(file))
    assert len(told.splitlines()) == 1
    assert len(told) < len(str(file)) + 400
    assert told.isprintable()
    return caught.value


# ---- what is no JSON, or not one thing ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "empty"),
        (b" \n\t\n", "empty"),
        (TEXT[: len(TEXT) // 2], "breaks off"),
        (TEXT.rstrip()[:-1], "breaks off"),
        (TEXT[: TEXT.index("Side el") + 4], "breaks off"),
        (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", "not text"),
        (bytes(range(256)), "not text"),
        (b"\x00" * 4096, "not JSON"),
        (b"\xef\xbb\xbf" + TEXT.encode(), "byte order mark"),
        (TEXT.encode("utf-16"), "UTF-16"),
        (TEXT.replace("Nose leg", "Büg").encode("latin-1"), "not UTF-8"),
        (TEXT + "}", "} stands after the end; a project is one object"),
        (TEXT + TEXT, "{ stands after the end"),
        (TEXT.replace('"version": 1,', '"version": 1'), 'not JSON: " stands after a value; a comma is needed'),
        (TEXT.replace('"version": 1,', '"version": 1, // first'), "not JSON: a comment stands there; JSON has none"),
        (TEXT.replace('"', "'"), "not JSON: a text stands in single quotes; double quotes are needed"),
        (TEXT.replace('"version": 1,', "version: 1,"), "version stands where a key belongs; a key in double quotes"),
        (TEXT.replace('"version": 1,', '"version" 1,'), "1 stands after a key; a colon is needed"),
        (TEXT.replace('"version": 1,', '"version": True,'), "True stands where a value belongs; a number, a text"),
        (TEXT.replace("[0, 7.5]", "[0, 7.5,]"), "a comma stands after the last value; none is needed before ]"),
        (TEXT.replace("Nose leg", "Nose\nleg"), "a line break or another sign without a letter stands in a text"),
        (TEXT.replace("Nose leg", "Nose\\leg"), "in a text begins nothing that is known"),
        (TEXT.replace("Nose leg", "Nose\\u12"), "in a text is no letter; four digits"),
        ("[" * 100_000, "nested"),
        ("[" * 100_000 + "]" * 100_000, "nested"),
        ('{"a":' * 100_000 + "1" + "}" * 100_000, "nested"),
        (HEAD + ', "later": ' + "[" * 500 + "]" * 500 + "}", "nested"),
        (HEAD + ', "version": 2}', '"version"'),
        (HEAD + ', "notes": "\\ud83d"}', "surrogate"),
        (HEAD + ', "\\udead": 1}', "surrogate"),
    ],
    ids=lambda value: str(value)[:24] if isinstance(value, str) else f"{len(value)} bytes",
)
def test_what_is_not_json_is_refused(tmp_path: Path, data: bytes | str, says: str):
    assert says in str(refused(tmp_path, data))


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity", "1e999", "-1e999", "1" * 400, "1" * 5000])
@pytest.mark.parametrize("where", ["known", "unknown"])
def test_what_is_no_number_is_refused_where_it_stands(tmp_path: Path, number: str, where: str):
    if where == "known":
        text, place = TEXT.replace("[0, 7.5]", f"[0, {number}]"), "connections[5].limits[1]"
    else:
        text, place = HEAD + f', "later": {{"a": [1, {number}]}}}}', "later.a[1]"
    error = refused(tmp_path, text)
    assert error.place == place
    assert "finite" in error.right


def test_a_key_that_stands_twice_is_refused_where_it_stands(tmp_path: Path):
    error = refused(tmp_path, TEXT.replace('"pin": 3', '"pin": 3, "pin": 4'))
    assert (error.place, '"pin"' in error.wrong) == ("connections[0]", True)


def test_a_file_too_large_is_not_even_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(project_file, "MOST_BYTES", 1000)
    monkeypatch.setattr(Path, "read_bytes", lambda _: pytest.fail("read"))
    (tmp_path / "project.json").write_text(TEXT)
    with pytest.raises(UnreadableProject, match="larger than"):
        read_project(tmp_path)


# ---- version first --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("other", ["[]", "null", "true", "3.5", '"bayfold-project"', "[1, 2]"])
def test_json_that_is_no_object_is_refused(tmp_path: Path, other: str):
    assert "not a project" in refused(tmp_path, other).wrong


@pytest.mark.parametrize(
    "other", ["{}", '{"type": "FeatureCollection"}', '{"format": 1}', '{"format": "bayfold"}', '{"format": {"a": 1}}']
)
def test_other_json_is_refused(tmp_path: Path, other: str):
    error = refused(tmp_path, other)
    assert (error.place, "bayfold-project" in error.right) == ("format", True)


@pytest.mark.parametrize(
    "version", ["null", '"1"', "1.0", "0", "-1", "true", "[1]", "{}", "1e2", "99999999999999999999"]
)
def test_a_version_that_is_none_is_refused_before_anything_else(tmp_path: Path, version: str):
    error = refused(tmp_path, f'{{"format": "bayfold-project", "version": {version}, "bodies": 7}}')
    assert error.place == "version"


def test_a_missing_version_is_said(tmp_path: Path):
    assert "missing" in refused(tmp_path, '{"format": "bayfold-project", "aircraft": {"name": "x"}}').wrong


# ---- form -----------------------------------------------------------------------------------------------------------


def undrawn() -> dict[str, Any]:
    bent = tree()
    del find(bent, "side")["drawing"]
    return bent


def put(thing: str, key: str, value: Any) -> Callable[[dict[str, Any]], None]:
    def bend(tree: dict[str, Any]) -> None:
        find(tree, thing)[key] = value

    return bend


def drop(thing: str, key: str) -> Callable[[dict[str, Any]], None]:
    def bend(tree: dict[str, Any]) -> None:
        del find(tree, thing)[key]

    return bend


def top(key: str, value: Any) -> Callable[[dict[str, Any]], None]:
    return lambda tree: tree.__setitem__(key, value)


@pytest.mark.parametrize(
    ("bend", "place", "says"),
    [
        (top("aircraft", None), "aircraft", "an object in { }"),
        (lambda tree: tree.pop("aircraft"), "", "'aircraft' is missing"),
        (lambda tree: tree["aircraft"].pop("name"), "aircraft", "'name' is missing"),
        (top("bodies", {}), "bodies", "a list in [ ]"),
        (top("bodies", ["leg"]), "bodies[0]", '"leg" stands there'),
        (top("least_clearance", "0.5"), "least_clearance", "a number is needed"),
        (top("least_clearance", True), "least_clearance", "a number is needed"),
        (put("leg", "role", "wing"), "bodies[1].role (leg)", "structure, leg, wheel, door, link, lock, other"),
        (put("leg", "role", "lgo"), "bodies[1].role (leg)", "did you mean 'leg'?"),
        (put("leg", "fixed", 1), "bodies[1].fixed (leg)", "true or false"),
        (put("leg", "mass", [48]), "bodies[1].mass (leg)", "a list stands there; a number is needed"),
        (put("leg", "id", "Nose leg"), "bodies[1].id (Nose leg)", "lower-case"),
        (put("leg", "id", "leg\n"), "bodies[1].id (leg\\n)", "lower-case"),
        (put("leg", "id", ""), "bodies[1].id", "lower-case"),
        (put("leg", "id", "x" * 65), f"bodies[1].id ({'x' * 64})", "at most 64"),
        (drop("leg", "id"), "bodies[1]", "'id' is missing"),
        (drop("leg", "view"), "bodies[1] (leg)", "'view' is missing"),
        (put("side", "plane", "back"), "views[0].plane (side)", "side, front, plan, other"),
        (put("oleo", "kind", "slider"), "connections[5].kind (oleo)", "did you mean 'slide'?"),
        (put("oleo", "kind", "spring"), "connections[5].kind (oleo)", "pivot, slide, slot, rod, jack, gearing, latch"),
        (put("oleo", "kind", 7), "connections[5].kind (oleo)", "7 stands there"),
        (drop("oleo", "kind"), "connections[5] (oleo)", "pivot, slide, slot, rod, jack, gearing, latch"),
        (put("oleo", "kind", "rod"), "connections[5] (oleo)", "'ends' is missing"),
        (put("oleo", "bodies", ["leg"]), "connections[5].bodies (oleo)", "a list of 2"),
        (put("oleo", "bodies", ["leg", 4]), "connections[5].bodies[1] (oleo)", "a text is needed"),
        (put("oleo", "at", [0, -40, 0]), "connections[5].at (oleo)", "there are 3 elements"),
        (put("oleo", "along", ["0", -1]), "connections[5].along[0] (oleo)", "a number is needed"),
        (put("leg", "shapes", [{"kind": "ellipse"}]), "bodies[1].shapes[0].kind (leg)", "polygon, circle, wall"),
        (put("leg", "shapes", [{"kind": "polygon", "points": [[1]]}]),
         "bodies[1].shapes[0].points[0] (leg)", "at least 2"),
        (put("leg", "shapes", [{"kind": "polygon", "points": [[1, 2, 3, 4]]}]),
         "bodies[1].shapes[0].points[0] (leg)", "at most 3"),
        (put("leg", "shapes", [{"kind": "circle", "centre": [0, 0]}]),
         "bodies[1].shapes[0] (leg)", "'radius' is missing"),
        (put("retract", "start", {"gear": "0"}), "sequences[0].start.gear (retract)", "a number is needed"),
        (put("leg-up", "duration", None), "sequences[0].steps[1].duration (leg-up)", "null stands there"),
        (put("leg-up", "moves", [{"drive": "gear", "to": 1, "profile": "fast"}]),
         "sequences[0].steps[1].moves[0].profile (leg-up)", "steady, eased"),
        (put("leg-stowed", "at", {"sequence": "retract", "at": "middle"}),
         "targets[0].at.at (leg-stowed)", "start, end"),
        (put("leg-stowed", "at", {"sequence": "retract", "at": [1]}),
         "targets[0].at.at (leg-stowed)", "a number or a text"),
        (put("brace-stroke", "quantity", "volume"), "figures[0].quantity (brace-stroke)", "distance, angle, travel"),
        (lambda tree: tree["pairs"][0].pop("rule"), "pairs[0]", "check, ignore"),
    ],
    ids=lambda one: one if isinstance(one, str) else None,
)  # fmt: skip
def test_a_wrong_form_is_refused_where_it_stands(tmp_path: Path, bend: Callable[..., object], place: str, says: str):
    bent = tree()
    bend(bent)
    error = refused(tmp_path, json.dumps(bent))
    assert repr(error.place)[1:-1] == place
    assert says in f"{error.wrong}; {error.right}"


def test_how_a_refusal_reads(tmp_path: Path):
    bent = undrawn()
    find(bent, "door-rod")["bodies"] = ["leg", "dor"]
    assert str(refused(tmp_path, json.dumps(bent))) == (
        f"{tmp_path}/project.json, at connections[7].bodies[1] (door-rod): "
        "there is no body \"dor\"; did you mean 'door'?"
    )


def test_how_many_more_problems_there_are_is_said(tmp_path: Path):
    bent = undrawn()
    find(bent, "door-rod")["bodies"] = ["leg", "dor"]
    find(bent, "door-slot")["bodies"] = ["cranc", "leg"]
    find(bent, "tube")["ratio"] = 0
    assert "(2 more problems in the file)" in str(refused(tmp_path, json.dumps(bent)))


def test_endless_and_unprintable_words_are_shortened(tmp_path: Path):
    bent = tree()
    find(bent, "leg")["view"] = "\x1b[2Jx\u202ey\n" * 10_000
    find(bent, "leg")["role"] = "\u2028\x07" * 10_000
    assert "\x1b" not in str(refused(tmp_path, json.dumps(bent)))


# ---- files that are none --------------------------------------------------------------------------------------------


def test_a_missing_folder_or_file_is_said(tmp_path: Path):
    for path in (tmp_path, tmp_path / "nowhere", tmp_path / "nowhere" / "project.json"):
        with pytest.raises(UnreadableProject, match="no such file"):
            read_project(path)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_or_a_pipe_in_the_files_place_is_refused(tmp_path: Path):
    (tmp_path / "one" / "project.json").mkdir(parents=True)
    with pytest.raises(UnreadableProject, match="not a file"):
        read_project(tmp_path / "one")
    (tmp_path / "two").mkdir()
    os.mkfifo(tmp_path / "two" / "project.json")  # reading it would wait for ever
    with pytest.raises(UnreadableProject, match="not a file"):
        read_project(tmp_path / "two")


def test_a_ring_of_links_is_refused(tmp_path: Path):
    (tmp_path / "project.json").symlink_to("other.json")
    (tmp_path / "other.json").symlink_to("project.json")
    for path in (tmp_path, tmp_path / "project.json"):
        with pytest.raises(UnreadableProject, match="cannot be read"):
            read_project(path)


def test_a_name_that_no_file_can_have_is_refused():
    for name in ("a\0b", "x" * 5000):
        with pytest.raises(UnreadableProject):
            read_project(Path(name))


def test_a_file_that_may_not_be_read_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    (tmp_path / "project.json").write_text(TEXT)

    def deny(_: Path) -> bytes:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    monkeypatch.setattr(Path, "read_bytes", deny)
    with pytest.raises(UnreadableProject, match="Permission denied"):
        read_project(tmp_path)


def test_another_file_than_project_json_is_not_taken_for_one(tmp_path: Path):
    """Saving would put project.json beside it, over the one that may stand there."""
    (tmp_path / "copy.json").write_text(
        json.dumps({"format": "bayfold-project", "version": 1, "aircraft": {"name": "x"}})
    )
    with pytest.raises(UnreadableProject, match=r"project\.json"):
        read_project(tmp_path / "copy.json")


# ---- drawings -------------------------------------------------------------------------------------------------------


def folder_with(tmp_path: Path, drawing: str) -> Path:
    bent = tree()
    find(bent, "side")["drawing"]["file"] = drawing
    (tmp_path / "project.json").write_text(json.dumps(bent))
    return tmp_path


def test_a_missing_drawing_is_refused(tmp_path: Path):
    with pytest.raises(UnreadableProject, match=r"at views\[0\]\.drawing\.file \(side\): the drawing .* is missing"):
        read_project(folder_with(tmp_path, "drawings/side.png"))


@pytest.mark.parametrize("broken", [None, b"", b"not a picture"])
def test_who_can_do_without_a_lost_drawing_has_all_the_rest(tmp_path: Path, broken: bytes | None):
    if broken is not None:
        (tmp_path / "side.png").write_bytes(broken)
    read = read_project(folder_with(tmp_path, "side.png"), lost=False)
    assert read.views[0].drawing.file == "side.png"
    (lost,) = lost_drawings(read, tmp_path)
    assert "is missing" in lost.wrong if broken is None else "cannot be read as a picture" in lost.wrong


@pytest.mark.parametrize(
    "name",
    [
        "../side.png",
        "drawings/../../side.png",
        "/etc/hostname",
        "C:\\side.png",
        "..\\side.png",
        "C:side.png",
        "",
        "a\0b",
        ".",
    ],
)
def test_a_drawing_outside_the_folder_is_refused(tmp_path: Path, name: str):
    with pytest.raises(UnreadableProject, match=r"views\[0\]"):
        read_project(folder_with(tmp_path, name))


def test_a_link_that_leads_out_of_the_folder_is_refused(tmp_path: Path):
    folder = tmp_path / "aircraft"
    folder.mkdir()
    (tmp_path / "side.png").write_bytes(b"")
    (folder / "side.png").symlink_to("../side.png")
    for lost in (True, False):
        with pytest.raises(UnreadableProject, match="leads out"):
            read_project(folder_with(folder, "side.png"), lost=lost)


def test_a_ring_of_links_is_no_drawing(tmp_path: Path):
    (tmp_path / "side.png").symlink_to("side.png")
    with pytest.raises(UnreadableProject, match="missing"):
        read_project(folder_with(tmp_path, "side.png"))


def test_the_largest_picture_is_what_pillow_takes():
    assert Image.MAX_IMAGE_PIXELS is not None
    assert 0 <= MOST_PIXELS - 2 * Image.MAX_IMAGE_PIXELS <= 1


def test_a_drawing_in_the_folder_is_fine(tmp_path: Path):
    (tmp_path / "drawings").mkdir()
    Image.new("L", (4, 3)).save(tmp_path / "drawings" / "Seite ä.png")
    assert read_project(folder_with(tmp_path, "drawings/Seite ä.png")).views[0].drawing is not None


@pytest.mark.parametrize("damage", ["empty", "junk", "text", "one byte", "broken off"])
def test_a_drawing_that_is_no_picture_is_refused(tmp_path: Path, damage: str):
    drawing = tmp_path / "side.png"
    Image.effect_noise((64, 48), 50).save(drawing)
    whole = drawing.read_bytes()
    middle = len(whole) // 2
    bad = {
        "empty": b"",
        "junk": b"\x07\x00\xff\x13",
        "text": b"not a picture",
        "one byte": whole[:middle] + bytes([whole[middle] ^ 1]) + whole[middle + 1 :],
        "broken off": whole[:middle],
    }[damage]
    drawing.write_bytes(bad)
    with pytest.raises(UnreadableProject, match=r'the drawing "side\.png" cannot be read as a picture'):
        read_project(folder_with(tmp_path, "side.png"))
    assert drawing.read_bytes() == bad
