"""What moves a body, in the words and numbers that people and programs read."""

from __future__ import annotations

import pytest

from core.document.project import Project
from core.findings.moves import chain_sentence, friction_sentence, to_json, to_text
from core.findings.sentences import Names
from core.motion.chains import chains_of
from tests.mechanisms.catalogue import CRANK_ROCKER
from tests.mechanisms.example import solve
from tests.mechanisms.four_bars import four_bar
from tests.mechanisms.sketch import FRAME, frame, jack, moving, pivot, project, rod, step


def gear() -> Project:
    """A leg on a jack, a door that follows it by a rod, and one that nothing moves."""
    return project(
        (frame(), *moving("leg", "door", "aft-door")),
        (
            pivot("leg-pivot", FRAME, "leg", 0),
            jack("brace", FRAME, "leg", 40 + 10j, -20j, 30.0, 60.0),
            pivot("hinge", FRAME, "door", -40),
            rod("door-rod", "leg", "door", -4 - 20j, -36 - 12j),
            pivot("aft-hinge", FRAME, "aft-door", -90),
        ),
        {"gear": "brace"},
        (step("up", 2.0, {"gear": 25.0}),),
    )


@pytest.mark.parametrize(
    ("body", "sentence"),
    [
        (FRAME, "It is fixed: nothing moves it."),
        ("leg", "gear moves leg at brace; it is guided by leg-pivot."),
        ("door", "gear moves leg at brace, door follows by door-rod; it is guided by hinge."),
        (
            "aft-door",
            "No drive moves it; it is loose: it can move in a way that nothing drives or holds; "
            "it is guided by aft-hinge.",
        ),
    ],
)
def test_a_chain_is_said_from_the_drive_to_the_body(body: str, sentence: str) -> None:
    (chain,) = chains_of(solve(gear(), 11))[body]
    assert chain_sentence(chain, Names(gear())) == sentence


def test_what_only_friction_holds_is_named() -> None:
    (loose,) = to_json(solve(gear(), 11), "aft-door")["loose"]
    assert (loose["bodies"], loose["joints"]) == (["aft-door"], [["aft-hinge"]])
    assert friction_sentence(("aft-hinge",), Names(gear())) == "Only friction at aft-hinge would hold it."


def test_json_of_one_body_tells_of_no_other() -> None:
    told = to_json(solve(gear(), 11), "door")
    assert set(told) == {"bodies", "transmission", "loose"}
    assert set(told["bodies"]) == {"door"}
    assert [(one["link"], one["drives"]) for one in told["transmission"]] == [("door-rod", "door")]
    assert told["loose"] == []


def test_the_text_has_a_line_a_body_and_says_where_practice_asks_for_more() -> None:
    made = four_bar(CRANK_ROCKER, name="").project
    motion = solve(made, 97)
    lines = to_text(made, motion).splitlines()
    assert [line.split(":")[0].strip() for line in lines[:4]] == list(motion.bodies)
    (push,) = (line for line in lines if " pushes " in line)
    worst = to_json(motion)["transmission"][0]["least"]
    assert f"{worst:.1f}°" in push
    assert ("practice" in push) is (worst < 40.0)


def test_a_jam_is_told_with_the_rod_that_would_cure_it() -> None:
    """A crank of 10 draws its rod's end to 60 from the pivot of a lever of 30: the rod lacks 30 - 28.5."""
    made = project(
        (frame(), *moving("crank", "lever")),
        (
            pivot("crank-pivot", FRAME, "crank", 0),
            pivot("lever-pivot", FRAME, "lever", 50),
            rod("link", "crank", "lever", 10 + 0j, 50 + 30j, 28.5),
        ),
        {"input": "crank-pivot"},
        (step("round", 2.0, {"input": 180.0}),),
    )
    motion = solve(made, 121)
    (cure,) = to_json(motion)["cures"]
    assert (cure["rod"], cure["longer_by"]) == ("link", pytest.approx(1.5, abs=2e-3))
    assert "with link 1.501 mm longer they would not jam." in to_text(made, motion)
