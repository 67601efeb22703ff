"""A linkage that goes out and comes back between two frames, so quickly that no frame shows anything of it.

A shuttle passes a slotted lever's pivot at a small distance and throws the lever over by half a turn (the slotted
lever's turn is the arc tangent of its pin's place: e.g. J. J. Uicker, G. R. Pennock, J. E. Shigley, Theory of Machines
and Mechanisms, on quick returns). A wheel geared to it two to one turns once right round, and the blade that its crank
works goes out by twice the crank and comes back to where it was. Only the blade has an outline.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from core.document.project import (
    Aircraft,
    Body,
    Drive,
    Gearing,
    Move,
    Pivot,
    Project,
    Rod,
    Sequence,
    Slide,
    Slot,
    Step,
    View,
)
from core.interference.check import interfere
from core.interference.interference import Interference
from core.interference.pairs import checked_pairs
from core.interference.placement import parts_of
from core.mechanism.build import build
from core.motion.motion import Motion
from core.motion.schedule import frame_times, lay_out
from core.motion.solve import solve_motion
from tests.core.interference.scenes import box

BEGIN, END = -41.3, 58.9
MIDDLE = -BEGIN / (END - BEGIN)
"""When the shuttle passes the pivot, seconds."""
CRANK, ROD = 20.0, 50.0


def whisk(distance: float) -> Project:
    """The shuttle goes steadily from BEGIN to END in a second and passes the pivot at a `distance`, mm."""
    aside = math.atan2(distance, BEGIN)
    blade = 100.0 + CRANK - ROD
    return Project(
        aircraft=Aircraft(name="Pellow 3"),
        views=(View(id="side", plane="side"),),
        bodies=(
            Body(id="frame", view="side", fixed=True),
            Body(id="post", view="side", fixed=True, shapes=(box(60.0, -1.0, 60.05, 1.0),)),
            *(Body(id=name, view="side") for name in ("shuttle", "lever", "wheel")),
            Body(id="blade", view="side", shapes=(box(blade - 1.0, -0.5, blade + 2.0, 0.5),)),
        ),
        connections=(
            Slide(id="rail", bodies=("frame", "shuttle"), at=(BEGIN, distance), along=(1.0, 0.0)),
            Pivot(id="lever-pivot", bodies=("frame", "lever"), at=(0.0, 0.0)),
            Slot(
                id="slot",
                bodies=("lever", "shuttle"),
                at=(BEGIN, distance),
                start=(0.0, 0.0),
                end=(200.0 * math.cos(aside), 200.0 * math.sin(aside)),
            ),
            Pivot(id="wheel-pivot", bodies=("frame", "wheel"), at=(100.0, 0.0)),
            Gearing(id="gears", pivots=("lever-pivot", "wheel-pivot"), ratio=2.0),
            Slide(id="guide", bodies=("frame", "blade"), at=(blade, 0.0), along=(1.0, 0.0)),
            Rod(id="rod", bodies=("wheel", "blade"), ends=((100.0 + CRANK, 0.0), (blade, 0.0))),
        ),
        drives=(Drive(id="go", on="rail"),),
        sequences=(
            Sequence(
                id="run",
                steps=(Step(id="pass", duration=1.0, moves=(Move(drive="go", to=END - BEGIN, profile="steady"),)),),
            ),
        ),
    )


def solved(project: Project) -> Motion:
    schedule = lay_out(project.sequences[0])
    return solve_motion(build(project), schedule, frame_times(schedule, 41))


def checked(project: Project, motion: Motion) -> Interference:
    parts = parts_of(project)
    return interfere(parts, checked_pairs(project, parts), motion)


def blade_by_hand(distance: float, times: np.ndarray) -> np.ndarray:
    """How far the blade has gone: the wheel has turned twice as far as the pin's direction from the pivot."""
    along = BEGIN + (END - BEGIN) * times
    turn = 2.0 * (np.arctan2(along, distance) - math.atan2(BEGIN, distance))
    return CRANK * (np.cos(turn) - 1.0) + ROD - np.sqrt(ROD**2 - (CRANK * np.sin(turn)) ** 2)


@pytest.mark.parametrize("distance", [1e-4, 1e-5, 1e-6])
def test_the_blade_does_go_there_and_no_frame_shows_it(distance: float) -> None:
    motion = solved(whisk(distance))
    blade = motion.bodies.index("blade")
    close = MIDDLE + distance / (END - BEGIN) * np.linspace(-20.0, 20.0, 81)
    there = motion.poses_at(close)[:, blade, 0]
    assert there == pytest.approx(blade_by_hand(distance, close), abs=1e-3)
    assert there.min() == pytest.approx(-2.0 * CRANK, abs=0.01)
    assert np.abs(motion.poses[:, blade, 0]).max() < 1e-2


@pytest.mark.parametrize("distance", [1e-3, 1e-4, 1e-5])
def test_what_happens_between_two_frames_is_found_by_the_equations(distance: float) -> None:
    """Past the post and back, at the nearest within a millionth of the sequence."""
    project = whisk(distance)
    motion = solved(project)
    found = checked(project, motion)
    assert found.track.sure.all()
    contacts = [one for one in found.contacts if set(one.parts) == {"post", "blade"}]
    assert contacts
    assert min(one.begin for one in contacts) <= MIDDLE <= max(one.end for one in contacts)


@pytest.mark.parametrize("distance", [1e-5, 1e-6])
def test_without_the_equations_nothing_of_it_is_seen(distance: float) -> None:
    """Which is why a motion that comes without them is never said to be bounded by any."""
    project = whisk(distance)
    found = checked(project, replace(solved(project), course=None))
    assert not found.contacts
    assert not found.track.proved.any()


@pytest.mark.parametrize("distance", [1e-6, 1e-8])
def test_what_is_too_quick_to_be_followed_is_called_unsure(distance: float) -> None:
    """Within a hundred-millionth of the sequence."""
    project = whisk(distance)
    found = checked(project, solved(project))
    assert not found.track.sure[found.track.parts.ids.index("blade")]
    assert not any(one.proved for one in found.clearances)
