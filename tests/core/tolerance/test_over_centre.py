"""Which braces lock: told by their course, with offsets that can be worked out by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from core.document.project import Project
from core.mechanism.build import build
from core.motion.schedule import lay_out
from core.motion.solve import solve_motion
from core.tolerance.over_centre import Brace, braces_of
from tests.mechanisms.sketch import frame, moving, pivot, project, slide, step

LINK = 60.0


def braces(one: Project) -> tuple[Brace, ...]:
    mechanism, schedule = build(one), lay_out(one.sequences[0])
    motion = solve_motion(mechanism, schedule, np.linspace(0.0, schedule.seconds, 41))
    assert motion.assembled.all()
    return braces_of(mechanism, motion)


def leg_with_brace(past: float, turn: float) -> Project:
    """Two links of 60 mm with the elbow `past` mm above the line between their far ends; a leg hangs from 90 mm above
    the far one. The upper link is turned by `turn` degrees."""
    half = math.sqrt(LINK**2 - past**2)
    return project(
        (frame(), *moving("upper", "lower", "leg")),
        (
            pivot("top", "frame", "upper", 0j),
            pivot("elbow", "upper", "lower", complex(half, past)),
            pivot("foot", "lower", "leg", complex(2.0 * half, 0.0)),
            pivot("leg-pivot", "frame", "leg", complex(2.0 * half, 90.0)),
        ),
        {"fold": "top"},
        (step("fold", 1.0, {"fold": turn}),),
    )


def test_a_brace_that_folds_through_the_line_locks_where_it_stands_past_it():
    (found,) = braces(leg_with_brace(1.5, -40.0))
    assert (found.time, found.offset) == (0.0, pytest.approx(1.5))


def test_a_brace_that_folds_away_from_the_line_locks_nothing():
    assert braces(leg_with_brace(1.5, 40.0)) == ()


def test_a_brace_that_does_not_fold_props_the_leg_at_both_ends_of_the_sequence():
    found = braces(leg_with_brace(1.5, 0.0))
    assert [(one.time, one.offset) for one in found] == [(0.0, pytest.approx(1.5)), (1.0, pytest.approx(1.5))]


def test_one_that_is_folded_as_drawn_is_found_where_it_ends_past_the_line():
    """Driven from 30° below the line to where its elbow has passed it: the foot's course is a circle about the leg's
    pivot, and the offset follows from the three sides of elbow, top and foot (Heron's formula)."""
    half = LINK * math.cos(math.radians(30.0))
    one = project(
        (frame(), *moving("upper", "lower", "leg")),
        (
            pivot("top", "frame", "upper", 0j),
            pivot("elbow", "upper", "lower", complex(half, -30.0)),
            pivot("foot", "lower", "leg", complex(2.0 * half, 0.0)),
            pivot("leg-pivot", "frame", "leg", complex(2.0 * half, 90.0)),
        ),
        {"fold": "top"},
        (step("straighten", 1.0, {"fold": 32.0}),),
    )
    mechanism, schedule = build(one), lay_out(one.sequences[0])
    motion = solve_motion(mechanism, schedule, np.linspace(0.0, 1.0, 41))
    leg = motion.poses[-1, 3]
    foot = complex(leg[0], leg[1]) + np.exp(1j * leg[2]) * 2.0 * half
    span = abs(foot)
    area = 0.5 * span * math.sqrt(LINK**2 - (span / 2.0) ** 2)
    (found,) = braces(one)
    assert (found.time, found.offset) == (1.0, pytest.approx(2.0 * area / span, abs=1e-6))


def oleo(stroke: float, *, fixed: bool) -> Project:
    """A piston in a leg, with torque links of 20 mm that stand 1.5 mm off the line while it hangs."""
    half = math.sqrt(20.0**2 - 1.5**2)
    bodies = (frame("leg"),) if fixed else (frame(), *moving("leg"))
    hip = () if fixed else (pivot("hip", "frame", "leg", 60j),)
    return project(
        (*bodies, *moving("piston", "upper", "lower")),
        (
            *hip,
            slide("guide", "leg", "piston", 0j, 1j),
            pivot("upper-pin", "leg", "upper", complex(10.0, half)),
            pivot("knee", "upper", "lower", 11.5 + 0j),
            pivot("lower-pin", "lower", "piston", complex(10.0, -half)),
        ),
        {"stroke": "guide"} | ({} if fixed else {"hip": "hip"}),
        (step("press", 1.0, {"stroke": stroke}),),
    )


@pytest.mark.parametrize("fixed", [True, False])
@pytest.mark.parametrize("stroke", [12.0, 0.0])
def test_torque_links_lock_nothing(stroke: float, fixed: bool):
    assert braces(oleo(stroke, fixed=fixed)) == ()
