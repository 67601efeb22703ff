"""How long a study takes after one rod's end was moved, beside a whole one, in an aircraft of real linkages.

    python tests/benchmarks/benchmark_edit.py

A keel with a row of units along it, each a crank on a drive, a door that a rod pulls, and a flap on the door that
another rod holds to the keel: three bodies and two rods that take part in the checks. Hardly anything comes near
anything there, so that most of a check is to bound how bodies move. Beside it stand the sample aircraft, all in one
file of 40 bodies, with the outlines and the narrow places that real ones have. One rod's end is moved by a little.
"""

from __future__ import annotations

import functools
import json
import sys
from pathlib import Path
from typing import Any

from msgspec.structs import replace

sys.path[:0] = [str(Path(__file__).parents[2])]

from core.document.fresh import taken_ids  # noqa: E402
from core.document.joint_edits import MoveEnd  # noqa: E402
from core.document.project import (  # noqa: E402
    Aircraft,
    Body,
    Connection,
    Drive,
    Move,
    Pivot,
    Project,
    Rod,
    Sequence,
    Shape,
    Step,
    View,
    Wall,
)
from core.document.project_file import decode, encode, read_project  # noqa: E402
from core.interference.check import interfere  # noqa: E402
from core.interference.earlier import Checked  # noqa: E402
from core.sketch.constructing import bar_between  # noqa: E402
from core.study import Study, run  # noqa: E402
from tests.benchmarks.measuring import milliseconds  # noqa: E402

FRAMES = 600
UNIT = 51.0
"""Millimetres from one unit to the next."""
GOAL = 1.0 / 3.0
SAMPLES = Path(__file__).parents[2] / "sample_projects"
AIRCRAFT = ("merrow-t2", "skarn-p9", "pellow-3", "skarn-p9")
REFERRING = {"id", "view", "bodies", "pivots", "on", "drive", "after", "with", "engage", "release"}
"""Keys whose values are ids."""


def bar(x1: float, y1: float, x2: float, y2: float) -> Shape:
    """With round ends, as parts that turn have them."""
    made = bar_between((x1, y1), (x2, y2), 3.0)
    assert made is not None
    return made


def doors(units: int) -> Project:
    """1 + 3 units bodies, and two rods a unit, none of which touches another."""
    keel = Wall(points=((-30.0, 38.0), (UNIT * units + 10.0, 38.0)), thickness=2.0)
    bodies = [Body(id="keel", view="side", fixed=True, shapes=(keel,))]
    connections: list[Connection] = []
    drives: list[Drive] = []
    moves: list[Move] = []
    for n in range(units):
        x = UNIT * n
        crank, door, flap = f"crank-{n}", f"door-{n}", f"flap-{n}"
        bodies += [
            Body(id=crank, view="side", shapes=(bar(x, 17.5, x, 30.5),), depth=(0.0, 2.0)),
            Body(id=door, view="side", shapes=(bar(x + 8.0, 0.0, x + 36.5, 0.0),), depth=(0.0, 2.0)),
            Body(id=flap, view="side", shapes=(bar(x + 38.0, 0.0, x + 48.5, 0.0),), depth=(0.0, 2.0)),
        ]
        connections += [
            Pivot(id=f"crank-pivot-{n}", bodies=("keel", crank), at=(x, 30.0)),
            Pivot(id=f"hinge-{n}", bodies=("keel", door), at=(x + 8.0, 0.0)),
            Pivot(id=f"flap-hinge-{n}", bodies=(door, flap), at=(x + 38.0, 0.0)),
            Rod(id=f"rod-{n}", bodies=(crank, door), ends=((x, 18.0), (x + 18.0, 0.5)), width=1.0, depth=(0.0, 2.0)),
            Rod(id=f"stay-{n}", bodies=("keel", flap), ends=((x + 30.0, 12.0), (x + 46.0, 0.5)), width=1.0,
                depth=(0.0, 2.0)),
        ]  # fmt: skip
        drives.append(Drive(id=f"drive-{n}", on=f"crank-pivot-{n}"))
        moves.append(Move(drive=f"drive-{n}", to=12.0 + n % 3, profile="eased"))
    step = Step(id="open", duration=4.0, moves=tuple(moves))
    return Project(
        aircraft=Aircraft(name="Pellow 3", scale=8),
        least_clearance=0.2,
        views=(View(id="side", plane="side"),),
        bodies=tuple(bodies),
        connections=tuple(connections),
        drives=tuple(drives),
        sequences=(Sequence(id="open", steps=(step,)),),
    )


FLAPS = (57.5, 55.9, 48.5)
"""Where flaps end: in the next door, near it, and well off it."""


def flawed(units: int) -> Project:
    """The same with flaps so long that some clash with the next unit's door, and some come too near."""
    project = doors(units)
    return replace(project, bodies=tuple(map(_longer, project.bodies)))


def _longer(body: Body) -> Body:
    kind, _, number = body.id.partition("-")
    if kind != "flap":
        return body
    x, end = UNIT * int(number), FLAPS[int(number) % 3]
    return replace(body, shapes=(bar(x + 38.0, 0.0, x + end, 0.0),))


def samples() -> Project:
    """The sample aircraft as one, each in views of its own, with one sequence in which all move at once."""
    together = [_apart(read_project(SAMPLES / name), f"a{number}-") for number, name in enumerate(AIRCRAFT)]
    return functools.reduce(_with, together)


def _apart(project: Project, prefix: str) -> Project:
    """With other ids, and with views that stand alone."""
    bare = replace(project, targets=(), figures=(), sequences=project.sequences[:1])
    ids = taken_ids(bare)

    def renamed(tree: Any, key: str = "") -> Any:
        if isinstance(tree, dict):
            return {prefix + one if key == "start" else one: renamed(value, one) for one, value in tree.items()}
        if isinstance(tree, list):
            return [renamed(value, key) for value in tree]
        return prefix + tree if isinstance(tree, str) and key in REFERRING and tree in ids else tree

    again = decode(json.dumps(renamed(json.loads(encode(bare)))).encode(), Path("project.json"))
    return replace(again, views=tuple(replace(view, plane="other", drawing=None) for view in again.views))


def _with(whole: Project, more: Project) -> Project:
    first, second = whole.sequences[0], more.sequences[0]
    begin = replace(second.steps[0], together_with=first.steps[0].id, after=None)
    both = replace(first, start=first.start | second.start, steps=(*first.steps, begin, *second.steps[1:]))
    return replace(
        whole,
        views=(*whole.views, *more.views),
        bodies=(*whole.bodies, *more.bodies),
        connections=(*whole.connections, *more.connections),
        drives=(*whole.drives, *more.drives),
        sequences=(both,),
        pairs=(*whole.pairs, *more.pairs),
    )


def told(name: str, before: Project, rod: str, by: float) -> str:
    x, y = next(one for one in before.connections if one.id == rod).ends[1]
    after = MoveEnd(rod, 1, (x + by, y)).apply(before)
    studied, new = run(before, frames=FRAMES), run(after, frames=FRAMES)
    (old_one,), (new_one,) = studied.sequences, new.sequences
    earlier = Checked(pairs=studied.pairs, found=old_one.interference)
    whole, again, check, recheck = milliseconds(
        lambda: run(after, frames=FRAMES),
        lambda: run(after, frames=FRAMES, previous=studied),
        lambda: interfere(new.parts, new.pairs, new_one.motion),
        lambda: interfere(new.parts, new.pairs, new_one.motion, previous=earlier),
    )
    assert _same(run(after, frames=FRAMES, previous=studied), new)
    found = len(new_one.findings)
    return (
        f"{name:10} {rod:12} {len(after.bodies):6} {len(new.pairs):6} {found:9} "
        f"{check:9.1f} {recheck:11.1f} {recheck / check:6.2f} {whole:9.1f} {again:11.1f} {again / whole:6.2f}"
    )


def _same(one: Study, other: Study) -> bool:
    return _found(one) == _found(other)


def _found(study: Study) -> list[object]:
    """Every clearance and every contact, to a millionth."""
    found = study.sequences[0].interference
    clearances: list[object] = [(one.parts, round(one.least, 6), one.proved) for one in found.clearances]
    contacts = [
        (one.parts, *(round(n, 6) for n in (one.begin, one.end, one.area, one.depth))) for one in found.contacts
    ]
    return clearances + contacts


def main() -> None:
    print(f"goal: after an edit a check takes {GOAL:.2f} times as long as the whole one, or less")
    print("scene      rod          bodies  pairs  findings  check ms  recheck ms  share  study ms  restudy ms  share")
    for units in (4, 6, 13):
        print(told("doors", doors(units), f"rod-{units // 2}", 0.5))
    for units in (4, 6, 13):
        print(told("flawed", flawed(units), f"rod-{units // 2}", 0.5))
    for rod in ("a0-door-rod", "a0-valve-rod", "a1-door-trim", "a2-rudder-rod"):
        print(told("aircraft", samples(), rod, 0.05))


if __name__ == "__main__":
    main()
