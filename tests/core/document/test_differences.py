"""What differs between two states is told thing by thing."""

from __future__ import annotations

from msgspec.structs import replace

from core.document.differences import differences
from core.document.project import Rod
from core.document.step_time_edits import SetStepDuration
from tests.app.small_aircraft import small_aircraft


def test_the_same_differ_in_nothing():
    assert differences(small_aircraft(), small_aircraft()) == ()


def test_each_thing_is_told_with_its_values_where_they_are_short():
    mine = small_aircraft()
    theirs = SetStepDuration("retract", "leg-up", 9.0).apply(mine)
    leg = replace(theirs.bodies[1], name="Main leg", shapes=theirs.bodies[1].shapes[:1])
    theirs = replace(
        theirs,
        length_unit="in",
        bodies=(theirs.bodies[0], leg, *theirs.bodies[2:3]),
        connections=(*theirs.connections, Rod(id="rod", bodies=("leg", "door"), ends=((0.0, -9.0), (20.0, -1.0)))),
        pairs=(),
    )
    assert differences(mine, theirs) == (
        "length unit: mm here, in in the file",
        "body Nose leg, name: Nose leg here, Main leg in the file",
        "body Nose leg, shapes differs",
        "body Aft door is only here",
        "rod rod is only in the file",
        "sequence Retract, step Leg up, duration: 4 here, 9 in the file",
        "pairs differ",
    )


def test_another_kind_and_another_order_are_told():
    mine = small_aircraft()
    rod = Rod(id="leg-pivot", bodies=("airframe", "leg"), ends=((0.0, 5.0), (0.0, -9.0)))
    theirs = replace(mine, connections=(rod, *mine.connections[1:]), bodies=mine.bodies[::-1])
    assert differences(mine, theirs) == (
        "body order: they stand in another order",
        "pivot Leg trunnion is of another kind in the file",
    )
