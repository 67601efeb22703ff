"""A file of a newer version opens with what is understood, says what is not, and is written back whole."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from core.document.checks import problems
from core.document.newer import not_understood, notice
from core.document.project import Project
from core.document.project_file import decode, encode
from core.document.sequence_edits import SetDriveStart
from core.document.step_edits import SetMove
from core.errors import UnreadableProject
from tests.formats.merrow import find, tree

HERE = Path("project.json")


def newer() -> dict[str, Any]:
    return tree() | {"version": 7}


def opened(tree: dict[str, Any]) -> Project:
    project = decode(json.dumps(tree).encode(), HERE)
    assert problems(project) == ()
    return project


def written(project: Project) -> dict[str, Any]:
    return json.loads(encode(project))


def as_written(tree: dict[str, Any]) -> dict[str, Any]:
    """The tree as this version spells it."""
    return written(opened(tree))


def test_a_newer_file_of_known_things_is_the_same_project_and_stays_newer():
    assert opened(newer()).connections == opened(tree()).connections
    assert as_written(newer())["version"] == 7
    assert not_understood(opened(newer())) == ()


def test_unknown_kinds_are_set_aside_and_written_back_where_they_stood():
    bent = newer()
    spring = {"id": "return-spring", "kind": "spring", "bodies": ["airframe", "leg"], "rate": 1.5}
    bellows = {"kind": "bellows", "folds": 3}
    bent["connections"].insert(2, spring)
    bent["connections"].append({"kind": "magnet"})
    find(bent, "leg")["shapes"].insert(0, bellows)
    project = opened(bent)
    assert project.connections == opened(tree()).connections
    again = written(project)
    assert (again["connections"][2], again["connections"][-1]) == (spring, {"kind": "magnet"})
    assert find(again, "leg")["shapes"][0] == bellows
    assert [one.get("id") for one in again["connections"]] == [one.get("id") for one in bent["connections"]]
    assert not_understood(project) == (
        "bodies[1].shapes[0] (leg)",
        "connections[2] (return-spring)",
        "connections[12]",
    )


def test_what_refers_to_something_set_aside_goes_with_it():
    bent = newer()
    find(bent, "oleo")["kind"] = "guided-slide"  # driven by stroke, which weight-off moves
    project = opened(bent)
    assert "stroke" not in {drive.id for drive in project.drives}
    assert [len(step.moves) for step in project.sequences[0].steps] == [1, 1, 0]
    assert written(project) == as_written(newer()) | {"connections": written(project)["connections"]}
    assert find(written(project), "oleo") == find(bent, "oleo")
    assert not_understood(project) == (
        "connections[5] (oleo)",
        "drives[2] (stroke)",
        "sequences[0].steps[2].moves[0] (weight-off)",
    )


def test_a_body_set_aside_takes_the_whole_linkage_on_it_along():
    bent = newer()
    find(bent, "leg")["view"] = {"of": "side", "folded": True}
    project = opened(bent)
    assert [body.id for body in project.bodies] == ["airframe", "piston", "crank", "door", "hook", "frame", "collar"]
    assert {one.id for one in project.connections} == {
        "crank-pivot", "door-hinge", "hook-pivot", "collar-pivot", "door-slot", "tube",
    }  # fmt: skip
    assert (project.targets, project.sequences[0].start) == ((), {})
    again = written(project)
    again["bodies"][1]["view"] = "side"
    assert again == as_written(newer())


def test_unknown_words_under_known_keys_have_their_default_and_are_written_back():
    bent = newer()
    find(bent, "leg")["role"] = "float"
    find(bent, "leg")["depth"] = {"near": -5, "far": 5}
    find(bent, "leg-up")["delay"] = "as long as it takes"
    bent["aircraft"]["note"] = ["one", "two"]
    project = opened(bent)
    leg = project.bodies[1]
    assert (leg.role, leg.depth, project.sequences[0].steps[1].delay, project.aircraft.note) == ("other", None, 0.0, "")
    again = written(project)
    assert find(again, "leg")["role"] == "float"
    assert list(find(again, "leg")) == list(find(bent, "leg"))
    assert find(again, "leg")["depth"] == {"near": -5, "far": 5}
    assert find(again, "leg-up")["delay"] == "as long as it takes"
    assert again["aircraft"]["note"] == ["one", "two"]
    assert "bodies[1].role (leg)" in not_understood(project)


def test_senseless_numbers_deep_inside_are_set_aside():
    bent = newer()
    bent["aircraft"]["scale"] = -12
    find(bent, "side")["drawing"]["opacity"] = 7
    find(bent, "leg-pivot")["limits"] = [105, 0]
    project = opened(bent)
    assert (project.aircraft.scale, project.views[0].drawing.opacity, project.connections[0].limits) == (1.0, 0.5, None)
    again = written(project)
    assert again["aircraft"]["scale"] == -12
    assert find(again, "side")["drawing"]["opacity"] == 7
    assert find(again, "leg-pivot")["limits"] == [105, 0]
    assert not_understood(project) == (
        "aircraft.scale",
        "views[0].drawing.opacity (side)",
        "connections[0].limits (leg-pivot)",
    )


def test_places_stay_right_when_one_thing_after_another_is_set_aside():
    """First the unknown kind; then the gearing on its pivot; each from a list that has shrunk already."""
    bent = newer()
    find(bent, "leg-pivot")["kind"] = "knuckle"
    find(bent, "collar-pivot")["kind"] = "swivel"
    find(bent, "hook-pivot")["bodies"] = ["airframe", "latch-hook"]
    project = opened(bent)
    assert [one["id"] for one in written(project)["connections"]] == [one["id"] for one in bent["connections"]]
    assert [one.split(" ")[0] for one in not_understood(project)][:4] == [
        "connections[0]",
        "connections[3]",
        "connections[4]",
        "connections[9]",
    ]


def test_an_edit_wins_over_what_was_set_aside():
    bent = newer()
    find(bent, "leg")["role"] = "float"
    find(bent, "retract")["start"] = {"gear": 3, "stroke": 1, "flaps": 12}
    project = opened(bent)
    assert project.sequences[0].start == {"gear": 3.0, "stroke": 1.0}
    project = SetDriveStart(sequence="retract", drive="gear", value=5.0).apply(project)
    assert find(written(project), "retract")["start"] == {"flaps": 12, "gear": 5, "stroke": 1}
    leg = replace(project.bodies[1], role="wheel")
    project = replace(project, bodies=(project.bodies[0], leg, *project.bodies[2:]))
    assert find(written(project), "leg")["role"] == "wheel"


def test_what_was_set_aside_stays_in_place_beside_edits():
    bent = newer()
    find(bent, "retract")["steps"].insert(1, {"id": "pump-up", "pressure": 7})
    project = opened(bent)
    edited = SetMove(sequence="retract", step="leg-up", drive="gear", to=99.0).apply(project)
    again = find(written(edited), "retract")["steps"]
    assert [step["id"] for step in again] == ["doors-open", "pump-up", "leg-up", "weight-off"]
    assert (again[1], again[2]["moves"][0]["to"]) == ({"id": "pump-up", "pressure": 7}, 99)


def test_it_opens_and_is_written_the_same_again_and_again():
    bent = newer()
    find(bent, "oleo")["kind"] = "guided-slide"
    find(bent, "leg")["shapes"].append({"kind": "bellows"})
    bent["connections"][:0] = [{"kind": f"novelty-{n}"} for n in range(3)]
    bent["connections"].insert(7, "a note between connections")
    once = encode(opened(bent))
    assert encode(decode(once, HERE)) == once
    assert decode(once, HERE) == opened(bent)


def test_even_a_list_that_has_become_something_else_is_kept():
    bent = newer()
    bent["pairs"] = {"leg": {"airframe": "ignore"}}
    project = opened(bent)
    assert (project.pairs, written(project)["pairs"]) == ((), bent["pairs"])
    assert not_understood(project) == ("pairs",)


@pytest.mark.parametrize("bend", [lambda tree: tree.pop("aircraft"), lambda tree: tree.update(aircraft="Merrow T.2")])
def test_without_an_aircraft_there_is_nothing_to_open(bend):
    bent = newer()
    bend(bent)
    with pytest.raises(UnreadableProject):
        decode(json.dumps(bent).encode(), HERE)


def test_in_a_file_of_this_version_an_unknown_kind_is_an_error():
    bent = tree()
    find(bent, "oleo")["kind"] = "guided-slide"
    with pytest.raises(UnreadableProject, match=r"connections\[5\]\.kind \(oleo\)"):
        decode(json.dumps(bent).encode(), HERE)


def test_numbers_that_are_not_understood_keep_their_spelling():
    """Whoever reads them may tell 1.0 from 1, and an id of forty digits from its neighbour."""
    bent = newer()
    bent["later"] = {"a": [1.0, 1, -0.0, 10**40 + 1, 1e-7]}
    find(bent, "oleo")["kind"] = "guided-slide"
    find(bent, "oleo")["at"] = [0.0, -40]
    text = encode(opened(bent)).decode()
    assert '"a": [1.0, 1, -0.0, 10000000000000000000000000000000000000001, 1e-07]' in text
    assert '"at": [0.0, -40]' in text


def test_a_file_almost_wholly_new_opens_soon():
    """One at a time it would take minutes."""
    bent = newer()
    count = 3000
    bent["bodies"] += [{"id": f"b{n}", "view": "side"} for n in range(count)]
    bent["connections"] += [{"id": f"c{n}", "kind": "hinge", "bodies": ["airframe", f"b{n}"]} for n in range(count)]
    bent["drives"] += [{"id": f"d{n}", "on": f"c{n}"} for n in range(count)]
    moves = [{"drive": f"d{n}", "to": 1} for n in range(count)]
    find(bent, "retract")["steps"].append({"id": "all", "duration": 1, "moves": moves})
    project = opened(bent)
    assert len(project.drives) == 3
    assert len(find(written(project), "all")["moves"]) == count


def test_the_notice_is_one_line_that_names_a_few_places():
    assert notice(opened(newer())) == ""
    bent = newer()
    bent["connections"] += [{"id": f"n{n}", "kind": "novelty"} for n in range(9)]
    said = notice(opened(bent))
    assert "connections[11] (n0), " in said
    assert said.endswith("connections[15] (n4) and 4 more")
    assert len(said.splitlines()) == 1
