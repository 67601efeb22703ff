"""The Merrow once more, with three faults of the kind that builders make, for what a check has to find.

The small door's rod was left out, so that nothing holds the door. The sequence valve's rod was cut 2.5 mm short: it
reaches with the leg down and with the leg up, and jams between. The main door's jack was left unthrottled and its valve
set too soon, so that the door slams while the leg is still on its way: for a fiftieth of a second, between two of the
usual forty frames a second, the root of its horn is where the tyre is.
"""

from __future__ import annotations

from msgspec.structs import replace

from core.document.project import Project, Sequence, Step, View
from sample_projects.tools.merrow_parts import valve_lever
from sample_projects.tools.merrow_t2 import merrow_t2, valve_rod

SHORT_VALVE_ROD = 14.0
HASTE, HURRIED = 2.695, 0.3
"""Seconds after the leg begins to move at which the main door does, and how long it takes."""


def merrow_t2_flawed(views: tuple[View, ...]) -> Project:
    sound = merrow_t2(views)
    return replace(
        sound,
        aircraft=replace(
            sound.aircraft,
            note="Nose undercarriage with three faults: a loose door, a rod that jams, and a tyre that clips a door.",
        ),
        bodies=tuple(valve_lever(SHORT_VALVE_ROD) if body.id == "valve-lever" else body for body in sound.bodies),
        connections=tuple(
            valve_rod(SHORT_VALVE_ROD) if one.id == "valve-rod" else one
            for one in sound.connections
            if one.id != "door-rod"
        ),
        sequences=tuple(_hurried(one) if one.id == "retract" else one for one in sound.sequences),
        pairs=tuple(rule for rule in sound.pairs if "door-rod" not in rule.bodies),
        targets=tuple(target for target in sound.targets if target.body != "small-door"),
    )


def _hurried(sequence: Sequence) -> Sequence:
    return replace(sequence, steps=tuple(_in_haste(step) for step in sequence.steps))


def _in_haste(step: Step) -> Step:
    if step.id == "doors-close":
        return replace(step, together_with="leg-up", delay=HASTE, duration=HURRIED)
    return step
