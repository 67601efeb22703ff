"""Whatever a project holds, saving and opening agree; whatever a file holds, it opens or is refused in one line."""

from __future__ import annotations

import copy
import json
import math
from pathlib import Path
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from core.document import kept
from core.document.checks import problems
from core.document.newer import not_understood
from core.document.project import (
    Aircraft,
    Body,
    Circle,
    Connection,
    Drive,
    Gearing,
    Jack,
    KnownPoint,
    Latch,
    Move,
    PairRule,
    Pivot,
    Polygon,
    Project,
    Rod,
    Sequence,
    Slide,
    Slot,
    Step,
    TracedDrawing,
    View,
    Wall,
)
from core.document.project_file import decode, encode
from core.errors import UnreadableProject
from tests.formats.merrow import tree

HERE = Path("aircraft/project.json")

numbers = st.floats(-9e5, 9e5) | st.integers(-1000, 1000).map(float)
positive = st.floats(1e-3, 1e5) | st.integers(1, 1000).map(float)
points = st.tuples(numbers, numbers)
words = st.text(st.characters(codec="utf-8"), max_size=20)
json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | words,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(words, inner, max_size=3),
    max_leaves=6,
)
spans = st.tuples(numbers, numbers).map(lambda pair: (min(pair), max(pair) + 1.0))


corners = st.tuples(numbers, numbers, st.floats(-1, 1)) | points


@st.composite
def outlines(draw: st.DrawFn) -> Polygon:
    """A star about a point, which never crosses itself, with perhaps a hole about the same point."""
    count = draw(st.integers(3, 8))
    x, y = draw(st.floats(-1e3, 1e3)), draw(st.floats(-1e3, 1e3))
    radii = draw(st.lists(st.floats(5.0, 100.0), min_size=count, max_size=count))
    angles = [2.0 * math.pi * number / count for number in range(count)]
    around = list(zip(radii, angles, strict=True))
    ring = tuple((x + r * math.cos(a), y + r * math.sin(a)) for r, a in around)
    hole = tuple((x + 0.1 * r * math.cos(a), y + 0.1 * r * math.sin(a)) for r, a in around)
    return Polygon(points=ring, holes=draw(st.sampled_from([(), (hole,)])))


shapes = st.one_of(
    outlines(),
    st.builds(Circle, centre=points, radius=positive),
    st.builds(
        Wall,
        points=st.lists(corners, min_size=2, max_size=6, unique_by=lambda one: (round(one[0]), round(one[1]))).map(
            tuple
        ),
        thickness=positive,
    ),
)


@st.composite
def connection(draw: st.DrawFn, thing: str, bodies: tuple[str, str]) -> Connection:
    at, along = draw(points), draw(st.floats(1.0, 50.0))
    ends = (at, (at[0] + along, at[1]))
    about: dict[str, Any] = {"id": thing, "name": draw(words), "bodies": bodies}
    size = draw(st.none() | positive)
    kinds = [
        Pivot(**about, at=at, pin=size, limits=draw(st.none() | spans)),
        Slide(**about, at=at, along=(along, 1.0), limits=draw(st.none() | spans)),
        Slot(**about, at=at, start=ends[0], end=ends[1]),
        Rod(**about, ends=ends, width=size, length=draw(st.none() | positive)),
        Jack(**about, ends=ends, closed=draw(positive), stroke=draw(positive), rod=size),
        Latch(**about, ends=ends, reach=draw(positive)),
    ]
    return draw(st.sampled_from(kinds))


@st.composite
def projects(draw: st.DrawFn) -> Project:
    """Projects that make sense, with every kind of thing in them."""
    count = draw(st.integers(2, 5))
    roles = ("structure", "leg", "wheel", "door", "link", "lock", "other")
    bodies = tuple(
        Body(
            id=f"body-{number}",
            name=draw(words),
            view="side",
            role=draw(st.sampled_from(roles)),
            depth=draw(st.none() | spans),
            mass=draw(st.none() | positive),
            centre_of_mass=draw(st.none() | points),
            shapes=tuple(draw(st.lists(shapes, max_size=3))),
        )
        for number in range(count)
    )
    pairs = [(f"body-{number}", f"body-{number + 1}") for number in range(count - 1)]
    connections = [draw(connection(f"connection-{number}", pair)) for number, pair in enumerate(pairs)]
    pivots = [Pivot(id=f"pivot-{end}", bodies=("body-0", "body-1"), at=draw(points)) for end in "ab"]
    gearing = Gearing(id="tube", pivots=("pivot-a", "pivot-b"), ratio=draw(st.sampled_from([-2.5, -1.0, 0.125, 3.0])))
    steps = tuple(
        Step(
            id=f"step-{number}",
            name=draw(words),
            delay=draw(st.floats(0.0, 5.0)),
            duration=draw(st.floats(0.0, 5.0)),
            moves=(Move(drive="turn", to=draw(numbers), profile=draw(st.sampled_from(["steady", "eased"]))),),
        )
        for number in range(draw(st.integers(0, 3)))
    )
    drawing = TracedDrawing(file="drawings/side.png", known=(KnownPoint(pixel=draw(points), mm=draw(points)),))
    return Project(
        aircraft=Aircraft(name=draw(words), scale=draw(positive), note=draw(words)),
        length_unit=draw(st.sampled_from(["mm", "in", "ft"])),
        least_clearance=draw(st.floats(0.0, 10.0)),
        views=(View(id="side", name=draw(words), plane="side", drawing=draw(st.sampled_from([None, drawing]))),),
        bodies=bodies,
        connections=(*connections, *pivots, gearing),
        drives=(Drive(id="turn", on="pivot-a"),),
        sequences=(Sequence(id="retract", start={"turn": draw(numbers)}, steps=steps),),
        pairs=(PairRule(bodies=("body-1", "body-0"), rule="ignore", why="x" + draw(words)),),
    )


@given(projects())
def test_saving_and_opening_agree(project: Project):
    assert problems(project) == ()
    assert decode(encode(project), HERE) == project


@given(projects())
def test_writing_again_changes_no_byte(project: Project):
    once = encode(project)
    assert encode(decode(once, HERE)) == once
    assert max(len(line) for line in once.decode().splitlines() if '"' not in line) <= 120


# ---- unknown keys ---------------------------------------------------------------------------------------------------


def objects(node: Any) -> list[dict[str, Any]]:
    """Every object of a tree but those that are tables of names, whose keys are all known."""
    found = [node] if isinstance(node, dict) else []
    inner = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    return found + [one for key, value in inner if key not in ("start", "between") for one in objects(value)]


NEW_KEYS = st.text(st.characters(codec="utf-8"), max_size=6).map(lambda text: f"x-{text}") | st.just("extra")


@given(st.data())
def test_unknown_keys_are_kept_at_every_level(data: st.DataObject):
    bent = tree()
    places = objects(bent)
    for number in data.draw(st.sets(st.integers(0, len(places) - 1), min_size=1, max_size=8)):
        places[number][data.draw(NEW_KEYS)] = data.draw(json_values)
    plain = decode(json.dumps(tree()).encode(), HERE)
    project = decode(json.dumps(bent).encode(), HERE)
    assert without_extra(project) == plain
    again = json.loads(encode(project))
    assert unknown(again) == unknown(bent)
    assert encode(decode(encode(project), HERE)) == encode(project)


def unknown(tree: dict[str, Any]) -> list[dict[str, Any]]:
    """The unknown keys of every object, in the objects' order."""
    return [{key: held for key, held in one.items() if key == "extra" or key.startswith("x-")} for one in objects(tree)]


def without_extra(value: Any) -> Any:
    if isinstance(value, tuple):
        return tuple(without_extra(one) for one in value)
    if not isinstance(value, kept.Value):
        return value
    fields = {about.name: without_extra(getattr(value, about.name)) for about in kept.file_fields(type(value)).values()}
    return replace(value, **fields, extra={})


# ---- bad files -------------------------------------------------------------------------------------------------------


def opens_or_is_refused_in_one_line(data: bytes) -> None:
    try:
        project = decode(data, HERE)
    except UnreadableProject as error:
        told = str(error)
        assert told.startswith(str(HERE))
        assert told.isprintable()
        assert len(told) < 600
    else:
        assert problems(project) == ()
        assert encode(decode(encode(project), HERE)) == encode(project)
        not_understood(project)


ODD_BYTES = st.binary(max_size=4) | st.sampled_from([b"[", b"}", b'"', b"-", b"e9", b"\\u0000"])


@given(st.binary(max_size=200))
def test_bytes_that_are_nothing(data: bytes):
    opens_or_is_refused_in_one_line(data)


@given(json_values)
def test_json_that_is_something_else(value: Any):
    opens_or_is_refused_in_one_line(json.dumps(value).encode())
    opens_or_is_refused_in_one_line(json.dumps({"format": "bayfold-project", "version": 1, "aircraft": value}).encode())


@given(st.data())
def test_a_file_with_bytes_changed(data: st.DataObject):
    raw = bytearray(json.dumps(tree()).encode())
    for _ in range(data.draw(st.integers(1, 3))):
        at, length = data.draw(st.integers(0, len(raw))), data.draw(st.integers(0, 5))
        raw[at : at + length] = data.draw(ODD_BYTES)
    opens_or_is_refused_in_one_line(bytes(raw))


STRANGE = st.sampled_from(
    [None, True, -1, 0, 1e6, -1e300, 1e-300, 10**30, "", "leg", "retract", "oleo", "a\nb\u2028", [], {}, [[]], [0, 0]]
)


def places(node: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    inner = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    return [path, *(place for key, value in inner for place in places(value, (*path, key)))]


PLACES = places(tree())[1:]


def bend(tree: Any, path: tuple[Any, ...], how: str, value: Any) -> None:
    """Put something else at a place, if earlier changes left it there."""
    *way, key = path
    try:
        for step in way:
            tree = tree[step]
        tree[key]
    except (LookupError, TypeError):
        return
    if not isinstance(tree, dict | list):
        return
    if how == "drop":
        del tree[key]
    elif how == "twice" and isinstance(tree, list):
        tree.insert(key, copy.deepcopy(tree[key]))
    else:
        tree[key] = value


WAYS = st.sampled_from(["put", "put", "drop", "twice"])
bends = st.lists(st.tuples(st.sampled_from(PLACES), WAYS, STRANGE | json_values), min_size=1, max_size=4)


@given(bends, st.sampled_from([1, 2, 99]))
def test_a_file_with_things_changed(changes: list[tuple[Any, str, Any]], version: int):
    """Also as a file of a newer version, of which what makes no sense is set aside."""
    bent = tree() | {"version": version}
    for path, how, value in changes:
        bend(bent, path, how, value)
    opens_or_is_refused_in_one_line(json.dumps(bent).encode())


@given(bends)
def test_a_newer_file_is_written_back_with_all_that_was_in_it(changes: list[tuple[Any, str, Any]]):
    bent = tree() | {"version": 2}
    for path, how, value in changes:
        if path[0] not in ("format", "version", "aircraft"):
            bend(bent, path, how, value)
    project = decode(json.dumps(bent).encode(), HERE)  # nothing but its head can make it unreadable
    assert leaves(json.loads(encode(project))) >= leaves(bent) - DEFAULTS


def leaves(node: Any) -> set[str]:
    """Every text and number of a tree, as text."""
    if isinstance(node, dict):
        return {leaf for value in node.values() for leaf in leaves(value)}
    if isinstance(node, list):
        return {leaf for value in node for leaf in leaves(value)}
    number = isinstance(node, int | float) and not isinstance(node, bool)
    return {f"{float(node) + 0.0!r}" if number else repr(node)}


DEFAULTS = {"''", "False", "None", "0.0", "'other'", "'steady'"}
"""What a key means that is left out."""
