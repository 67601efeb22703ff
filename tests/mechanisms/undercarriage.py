"""What legs, braces, wheels, tubes and locks do, each beside its answer."""

from __future__ import annotations

import numpy as np
from msgspec.structs import replace

from core.document.project import Body, View
from tests.mechanisms.example import Drives, Example
from tests.mechanisms.planar import Floats, Points, degrees, meet_circles, side_of, unit
from tests.mechanisms.sketch import FRAME, frame, gearing, latch, moving, pivot, project, slide, step


def folding_brace(*, name: str, past: float) -> Example:
    """A leg held by a brace of two links, broken by its upper one, which starts `past` degrees from straight.

    The upper link is driven, so that the brace comes straight in mid motion, where the leg turns back.
    """
    anchor, lengths, lug_radius = 60 + 10j, (38.0, 34.0), 40.0
    # Straight, the brace is as long as both its links, and that places the leg.
    straight_lug = complex(meet_circles(0, lug_radius, anchor, sum(lengths), -1.0))
    straight = float(np.rad2deg(np.angle(straight_lug - anchor)))
    drawn = straight - past

    def places(angle: Floats | float) -> tuple[Points, Points]:
        knee = anchor + lengths[0] * degrees(angle)
        return knee, meet_circles(knee, lengths[1], 0, lug_radius, side)

    knee = complex(anchor + lengths[0] * degrees(drawn))
    side = side_of(knee, 0, straight_lug)
    knee, lug = (complex(place) for place in places(drawn))
    axle = 2.5 * lug

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        at_knee, at_lug = places(drawn + drives["fold"])
        return {"knee": at_knee, "lug": at_lug, "axle": 2.5 * at_lug}

    return Example(
        name=name,
        project=project(
            (*moving("lower", "upper", "leg"), frame()),
            (
                pivot("lug", "leg", "lower", lug),
                pivot("knee", "upper", "lower", knee),
                pivot("anchor", FRAME, "upper", anchor),
                pivot("leg-pivot", FRAME, "leg", 0),
            ),
            {"fold": "anchor"},
            (step("unlock", 1.0, {"fold": 2 * past}), step("up", 4.0, {"fold": -80.0}, profile="eased")),
        ),
        marks={"knee": ("lower", knee), "lug": ("lower", lug), "axle": ("leg", axle)},
        answer=answer,
    )


def wheel_on_axle(*, name: str) -> Example:
    """The leg swings while the wheel rolls on its axle; the wheel's turn is the sum of both."""
    axle, valve = 5 - 60j, 5 - 48j

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        leg = degrees(drives["gear"])
        return {"axle": axle * leg, "valve": leg * (axle + (valve - axle) * degrees(drives["roll"]))}

    return Example(
        name=name,
        project=project(
            (*moving("wheel"), frame(), *moving("leg")),
            (pivot("axle", "leg", "wheel", axle), pivot("leg-pivot", FRAME, "leg", 0)),
            {"gear": "leg-pivot", "roll": "axle"},
            (
                step("leg-up", 3.0, {"gear": 101.0}, profile="eased"),
                step("rolling", 5.0, {"roll": -1500.0}, together_with="leg-up"),
            ),
        ),
        marks={"axle": ("wheel", axle), "valve": ("wheel", valve)},
        answer=answer,
        freedoms=2,
    )


def torque_tube(*, name: str, ratios: tuple[float, float] = (-0.75, 2.0)) -> Example:
    """A crank in side elevation turns one in plan and that one a third in front elevation."""
    arm = 12 + 5j
    pins = {"side": 3 + 4j, "plan": -20 + 0j, "front": 0 + 15j}
    bodies = [Body(id=f"{view}-frame", view=view, fixed=True) for view in pins]
    bodies += [Body(id=f"{view}-crank", view=view) for view in pins]

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        turns = {"side": drives["input"]}
        turns["plan"] = ratios[0] * turns["side"]
        turns["front"] = ratios[1] * turns["plan"]
        return {view: pins[view] + arm * degrees(turns[view]) for view in pins}

    made = project(
        bodies,
        (
            gearing("second-tube", "plan-pivot", "front-pivot", ratios[1]),
            gearing("first-tube", "side-pivot", "plan-pivot", ratios[0]),
            *(pivot(f"{view}-pivot", f"{view}-frame", f"{view}-crank", pin) for view, pin in pins.items()),
        ),
        {"input": "side-pivot"},
        (step("steer", 3.0, {"input": 100.0}), step("back", 4.0, {"input": -260.0})),
    )
    return Example(
        name=name,
        project=replace(made, views=tuple(View(id=view, plane=view) for view in pins)),
        marks={view: (f"{view}-crank", pin + arm) for view, pin in pins.items()},
        answer=answer,
    )


def geared_pair(*, name: str, ratio: float) -> Example:
    """Two cranks of one view geared together, and a link pair between them: a geared five-bar.

    The second crank's pivot names the frame second, so that its angle is the frame's turn in the crank: the sign flips.
    """
    ground, arms, links, drawn = 60.0, (20.0, 15.0), (52.0, 48.0), (70.0, 95.0)

    def places(first: Floats | float, second: Floats | float) -> tuple[Points, Points, Points]:
        a, c = arms[0] * degrees(first), ground + arms[1] * degrees(second)
        return a, meet_circles(a, links[0], c, links[1], 1.0), c

    a, b, c = (complex(place) for place in places(*drawn))

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        turned = drives["input"]
        at = places(drawn[0] + turned, drawn[1] - ratio * turned)
        return dict(zip(("a", "b", "c"), at, strict=True))

    return Example(
        name=name,
        project=project(
            (frame(), *moving("left", "left-link", "right-link", "right")),
            (
                gearing("wheels", "o2", "o5", ratio),
                pivot("o2", FRAME, "left", 0),
                pivot("a", "left", "left-link", a),
                pivot("b", "left-link", "right-link", b),
                pivot("c", "right", "right-link", c),
                pivot("o5", "right", FRAME, ground),
            ),
            {"input": "o2"},
            (step("round", 6.0, {"input": 720.0}),),
        ),
        marks={"a": ("left-link", a), "b": ("left-link", b), "c": ("right", c)},
        answer=answer,
    )


def latched_leg(*, name: str) -> Example:
    """A collar on the leg's pivot: left where it is, taken along by a latch, left again where the latch lets go."""
    pin, tip = 10 + 0j, 30 + 2j

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        # Before 4 s nothing moves the collar; until 6 s it goes with the leg; then it stays.
        leg = drives["gear"]
        held = np.interp(times, [0.0, 4.0, 6.0, 8.0], [0.0, 0.0, 50.0, 50.0])
        return {"leg": -40j * degrees(leg), "collar": tip * degrees(held)}

    return Example(
        name=name,
        project=project(
            (*moving("collar"), frame(), *moving("leg")),
            (
                pivot("leg-pivot", FRAME, "leg", 0),
                pivot("collar-pivot", FRAME, "collar", 0),
                latch("lock", "collar", "leg", pin, pin),
            ),
            {"gear": "leg-pivot"},
            (
                step("up", 2.0, {"gear": 30.0}),
                step("down", 2.0, {"gear": 0.0}, engage=("lock",)),
                step("both-up", 2.0, {"gear": 50.0}),
                step("leg-down", 2.0, {"gear": 0.0}, release=("lock",)),
            ),
        ),
        marks={"leg": ("leg", -40j), "collar": ("collar", tip)},
        answer=answer,
        freedoms=2,
    )


def crane_trolley(*, name: str) -> Example:
    """A slide on a slide on a turning arm: travels and turn are the polar and Cartesian coordinates of the hook."""
    at = 20 + 5j
    along = complex(unit(3 + 4j))

    def answer(drives: Drives, times: Floats) -> dict[str, Points]:
        arm = degrees(drives["slew"])
        return {"hook": arm * (at + drives["run"] * along + drives["hoist"] * 1j * along)}

    return Example(
        name=name,
        project=project(
            (frame(), *moving("hook", "trolley", "arm")),
            (
                slide("hoist-rail", "trolley", "hook", at, 1j * along),
                slide("run-rail", "arm", "trolley", at, along),
                pivot("post", FRAME, "arm", 0),
            ),
            {"slew": "post", "run": "run-rail", "hoist": "hoist-rail"},
            (
                step("slew-round", 4.0, {"slew": 200.0, "run": -12.0}, profile="eased"),
                step("hoisting", 2.0, {"hoist": 9.0}, together_with="slew-round"),
            ),
        ),
        marks={"hook": ("hook", at)},
        answer=answer,
        freedoms=3,
    )
