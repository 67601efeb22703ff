"""The Skarn once more, with three faults in what was bought and set.

The inner door's jack has a stroke of 28 mm where 32 is asked for. The brace jack's stop was set 0.6 mm too far out: the
leg does not quite get up, and the catch cannot take the roller. And the wheel door has a second trim link, which holds
what the first one holds already, so that one of them is always strained.
"""

from __future__ import annotations

from msgspec.structs import replace

from core.document.project import Connection, Jack, Move, Project, Rod, Sequence, View
from sample_projects.tools import skarn_layout as at
from sample_projects.tools.shapes import neat
from sample_projects.tools.skarn_p9 import skarn_p9

SHORT_STROKE = 28.0
STOP_TOO_FAR = 0.6
SECOND_TRIM = 40.0
"""How far above the first trim link the second is."""


def skarn_p9_flawed(views: tuple[View, ...]) -> Project:
    sound = skarn_p9(views)
    connections: list[Connection] = []
    for one in sound.connections:
        if isinstance(one, Jack) and one.id == "door-jack":
            connections.append(replace(one, stroke=SHORT_STROKE))
        else:
            connections.append(one)
        if isinstance(one, Rod) and one.id == "door-trim":
            (x, y), (to_x, to_y) = one.ends
            ends = ((x, y + SECOND_TRIM), (to_x, to_y + SECOND_TRIM))
            connections.append(replace(one, id="door-trim-2", name="Second trim link", ends=ends))
    return replace(
        sound,
        aircraft=replace(
            sound.aircraft,
            note="Port main undercarriage with three faults: a jack too short, a stop too far out, a link too many.",
        ),
        connections=tuple(connections),
        sequences=tuple(_stopped_short(one) if one.id == "retract" else one for one in sound.sequences),
    )


def _stopped_short(sequence: Sequence) -> Sequence:
    short = (Move(drive="gear", to=neat(at.JACK_UP + STOP_TOO_FAR), profile="eased"),)
    steps = (replace(step, moves=short) if step.id == "leg-up" else step for step in sequence.steps)
    return replace(sequence, steps=tuple(steps))
