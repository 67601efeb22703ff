"""Checks of meaning: what makes no sense is found at its place, in words, and nothing that makes sense is."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import msgspec
import pytest
from msgspec.structs import replace

from core.document.checks import MOST, new_problems, problems
from core.document.project import Aircraft, Body, Circle, Moment, Pivot, Polygon, Project, Target, Wall
from core.document.project_file import decode, read_project
from core.document.step_time_edits import SetStepDelay
from core.errors import UnreadableProject
from tests.formats.merrow import FOLDER, find, tree

Bend = Callable[[dict[str, Any]], object]


def put(thing: str, **values: Any) -> Bend:
    """Give a thing other values; `from_` and `with_` are the keys that Python keeps for itself."""
    return lambda tree: find(tree, thing).update({key.rstrip("_"): value for key, value in values.items()})


def shape(*shapes: dict[str, Any]) -> Bend:
    return put("leg", shapes=list(shapes))


def polygon(points: list[list[float]], holes: list[list[list[float]]] | None = None) -> Bend:
    return shape({"kind": "polygon", "points": points, "holes": holes or []})


def steps(*steps: dict[str, Any]) -> Bend:
    def bend(tree: dict[str, Any]) -> None:
        find(tree, "retract")["steps"] = [{"duration": 1} | step for step in steps]
        tree["targets"], tree["figures"] = [], []

    return bend


def pairs(*rules: dict[str, Any]) -> Bend:
    return lambda tree: tree.update(pairs=[{"rule": "check"} | rule for rule in rules])


def accepted(**values: Any) -> Bend:
    return lambda tree: tree.update(accepted=[{"why": "it is seen to"} | values])


def needs(*needs: dict[str, Any]) -> Bend:
    return put("leg-up", needs=list(needs))


def figure(**values: Any) -> Bend:
    return put("brace-stroke", **values)


def says(bend: Bend) -> list[str]:
    """What is said first about a bent Merrow; nothing where all is well."""
    bent = tree()
    bend(bent)
    try:
        decode(json.dumps(bent).encode(), Path("project.json"))
    except UnreadableProject as error:
        return [f"{error.place}: {error.wrong}; {error.right}"]
    return []


SQUARE = [[0, 0], [10, 0], [10, 10], [0, 10]]
GEAR = {"drive": "gear", "to": 10}
NEEDS = "sequences[0].steps[1].needs"

WRONG: list[tuple[Bend, str, str]] = [
    # ids
    (put("leg", id="airframe"), "bodies[1].id (airframe)", "already that of bodies[0]"),
    (put("oleo", id="leg"), "connections[5].id (leg)", "already that of bodies[1]"),
    (put("gear", id="doors"), "drives[1].id (doors)", "already that of drives[0]"),
    (put("leg-up", id="leg"), "sequences[0].steps[1].id (leg)", "already that of bodies[1]"),
    (put("leg-stowed", id="side"), "targets[0].id (side)", "already that of views[0]"),
    # references
    (put("leg", view="sid"), "bodies[1].view (leg)", "did you mean 'side'?"),
    (put("leg", view="leg"), "bodies[1].view (leg)", '"leg" is a body, not a view'),
    (put("oleo", bodies=["leg", "pistn"]), "connections[5].bodies[1] (oleo)", "did you mean 'piston'?"),
    (put("oleo", bodies=["leg", "leg"]), "connections[5].bodies (oleo)", "to itself"),
    (put("oleo", bodies=["leg", "collar"]), "connections[5].bodies (oleo)", "in view 'plan'"),
    (put("uplock", bodies=["hook", "uplock"]), "connections[10].bodies[1] (uplock)", "is a latch, not a body"),
    (put("tube", pivots=["crank-pivot", "oleo"]), "connections[9].pivots[1] (tube)", "is a slide, not a pivot"),
    (put("tube", pivots=["crank-pivot", "crank-pivot"]), "connections[9].pivots (tube)", "to itself"),
    (put("gear", on="door-rod"), "drives[0].on (gear)", "is a rod, not a pivot, slide or jack"),
    (put("gear", on="door-slot"), "drives[0].on (gear)", "is a slot, not a"),
    (put("gear", on="tube"), "drives[0].on (gear)", "is a gearing, not a"),
    (put("gear", on="uplock"), "drives[0].on (gear)", "is a latch, not a"),
    (put("gear", on="leg"), "drives[0].on (gear)", "is a body, not a"),
    (put("doors", on="leg-pivot"), "drives[1].on (doors)", "already driven by 'gear'"),
    (put("leg", fixed=True), "drives[0].on (gear)", "two fixed bodies"),
    (put("retract", start={"gaer": 0}), "sequences[0].start.gaer (retract)", "did you mean 'gear'?"),
    (put("leg-up", engage=["uplok"]), "sequences[0].steps[1].engage[0] (leg-up)", "did you mean 'uplock'?"),
    (put("leg-up", release=["oleo"]), "sequences[0].steps[1].release[0] (leg-up)", "is a slide, not a latch"),
    (put("leg-up", moves=[{"drive": "jack", "to": 1}]), "sequences[0].steps[1].moves[0].drive (leg-up)", "no drive"),
    (put("leg-up", after="retract"), "sequences[0].steps[1].after (leg-up)", "is a sequence, not a step"),
    (put("weight-off", with_="doors-opn"), "sequences[0].steps[2].with (weight-off)", "did you mean 'doors-open'?"),
    (put("leg-stowed", body="legs"), "targets[0].body (leg-stowed)", "did you mean 'leg'?"),
    (put("leg-stowed", at={"sequence": "extend", "at": "end"}),
     "targets[0].at.sequence (leg-stowed)", "there are retract"),
    (put("leg-stowed", at={"sequence": "retract", "after": "gear"}),
     "targets[0].at.after (leg-stowed)", "is a drive, not a step"),
    (put("leg-stowed", at={"sequence": "retract"}), "targets[0].at (leg-stowed)", "neither at nor after"),
    (put("leg-stowed", at={"sequence": "retract", "at": 1, "after": "leg-up"}),
     "targets[0].at (leg-stowed)", "both at and after"),
    (put("leg-half", at={"sequence": "retract", "at": -0.1}), "targets[1].at.at (leg-half)", "before the sequence"),
    # accepted findings
    (accepted(kind="clsh", bodies=["leg", "door"]), "accepted[0].kind", "did you mean 'clash'?"),
    (accepted(kind="clash", bodies=["leg", "door"], why=" "), "accepted[0].why", "without a reason"),
    (accepted(kind="clash", bodies=["leg", "dor"]), "accepted[0].bodies[1]", "did you mean 'door'"),
    (accepted(kind="clash", bodies=["leg", "oleo"]), "accepted[0].bodies[1]", "is a slide, not a body"),
    (accepted(kind="jammed", connections=["door-rd"]), "accepted[0].connections[0]", "did you mean 'door-rod'?"),
    (accepted(kind="dead-centre", drive="gaer"), "accepted[0].drive", "did you mean 'gear'?"),
    (accepted(kind="target", target="leg"), "accepted[0].target", "is a body, not a target"),
    (accepted(kind="loose", bodies=["leg"], sequence="up"), "accepted[0].sequence", "no sequence"),
    (accepted(kind="loose"), "accepted[0]", "nothing is named"),
    (accepted(kind="early", drive="doors", step="leg-upp"), "accepted[0].step", "did you mean 'leg-up'?"),
    # what steps need
    (needs({"drive": "dors", "at_least": 85}), f"{NEEDS}[0].drive (leg-up)", "did you mean 'doors'?"),
    (needs({"latch": "oleo"}), f"{NEEDS}[0].latch (leg-up)", "is a slide, not a latch"),
    (needs({"drive": "doors"}), f"{NEEDS}[0] (leg-up)", "at_least or at_most is needed"),
    (needs({"drive": "doors", "at_least": 2, "at_most": 1}), f"{NEEDS}[0] (leg-up)", "cannot both be"),
    (needs({"drive": "doors", "at_least": 2, "engaged": False}), f"{NEEDS}[0].engaged (leg-up)", "is no latch"),
    (needs({"latch": "uplock", "at_least": 2}), f"{NEEDS}[0] (leg-up)", "no value to bound"),
    (needs({"latch": "uplock", "drive": "doors"}), f"{NEEDS}[0] (leg-up)", "either a drive or a latch"),
    (needs({}), f"{NEEDS}[0] (leg-up)", "either a drive or a latch"),
    (needs({"latch": "uplock"}, {"latch": "uplock", "engaged": False}), f"{NEEDS}[1] (leg-up)", "named twice"),
    (needs({"drive": "doors", "at_least": 1e9}), f"{NEEDS}[0].at_least (leg-up)", "too large"),
    (needs({"drive": "doors", "at_least": "85"}), f"{NEEDS}[0].at_least (leg-up)", "number"),
    # pairs
    (pairs({"bodies": ["leg", "dor"]}), "pairs[0].bodies[1]", "did you mean 'door'"),
    (pairs({"bodies": ["leg", "leg"]}), "pairs[0].bodies", "with itself"),
    (lambda tree: (put("plan", plane="other")(tree), pairs({"bodies": ["leg", "collar"]})(tree)),
     "pairs[0].bodies", "in one view"),
    (pairs({"bodies": ["leg", "oleo"]}), "pairs[0].bodies[1]", "is a slide, not a body"),
    (lambda tree: (put("door-rod", width=None)(tree), pairs({"bodies": ["leg", "door-rod"]})(tree)),
     "pairs[0].bodies[1]", "has no width"),
    (pairs({"bodies": ["leg", "door"]}, {"bodies": ["door", "leg"], "clearance": 2}),
     "pairs[1].bodies", "already paired at pairs[0]"),
    (pairs({"bodies": ["leg", "door"], "rule": "ignore"}), "pairs[0].why", "without a reason"),
    (pairs({"bodies": ["leg", "door"], "rule": "ignore", "why": "  "}), "pairs[0].why", "without a reason"),
    (pairs({"bodies": ["leg", "door"], "clearance": -1}), "pairs[0].clearance", "0 or more"),
    (pairs({"bodies": ["leg", "door"], "beyond": -1}), "pairs[0].beyond", "0 or more"),
    # numbers
    (lambda tree: tree["aircraft"].update(scale=0), "aircraft.scale", "greater than 0"),
    (lambda tree: tree["aircraft"].update(scale=-12), "aircraft.scale", "greater than 0"),
    (lambda tree: tree.update(least_clearance=-0.5), "least_clearance", "0 or more"),
    (lambda tree: tree.update(length_unit="furlong"), "length_unit", "mm, cm, m, in, ft"),
    (lambda tree: find(tree, "side")["drawing"].update(opacity=1.5), "views[0].drawing.opacity (side)", "from 0 to 1"),
    (lambda tree: find(tree, "side")["drawing"].update(pixel_to_mm=[[1, 2, 3], [2, 4, 6], [0, 0, 1]]),
     "views[0].drawing.pixel_to_mm (side)", "inverted"),
    (lambda tree: find(tree, "side")["drawing"].update(pixel_to_mm=[[0, 0, 0]] * 3),
     "views[0].drawing.pixel_to_mm (side)", "inverted"),
    (put("leg", depth=[5, -5]), "bodies[1].depth (leg)", "no thickness"),
    (put("leg", depth=[5, 5]), "bodies[1].depth (leg)", "no thickness"),
    (put("leg", mass=-1), "bodies[1].mass (leg)", "0 or more"),
    (put("leg", centre_of_mass=[0, 1.1e6]), "bodies[1].centre_of_mass[1] (leg)", "too large"),
    (put("leg-pivot", at=[-1e300, 0]), "connections[0].at[0] (leg-pivot)", "too large"),
    (put("leg-pivot", pin=0), "connections[0].pin (leg-pivot)", "greater than 0"),
    (put("leg-pivot", pin=3, play=3), "connections[0].play (leg-pivot)", "no less than its pin is thick; less play"),
    (lambda tree: tree.update(workshop={"play": 3.5}), "workshop.play", "no less than the pin of 'leg-pivot' is thick"),
    (put("leg-pivot", limits=[105, 0]), "connections[0].limits (leg-pivot)", "the lower one first"),
    (put("oleo", along=[0, 0]), "connections[5].along (oleo)", "no direction"),
    (put("door-slot", to=[3, 2]), "connections[6] (door-slot)", "no length"),
    (put("door-slot", at=[5, 3]), "connections[6].at (door-slot)", "1 mm off"),
    (put("door-slot", at=[15, 2]), "connections[6].at (door-slot)", "3 mm off"),
    (put("door-rod", ends=[[6, -8], [6, -8]]), "connections[7].ends (door-rod)", "one point"),
    (put("door-rod", length=0), "connections[7].length (door-rod)", "greater than 0"),
    (put("door-rod", width=-2), "connections[7].width (door-rod)", "greater than 0"),
    (put("door-rod", depth=[7, 5]), "connections[7].depth (door-rod)", "no thickness"),
    (put("brace-jack", ends=[[3, 1], [3, 1]]), "connections[8].ends (brace-jack)", "one point"),
    (put("brace-jack", closed=0), "connections[8].closed (brace-jack)", "greater than 0"),
    (put("brace-jack", stroke=-3), "connections[8].stroke (brace-jack)", "greater than 0"),
    (put("brace-jack", barrel=0), "connections[8].barrel (brace-jack)", "greater than 0"),
    (put("brace-jack", rod=-1), "connections[8].rod (brace-jack)", "greater than 0"),
    (put("tube", ratio=0), "connections[9].ratio (tube)", "turns nothing"),
    (put("uplock", reach=-0.5), "connections[10].reach (uplock)", "0 or more"),
    (put("leg-stowed", within=-1), "targets[0].within (leg-stowed)", "0 or more"),
    # outlines
    (shape({"kind": "circle", "centre": [0, 0], "radius": 0}), "bodies[1].shapes[0].radius (leg)", "greater than 0"),
    (shape({"kind": "wall", "points": [[0, 0], [1, 0]], "thickness": 0}),
     "bodies[1].shapes[0].thickness (leg)", "greater than 0"),
    (shape({"kind": "wall", "points": [[0, 0]], "thickness": 1}), "bodies[1].shapes[0].points (leg)", "at least 2"),
    (shape({"kind": "wall", "points": [], "thickness": 1}), "bodies[1].shapes[0].points (leg)", "at least 2"),
    (shape({"kind": "wall", "points": [[0, 0], [1, 0], [1, 0], [2, 5]], "thickness": 1}),
     "bodies[1].shapes[0].points[1] (leg)", "corners 1 and 2 are at one point"),
    (polygon([]), "bodies[1].shapes[0].points (leg)", "at least 3"),
    (polygon([[0, 0], [10, 0]]), "bodies[1].shapes[0].points (leg)", "at least 3"),
    (polygon([[0, 0], [10, 0], [0, 0], [10, 0]]), "bodies[1].shapes[0].points (leg)", "2 different corners"),
    (polygon([[0, 0], [0, 0], [10, 0], [5, 5]]), "bodies[1].shapes[0].points[0] (leg)", "corners 0 and 1"),
    (polygon([*SQUARE, [0, 0]]), "bodies[1].shapes[0].points[4] (leg)", "corners 4 and 0 are at one point"),
    (polygon([[0, 0], [10, 10], [10, 0], [0, 10]]),
     "bodies[1].shapes[0].points (leg)", "edges 0 and 2 of the outline meet at (5, 5)"),
    (polygon([[0, 0], [10, 0], [20, 0]]), "bodies[1].shapes[0].points (leg)", "meet at"),
    (polygon([[0, 0], [10, 0], [10, 10], [10, 5], [0, 5]]), "bodies[1].shapes[0].points (leg)", "edges 1 and 2"),
    (polygon([[0, 0], [4, 0], [5, 5], [6, 0], [10, 0], [10, 10], [5, 5], [0, 10]]),
     "bodies[1].shapes[0].points (leg)", "at (5, 5)"),
    (polygon([[0, 0, 3.0], [10, 0], [10, -14], [0, -14]]),
     "bodies[1].shapes[0].points (leg)", "edges 0 and 3 of the outline meet at (0, -13.33)"),
    (polygon([[0, 0, 101], [10, 0], [5, 5]]), "bodies[1].shapes[0].points[0][2] (leg)", "a bulge of 101"),
    (polygon(SQUARE, [[[2, 2], [4, 2]]]), "bodies[1].shapes[0].holes[0] (leg)", "at least 3"),
    (polygon(SQUARE, [[[2, 2], [4, 4], [4, 2], [2, 4]]]), "bodies[1].shapes[0].holes[0] (leg)", "edges 0 and 2"),
    (polygon(SQUARE, [[[8, 8], [12, 8], [12, 9], [8, 9]]]),
     "bodies[1].shapes[0].holes[0] (leg)", "outside the outline by 2 mm²"),
    (polygon(SQUARE, [[[20, 8], [22, 8], [22, 9]]]), "bodies[1].shapes[0].holes[0] (leg)", "outside the outline"),
    (polygon(SQUARE, [[[1, 1], [5, 1], [5, 5], [1, 5]], [[4, 4], [8, 4], [8, 8], [4, 8]]]),
     "bodies[1].shapes[0].holes[1] (leg)", "holes 0 and 1 overlap"),
    (polygon(SQUARE, [[[1, 1], [9, 1], [9, 9], [1, 9]], [[4, 4], [5, 4], [5, 5], [4, 5]]]),
     "bodies[1].shapes[0].holes[1] (leg)", "overlap"),
    (polygon(SQUARE, [SQUARE]), "bodies[1].shapes[0].holes (leg)", "leave nothing"),
    # steps
    (steps({"id": "one", "after": "one"}), "sequences[0].steps (retract)", "'one' waits for 'one'"),
    (steps({"id": "one", "with": "one"}), "sequences[0].steps (retract)", "'one' waits for 'one'"),
    (steps({"id": "one", "after": "two"}, {"id": "two"}),
     "sequences[0].steps (retract)", "'one' waits for 'two', which waits for 'one'"),
    (steps({"id": "zero"}, {"id": "one", "after": "three"}, {"id": "two", "after": "one"},
           {"id": "three", "with": "two"}),
     "sequences[0].steps (retract)", "'one' waits for 'three', which waits for 'two', which waits for 'one'"),
    (steps({"id": "one"}, {"id": "two", "after": "one", "with": "one"}),
     "sequences[0].steps[1] (two)", "either after or with"),
    (steps({"id": "one", "duration": -1}), "sequences[0].steps[0].duration (one)", "no less than 0 s"),
    (steps({"id": "one", "delay": -0.5}), "sequences[0].steps[0].delay (one)", "0.5 s before its sequence"),
    (steps({"id": "one"}, {"id": "two", "delay": -1.5}), "sequences[0].steps[1].delay (two)", "at least -1 s"),
    (steps({"id": "one", "duration": 4000}), "sequences[0].steps[0] (one)", "at most 3600 s"),
    (steps({"id": "one", "moves": [GEAR, GEAR]}), "sequences[0].steps[0].moves (one)", "moved twice"),
    (steps({"id": "one", "moves": [GEAR | {"part": [0.5, 0.5]}]}), "sequences[0].steps[0].moves[0].part (one)",
     "0.5 to 0.5 is no part of a move"),
    (steps({"id": "one", "moves": [GEAR | {"part": [0.5, 1.2]}]}), "sequences[0].steps[0].moves[0].part (one)",
     "0.5 to 1.2 is no part of a move"),
    (steps({"id": "one", "moves": [GEAR]}, {"id": "two", "with": "one", "moves": [GEAR]}),
     "sequences[0].steps[1] (two)", "while step 'one' is still moving it"),
    (steps({"id": "one", "duration": 5, "moves": [GEAR]}, {"id": "two", "with": "one", "delay": 1},
           {"id": "three", "moves": [GEAR]}), "sequences[0].steps[2] (three)", "while step 'one' is still moving it"),
    (steps({"id": "one", "moves": [GEAR]}, {"id": "two", "delay": -0.5, "duration": 0, "moves": [GEAR]}),
     "sequences[0].steps[1] (two)", "still moving it"),
    # figures
    (figure(of=None), "figures[0] (brace-stroke)", "of is missing"),
    (figure(of="brace"), "figures[0].of (brace-stroke)", "did you mean 'brace-jack'?"),
    (figure(of="door-rod"), "figures[0].of (brace-stroke)", "is a rod, not a pivot, slide or jack"),
    (figure(between=None), "figures[0].between (brace-stroke)", "between two moments"),
    (figure(between=[{"sequence": "retract", "at": "start"}]),
     "figures[0].between (brace-stroke)", "between two moments"),
    (figure(between=[{"sequence": "retract", "at": "start"}, {"sequence": "retract", "after": "leg-upp"}]),
     "figures[0].between[1].after (brace-stroke)", "did you mean 'leg-up'?"),
    (figure(between=[{"sequence": "retract", "at": "start"}, {"sequence": "retract", "at": -7}]),
     "figures[0].between[1].at (brace-stroke)", "before the sequence"),
    (figure(published="318 furlongs"), "figures[0].published (brace-stroke)", "not a unit of length"),
    (figure(published="12°"), "figures[0].published (brace-stroke)", "not a unit of length"),
    (figure(published="318 mm ± 1 mm", plus_minus="1 mm"), "figures[0].plus_minus (brace-stroke)", "written twice"),
    (figure(published="1,318.5 mm"), "figures[0].published (brace-stroke)", "thousands"),
    (figure(plus_minus="-1 mm"), "figures[0].plus_minus (brace-stroke)", "0 or more"),
    (figure(shop="fine"), "figures[0].shop (brace-stroke)", "is not understood here"),
    (figure(of="leg-pivot", published="101 mm"), "figures[0].published (brace-stroke)", "not a unit of angle"),
    (put("axle-drop", between=[{"pivot": "leg-pivot"}, {"pivot": "oleo"}]),
     "figures[1].between[1].pivot (axle-drop)", "is a slide"),
    (put("axle-drop", between=[{"pivot": "leg-pivot"}, {"body": "legs", "point": [0, 0]}]),
     "figures[1].between[1].body (axle-drop)", "did you mean 'leg'?"),
    (figure(quantity="stroke", of="door-rod"), "figures[0].of (brace-stroke)", "not a pivot, slide, slot or jack"),
    (figure(quantity="stroke", between=[{"sequence": "retract", "at": "start"}]),
     "figures[0].between (brace-stroke)", "used between two moments"),
    (figure(quantity="length", of="leg-pivot"), "figures[0].of (brace-stroke)", "is a pivot, not a rod or jack"),
    (figure(quantity="length", of="door-rod"), "figures[0].between (brace-stroke)", "or at one moment"),
    (figure(quantity="diameter", of="legs", between=None), "figures[0].of (brace-stroke)", "did you mean 'leg'?"),
    (figure(quantity="diameter", of="leg"), "figures[0].between (brace-stroke)", "about a point of it"),
]  # fmt: skip


@pytest.mark.parametrize(("bend", "place", "wrong"), WRONG, ids=[f"{place}-{wrong}" for _, place, wrong in WRONG])
def test_what_makes_no_sense_is_found_where_it_stands(bend: Bend, place: str, wrong: str):
    found = says(bend)
    assert found, "nothing was found"
    where, _, what = found[0].partition(": ")
    assert where == place
    assert wrong in what
    assert "; " in what, "it is not said what would be right"


RIGHT: list[Bend] = [
    lambda _: None,
    put("leg-pivot", limits=[0, 0]),
    put("leg", depth=None),
    put("door-slot", at=[5, 2.3]),
    put("door-rod", length=30.0),
    put("tube", ratio=-0.001),
    polygon(SQUARE, [[[1, 1], [2, 1], [2, 2]], [[3, 3], [4, 3], [4, 4]]]),
    polygon(SQUARE, [[[1, 1], [5, 1], [5, 5], [1, 5]], [[5, 5], [8, 5], [8, 8]]]),  # holes that share a corner
    polygon(SQUARE[::-1], [[[1, 1], [2, 2], [2, 1]]]),  # either way round
    polygon([[0, 0, 1.0], [10, 0, 1.0]]),  # a circle of two arcs
    polygon([[0, 0, -0.4], [10, 0, 0.4], [10, 10], [0, 10]]),
    polygon([[0, 0, 0.0], [10, 0, 0.0], [5, 5, 0.0]]),
    polygon([[0, 0, 1.0], [10, 0, 1.0]], [[[3, 0, 1.0], [7, 0, 1.0]]]),
    shape({"kind": "wall", "points": [[0, 0], [10, 10], [10, 0], [0, 10]], "thickness": 1}),  # a wall may cross itself
    steps(),
    steps({"id": "one"}, {"id": "two", "after": "three"}, {"id": "three", "with": "four"},
          {"id": "four", "after": "one"}),
    steps({"id": "one", "duration": 0}),
    needs({"drive": "doors", "at_least": 85, "at_most": 85}, {"latch": "uplock", "engaged": False}),
    steps({"id": "one", "delay": 1}, {"id": "two", "delay": -2, "duration": 5}),
    steps({"id": "one", "moves": [GEAR]}, {"id": "two", "moves": [GEAR]}),  # one ends as the other begins
    steps({"id": "one", "duration": 0.1, "moves": [GEAR]}, {"id": "two", "duration": 0.2, "moves": [GEAR]},
          {"id": "three", "duration": 0.3, "moves": [GEAR]}),
    put("leg-stowed", at={"after": "leg-up"}),
    put("leg-half", at={"sequence": "retract", "at": 5.7}),
    put("leg-half", at={"sequence": "retract", "at": 50}),  # its end
    figure(published=None, plus_minus=None, shop=None),
    figure(of="leg-pivot", published="101°", plus_minus="30'", shop="0.5 deg"),
    put("axle-drop", between=["leg-pivot", "door-hinge"]),
    put("axle-drop", between="the axle and the pivot"),  # said where the figure is evaluated
    lambda tree: tree.update(pairs=[]),
    put("tube", pivots=["crank-pivot", "door-hinge"]),
]  # fmt: skip


@pytest.mark.parametrize("bend", RIGHT, ids=range(len(RIGHT)))
def test_what_makes_sense_is_left_alone(bend: Bend):
    assert says(bend) == []


def test_a_ring_of_gearings_and_a_wheel_on_its_axle_are_fine():
    bodies = [Body(id="frame", view="side", fixed=True), *(Body(id=f"wheel-{n}", view="side") for n in range(3))]
    pivots = [Pivot(id=f"axle-{n}", bodies=("frame", f"wheel-{n}"), at=(10.0 * n, 0.0)) for n in range(3)]
    gearings = [
        {"id": f"gears-{n}", "kind": "gearing", "pivots": [f"axle-{n}", f"axle-{(n + 1) % 3}"], "ratio": -1}
        for n in range(3)
    ]
    raw = {
        "aircraft": {"name": "Skarn P.9"},
        "views": [{"id": "side"}],
        "bodies": msgspec.to_builtins(bodies),
        "connections": [*msgspec.to_builtins(pivots), *gearings],
        "drives": [{"id": "turn", "on": "axle-0"}],
    }
    assert problems(msgspec.convert(raw, Project)) == ()


def test_every_problem_is_told_at_once():
    bent = read_project(FOLDER)
    leg = replace(bent.bodies[1], mass=-1.0, depth=(1.0, 0.0), view="sid")
    found = problems(replace(bent, bodies=(bent.bodies[0], leg, *bent.bodies[2:]), least_clearance=-1.0))
    assert {one.place for one in found} >= {
        "bodies[1].view (leg)",
        "bodies[1].mass (leg)",
        "bodies[1].depth (leg)",
        "least_clearance",
    }
    assert all("\n" not in str(one) and one.wrong and one.right and one.path for one in found)


def test_numbers_that_are_none_are_problems_of_values_that_never_were_in_a_file():
    for number in (math.nan, math.inf, -math.inf):
        bad = Project(aircraft=Aircraft(name="x"), least_clearance=number)
        assert [one.place for one in problems(bad)] == ["least_clearance"]
        ring = ((0.0, 0.0), (number, 0.0), (0.0, 1.0))
        for shape in (Polygon(points=ring), Wall(points=ring, thickness=1.0), Circle(centre=(number, 0.0), radius=1.0)):
            body = Body(id="leg", view="side", shapes=(shape,))
            assert len(problems(Project(aircraft=Aircraft(name="x"), bodies=(body,)))) == 2  # and there is no view


def test_what_an_edit_would_break_is_known_beforehand():
    project = read_project(FOLDER)
    early = SetStepDelay("retract", "doors-open", -1.0).apply(project)
    assert new_problems(project, early)[0].place == "sequences[0].steps[0].delay (doors-open)"
    assert new_problems(early, SetStepDelay("retract", "doors-open", -0.5).apply(early)) == ()  # it is being mended
    assert new_problems(early, project) == ()
    crossed = Body(id="rib", view="side", shapes=(Polygon(points=((0.0, 0.0), (1.0, 1.0), (1.0, 0.0), (0.0, 1.0))),))
    bad = replace(project, bodies=(*project.bodies, crossed))
    assert len(new_problems(project, bad)) == 1
    (bow,) = crossed.shapes
    still = replace(crossed, shapes=(replace(bow, points=(*bow.points[:3], (0.0, 1.5))),))
    assert new_problems(bad, replace(bad, bodies=(*project.bodies, still))) == ()
    assert len(new_problems(bad, replace(bad, bodies=(*bad.bodies, replace(still, id="web"))))) == 1


def test_values_that_never_were_in_a_file_are_checked_as_one_is():
    project = read_project(FOLDER)
    renamed = replace(project.bodies[1], id="Nose leg")
    assert "is no id" in problems(replace(project, bodies=(project.bodies[0], renamed)))[0].wrong
    still = replace(
        project, sequences=(), figures=(), targets=(Target(id="t", body="leg", at=Moment(at="end"), x=0, y=0, turn=0),)
    )
    assert [one.wrong for one in problems(still)] == ["the project has no sequence"]


def test_a_file_full_of_problems_is_given_up_soon():
    bodies = tuple(Body(id=f"body-{n}", view=f"view-{n}") for n in range(2000))
    assert len(problems(Project(aircraft=Aircraft(name="x"), bodies=bodies))) == MOST


def test_a_long_sequence_is_checked_in_passing():
    """Whatever is slow in the square of its length would take a minute here."""
    bent = tree()
    chain = [{"id": "s0"}, *({"id": f"s{n}", "after": f"s{n - 1}"} for n in range(1, 8000))]
    rows = [step | {"duration": 0.1, "moves": [{"drive": "gear", "to": 1}]} for step in chain]
    steps(rows[0], *rows[:0:-1])(bent)
    assert len(decode(json.dumps(bent).encode(), Path("project.json")).sequences[0].steps) == 8000
