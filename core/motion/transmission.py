"""How well a rod, a jack, a slot or a link between two pivots pushes what it drives: its transmission angle.

It is the angle between the link's line and the arm of the body that it drives, from that body's own pivot to the
joint, folded to 0..90 degrees: at 90 all of the push turns the arm, at 0 it only loads the pivot (H. Alt, Der
Übertragungswinkel und seine Bedeutung für das Konstruieren periodischer Getriebe, Werkstattstechnik 26, 1932; S. S.
Balli, S. Chand, Transmission angle in mechanisms, Mech. Mach. Theory 37, 2002; from memory). A body that runs on a
slide is pushed best along it: there the angle is ninety degrees less that between the link and the slide. A pin and a
slot push each other square to the slot, so that its direction square to the slot is what counts as the link's line.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from core.geometry.planar import Complexes, Floats, point_at
from core.mechanism.mechanism import Kind, Link, Mechanism
from core.motion.assembly import Knot, Stage
from core.motion.chains import course_of, phases_of
from core.motion.motion import Motion
from core.motion.phase import Phase
from core.motion.steps import PinnedBar, PinnedTrack, SlidBar, SlidTrack, ThreePivots, TwoPivotsAndSlide

WANTED = 40.0
"""Degrees: common practice asks for at least 40 to 45, below which friction and play tell (no standard; e.g. R. L.
Norton, Design of Machinery, who names 40)."""
CLOSER = 33
"""Moments among which the least angle is looked for between two frames, twice over."""
End = tuple[int, complex]
"""A body, and a point of it as drawn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Transmission:
    """Of one link, and the body that it drives."""

    link: str
    """A rod, a jack, a slot, or a body between two pivots."""
    driven: str
    angles: Floats
    """(F,) degrees, 0 to 90, at the motion's frames; NaN while it drives nothing or what it joins does not meet."""
    least: float
    time: float
    """When it is least, found between the frames."""

    @property
    def poor(self) -> bool:
        return self.least < WANTED


@dataclass(frozen=True, slots=True)
class _Lever:
    link: str
    driven: int
    near: End
    far: End
    """Where the link acts on what it drives."""
    pivot: End | None = None
    """About which the driven body turns; without one it goes along `along` of the body `guide`."""
    guide: int = -1
    along: complex = 1 + 0j
    slot: End | None = None
    """The body that a slot is in, and its direction, where `far` is the pin in it."""

    def angles(self, poses: Floats) -> Floats:
        """(T,) degrees at poses (T, B, 3)."""
        there = _at(poses, self.far)
        push = there - _at(poses, self.near) if self.slot is None else 1j * _way(poses, self.slot)
        if self.pivot is not None:
            return _folded(push, there - _at(poses, self.pivot))
        return np.asarray(90.0 - _folded(push, _way(poses, (self.guide, self.along))))


def transmissions_of(motion: Motion) -> tuple[Transmission, ...]:
    """Of every rod, driven jack, slot and two-pivot link that drives something, in the order of solving."""
    course = course_of(motion)
    curves: dict[tuple[str, int], Floats] = {}
    levers: dict[tuple[str, int], list[tuple[_Lever, float, float]]] = {}
    for stretch in phases_of(course):
        phase = stretch.phase
        inside = (motion.times >= phase.begin) & (motion.times <= phase.end)
        for lever in _levers(course.mechanism, phase):
            key = (lever.link, lever.driven)
            curve = curves.setdefault(key, np.full(len(motion.times), np.nan))
            meets = inside & motion.assembled[:, [lever.near[0], lever.far[0], lever.driven]].all(axis=1)
            curve[meets] = lever.angles(motion.poses[meets])
            levers.setdefault(key, []).append((lever, phase.begin, phase.end))
    seen = {key: curve for key, curve in curves.items() if np.isfinite(curve).any()}
    searches = [_Search.of(motion, curve, levers[key]) for key, curve in seen.items()]
    for _ in range(2):
        _closer(motion, searches)
    return tuple(
        Transmission(link=link, driven=motion.bodies[driven], angles=curve, least=search.least, time=search.time)
        for ((link, driven), curve), search in zip(seen.items(), searches, strict=True)
    )


@dataclass(slots=True)
class _Search:
    """For the least angle of one link, between the frames about that at which it is least."""

    lever: _Lever
    least: float
    time: float
    low: float
    high: float

    @classmethod
    def of(cls, motion: Motion, curve: Floats, levers: list[tuple[_Lever, float, float]]) -> _Search:
        frame = int(np.nanargmin(curve))
        time = float(motion.times[frame])
        lever, begin, end = next(one for one in levers if one[1] <= time <= one[2])
        low, high = motion.times[max(frame - 1, 0)], motion.times[min(frame + 1, len(curve) - 1)]
        return cls(lever, float(curve[frame]), time, max(float(low), begin), min(float(high), end))

    def take(self, times: Floats, angles: Floats) -> None:
        best = int(np.argmin(angles))
        if angles[best] < self.least:
            self.least, self.time = float(angles[best]), float(times[best])
        self.low, self.high = float(times[max(best - 1, 0)]), float(times[min(best + 1, len(times) - 1)])


def _closer(motion: Motion, searches: list[_Search]) -> None:
    """All searches at once, since poses are had for many times together."""
    if not searches:
        return
    times = np.linspace([one.low for one in searches], [one.high for one in searches], CLOSER, axis=1)
    poses = motion.poses_at(times.ravel()).reshape(*times.shape, len(motion.bodies), 3)
    meets = motion.assembled_at(times.ravel()).reshape(*times.shape, len(motion.bodies))
    for number, one in enumerate(searches):
        angles = np.where(meets[number, :, one.lever.driven], one.lever.angles(poses[number]), np.inf)
        one.take(times[number], angles)


def _at(poses: Floats, end: End) -> Complexes:
    return point_at(poses[:, end[0]], end[1])


def _way(poses: Floats, way: End) -> Complexes:
    """A body's direction."""
    return np.asarray(np.exp(1j * poses[:, way[0], 2]) * way[1])


def _folded(one: Complexes, other: Complexes) -> Floats:
    """Degrees between two lines, 0 to 90; NaN where one has no length."""
    across = np.conj(one) * other
    angle = np.rad2deg(np.arctan2(np.abs(across.imag), np.abs(across.real)))
    return np.asarray(np.where(np.abs(across) > 0.0, angle, np.nan))


# ---- by the steps of the solver --------------------------------------------------------------------------------------


def _levers(mechanism: Mechanism, phase: Phase) -> Iterator[_Lever]:
    for stage in phase.plan.stages:
        match stage.step:
            case _ if stage.held:
                continue
            case PinnedBar() | SlidBar():
                yield from _of_bar(mechanism, stage)
            case PinnedTrack() | SlidTrack():
                yield from _of_track(mechanism, stage)
            case ThreePivots():
                yield from _of_three(mechanism, stage)
            case TwoPivotsAndSlide():
                yield from _of_slider(mechanism, stage)
            case Knot():
                yield from _of_knot(mechanism, stage)


def _of_bar(mechanism: Mechanism, stage: Stage) -> Iterator[_Lever]:
    """A rod or jack drives the group that it places; a rod that only stiffens one body's hinge on another does not."""
    step = stage.step
    assert isinstance(step, PinnedBar | SlidBar)
    link = mechanism.links[step.links[1]].id
    ends = (step.bar.here, step.bar.there)
    near, far = ends if stage.base == 0 else ends[::-1]
    if isinstance(step, SlidBar):
        yield _Lever(link, far[0], near, far, guide=step.run.first, along=step.run.along)
    elif step.drives or (step.at[0][0], step.at[1][0]) != (step.bar.here[0], step.bar.there[0]):
        yield _Lever(link, far[0], near, far, pivot=step.at[1] if stage.base == 0 else step.at[0])


def _of_track(mechanism: Mechanism, stage: Stage) -> Iterator[_Lever]:
    """A slot drives the pin's body by its own, or is driven by the pin's, whichever of the two is placed."""
    step = stage.step
    assert isinstance(step, PinnedTrack | SlidTrack)
    track = step.track
    slotted = track.on_first is not (stage.base == 0)
    driven, other = (track.line[0], track.pin[0]) if slotted else (track.pin[0], track.line[0])
    if len(step.links) < 2:  # a second slide, which has no pin
        return
    link, slot = mechanism.links[step.links[1]].id, (track.line[0], track.along)
    if isinstance(step, SlidTrack):
        yield _Lever(link, driven, track.line, track.pin, guide=step.run.first, along=step.run.along, slot=slot)
        return
    here, there = step.at if stage.base == 0 else step.at[::-1]
    if here[0] != other:
        yield _Lever(link, driven, track.line, track.pin, pivot=there, slot=slot)


def _of_three(mechanism: Mechanism, stage: Stage) -> Iterator[_Lever]:
    """Of the two that are placed, the one that hangs on what moves already drives the other."""
    step = stage.step
    assert isinstance(step, ThreePivots)
    # Of each placed group its joint with the base, as the base has it and as it has it, and its joint with the other.
    sides = {
        0: ((step.first[0], step.second[0], step.second[1]), (step.first[1], step.third[0], step.third[1])),
        1: ((step.second[0], step.first[0], step.first[1]), (step.second[1], step.third[1], step.third[0])),
        2: ((step.third[0], step.first[1], step.first[0]), (step.third[1], step.second[1], step.second[0])),
    }[stage.base]
    moving = [not mechanism.fixed[base[0]] for base, *_ in sides]
    inner = [_driven_inside(mechanism, stage, own[0]) if own[0] != joint[0] else None for _, own, joint in sides]
    if inner[0] is None and inner[1] is None and not any(moving):
        return
    first = inner[0] is not None or (inner[1] is None and moving[0])
    coupler, driven = sides if first else sides[::-1]
    name = inner[0 if first else 1] or mechanism.bodies[coupler[1][0]]
    yield _Lever(name, driven[2][0], coupler[1], driven[2], pivot=driven[1])


def _driven_inside(mechanism: Mechanism, stage: Stage, body: int) -> str | None:
    """The driven connection within the group of a body, such as that of a barrel and its piston."""
    group = next(group for group in stage.groups if body in group)
    inside = [link for link in mechanism.links if link.drive >= 0 and link.first in group and link.second in group]
    return inside[0].id if inside and -1 not in group and not any(mechanism.fixed[one] for one in group) else None


def _of_slider(mechanism: Mechanism, stage: Stage) -> Iterator[_Lever]:
    """A link on a crank pushes a slider, or is pushed by it."""
    step = stage.step
    assert isinstance(step, TwoPivotsAndSlide)
    if stage.base == 2:
        return
    near, far = step.third if stage.base == 0 else step.third[::-1]
    crank, slider = (step.here, step.there) if stage.base == 0 else (step.there, step.here)
    if not mechanism.fixed[crank[0]]:
        yield _Lever(
            mechanism.bodies[step.third[0][0]], slider[0], near, far, guide=step.run.first, along=step.run.along
        )


# ---- what has to be found together -----------------------------------------------------------------------------------


def _of_knot(mechanism: Mechanism, stage: Stage) -> Iterator[_Lever]:
    """Rods and jacks, and bodies between two pivots, that act on a body with a pivot or slide on what stands fixed."""
    links = [mechanism.links[number] for number in stage.step.links]
    guides = _guides(mechanism, links)
    for link in links:
        if link.kind in (Kind.ROD, Kind.JACK):
            yield from _guided(link.id, ((link.first, link.p), (link.second, link.q)), guides)
        if link.kind is Kind.SLOT:
            ends, slot = ((link.first, link.p), (link.second, link.q)), (link.first, link.along)
            yield from (replace(lever, far=ends[1], slot=slot) for lever in _guided(link.id, ends, guides))
    for body, ends in _between_two(links).items():
        if not mechanism.fixed[body] and body not in guides and not any(mechanism.fixed[end[0]] for end in ends):
            yield from _guided(mechanism.bodies[body], ends, guides)


def _guides(mechanism: Mechanism, links: list[Link]) -> dict[int, Link]:
    """Of bodies that turn or slide on what stands fixed, by no drive of their own, the pivot or slide."""
    guides: dict[int, Link] = {}
    for link in links:
        if link.kind in (Kind.PIVOT, Kind.SLIDE) and link.drive < 0:
            for one, other in (link.bodies, link.bodies[::-1]):
                if mechanism.fixed[one] and not mechanism.fixed[other]:
                    guides.setdefault(other, link)
    return guides


def _between_two(links: list[Link]) -> dict[int, tuple[End, End]]:
    """Of bodies with just two pivots among these, the pivots as the bodies have them that they join to."""
    joints: dict[int, list[End]] = {}
    for link in links:
        if link.kind is Kind.PIVOT:
            joints.setdefault(link.first, []).append((link.second, link.q))
            joints.setdefault(link.second, []).append((link.first, link.p))
    return {body: (ends[0], ends[1]) for body, ends in joints.items() if len(ends) == 2}


def _guided(name: str, ends: tuple[End, End], guides: dict[int, Link]) -> Iterator[_Lever]:
    """The end whose body turns or slides on what stands fixed is driven; where both do, both are told."""
    for near, far in (ends, ends[::-1]):
        guide = guides.get(far[0])
        if guide is None:
            continue
        if guide.kind is Kind.PIVOT:
            own = guide.q if guide.second == far[0] else guide.p
            yield _Lever(name, far[0], near, far, pivot=(far[0], own))
        else:
            yield _Lever(name, far[0], near, far, guide=guide.first, along=guide.along)
