"""What moves each body, told in plain words and in JSON: its chain, how well each link pushes, how loose ones move."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from core.document.project import Project
from core.findings.sentences import Names, seconds
from core.motion.chains import Chain, Route, chains_of
from core.motion.cures import Cure, cure_of
from core.motion.looseness import looseness_of
from core.motion.motion import Motion
from core.motion.nearness import Nearness, nearness_of
from core.motion.surplus import Fight, Surplus, fights_of, surplus_of
from core.motion.transmission import WANTED, Transmission, transmissions_of
from core.motion.trouble import Jam, Loose
from core.units import number

Json = dict[str, Any]
NEAR_SHOWN = 5


def chain_sentence(chain: Chain, names: Names) -> str:
    """What moves a body, as one would say it at the bench."""
    if chain.fixed:
        return "It is fixed: nothing moves it."
    moving = [route for route in chain.routes if route.moves]
    holding = [route for route in chain.routes if not route.moves]
    said = [_route(route, names) for route in moving]
    if not moving:
        said = ["It stays where it is in this sequence" if holding else "No drive moves it"]
    if chain.loose:
        said.append("it is loose: it can move in a way that nothing drives or holds")
    if chain.guides:
        said.append(f"it is guided by {names.listed(chain.guides)}")
    if holding:
        drives = tuple(route.drive for route in holding)
        said.append(f"{names.listed(drives)} {'holds' if len(drives) == 1 else 'hold'} it, at rest in this sequence")
    return "; ".join(said) + "."


def _route(route: Route, names: Names) -> str:
    drive, first = names(route.drive), route.bodies[0]
    on = names(route.connections[0])
    parts = [f"{drive} moves {names(first)}" + ("" if on == drive else f" at {on}")]
    hops = zip(route.connections[1:], route.bodies[1:], strict=True)
    parts += [f"{names(body)} follows by {names(connection)}" for connection, body in hops]
    return ", ".join(parts)


def transmission_sentence(one: Transmission, names: Names) -> str:
    poor = f", under the {WANTED:g}° that practice asks for" if one.poor else ""
    return (
        f"{names(one.link)} pushes {names(one.driven)} at {one.least:.1f}° where it is worst, "
        f"at {seconds(one.time)}{poor}."
    )


def friction_sentence(joints: Sequence[str], names: Names) -> str:
    """What alone keeps a loose body in place."""
    if not joints:
        return "Nothing at all holds it."
    return f"Only friction at {names.listed(tuple(joints))} would hold it."


def surplus_sentence(one: Surplus, names: Names) -> str:
    return f"Any one of {names.listed(one.connections)} is too many."


def fight_sentence(one: Fight, names: Names) -> str:
    who = names.listed(one.drives)
    if one.agree:
        return f"{who} move the same freedom; they are asked for what agrees, and would fight if they were not exact."
    return f"{who} fight each other at {seconds(one.time)}: they move the same freedom and are asked for what differs."


def cure_sentence(jam: Jam, cure: Cure | None, names: Names) -> str:
    who = names.listed(jam.connections or jam.bodies)
    if cure is None:
        return f"{who}: no one rod or jack that is longer or shorter would do."
    change = "longer" if cure.by > 0.0 else "shorter"
    return f"{who}: with {names(cure.connection)} {names.length(abs(cure.by), 1)} {change} they would not jam."


def nearness_sentence(one: Nearness, names: Names) -> str:
    what = names.listed(one.connections)
    if one.distance < 0.0:
        return f"{what}: past the dead centre, short by {names.length(-one.distance)} at {seconds(one.time)}."
    return f"{what}: {names.length(one.distance)} from the dead centre at {seconds(one.time)}."


# ---- a whole sequence ------------------------------------------------------------------------------------------------


def to_json(motion: Motion, body: str | None = None) -> Json:
    """All of it, or what concerns one body."""
    wanted: Callable[[str], bool] = lambda one: body is None or one == body  # noqa: E731
    return {
        "bodies": {
            one: [_chain(chain) for chain in chains] for one, chains in chains_of(motion).items() if wanted(one)
        },
        "transmission": [
            {"link": one.link, "drives": one.driven, "least": number(one.least), "time": number(one.time)}
            for one in transmissions_of(motion) if wanted(one.link) or wanted(one.driven)
        ],
        "loose": [_loose(motion, one) for one in _loose_sets(motion) if body is None or body in one.bodies],
    } | ({} if body is not None else {
        "too_many": [{"connections": list(one.connections), "drives": list(one.drives)} for one in surplus_of(motion)],
        "cures": [
            {"connections": list(jam.connections), "rod": cure.connection, "longer_by": number(cure.by)}
            for jam in motion.troubles if isinstance(jam, Jam) and (cure := cure_of(motion, jam)) is not None
        ],
        "fighting": [
            {"drives": list(one.drives), "connections": list(one.connections), "time": number(one.time),
             "agree": one.agree} for one in fights_of(motion)
        ],
        "dead_centres": [
            {"drives": list(one.drives), "connections": list(one.connections), "distance": number(one.distance),
             "time": number(one.time)} for one in nearness_of(motion)
        ],
    })  # fmt: skip


def _chain(chain: Chain) -> Json:
    routes = [
        {"drive": one.drive, "moves": one.moves, "connections": list(one.connections), "bodies": list(one.bodies)}
        for one in chain.routes
    ]
    return {
        "from": number(chain.begin), "to": number(chain.end), "fixed": chain.fixed, "loose": chain.loose,
        "routes": routes, "guides": list(chain.guides),
    }  # fmt: skip


def _loose(motion: Motion, one: Loose) -> Json:
    joints = looseness_of(motion, one, one.begin).joints
    return {
        "bodies": list(one.bodies), "freedoms": one.freedoms, "from": number(one.begin), "to": number(one.end),
        "joints": [list(each) for each in joints],
    }  # fmt: skip


def _loose_sets(motion: Motion) -> list[Loose]:
    return [one for one in motion.troubles if isinstance(one, Loose)]


def to_text(project: Project, motion: Motion, body: str | None = None) -> str:
    """The same in words, a line a body and a line for whatever else there is."""
    names = Names(project)
    lines: list[str] = []
    for one, chains in chains_of(motion).items():
        if body is None or one == body:
            lines += [f"  {_head(chain, len(chains), names)}: {chain_sentence(chain, names)}" for chain in chains]
    pushes = [one for one in transmissions_of(motion) if body in (None, one.link, one.driven)]
    lines += _under("How well the links push", [transmission_sentence(one, names) for one in pushes])
    lines += _under("How loose bodies could move", [
        f"{names.listed(one.bodies)}: {friction_sentence(joints, names)}"
        for one in _loose_sets(motion) if body is None or body in one.bodies
        for joints in looseness_of(motion, one, one.begin).joints
    ])  # fmt: skip
    if body is None:
        lines += _under("Sets with one too many", [surplus_sentence(one, names) for one in surplus_of(motion)])
        lines += _under("Drives on one freedom", [fight_sentence(one, names) for one in fights_of(motion)])
        jams = [one for one in motion.troubles if isinstance(one, Jam)]
        lines += _under("What would cure a jam", [cure_sentence(one, cure_of(motion, one), names) for one in jams])
        near = [nearness_sentence(one, names) for one in nearness_of(motion)[:NEAR_SHOWN]]
        lines += _under("Nearest to a dead centre", near)
    return "\n".join(lines)


def _head(chain: Chain, count: int, names: Names) -> str:
    span = "" if count == 1 else f", from {seconds(chain.begin)} to {seconds(chain.end)}"
    return f"{names(chain.body)}{span}"


def _under(heading: str, said: list[str]) -> list[str]:
    return [f"  {heading}:", *(f"    {one}" for one in said)] if said else []
