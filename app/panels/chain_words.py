"""What moves a thing, as text with links: each drive, connection and body in it can be pressable by its id."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from html import escape

from core.findings.sentences import Names, joined, seconds
from core.motion.chains import Chain, Route
from core.motion.transmission import WANTED, Transmission

THING, MOMENT = "thing:", "moment:"
"""How links begin: what follows is an id, or seconds."""
ARROW = " → "
Chains = Mapping[str, tuple[Chain, ...]]


def link(thing: str, names: Names) -> str:
    return f'<a href="{THING}{escape(thing, quote=True)}">{escape(names(thing))}</a>'


def moved_by(chains: Sequence[Chain], moment: float, names: Names) -> tuple[str, ...]:
    """One paragraph for each drive that moves a body at a moment, and what else is to be said of it."""
    chain = chain_at(chains, moment)
    if chain is None or chain.fixed:
        return ("Nothing: it is fixed.",) if chain is not None else ()
    moving = [_route(route, names) for route in chain.routes if route.moves]
    said = moving or ["Nothing in this sequence." if chain.routes else "No drive."]
    if chain.loose:
        said.append("It is loose: it can move in a way that nothing drives or holds.")
    if chain.guides:
        said.append(f"Guided by {_listed(chain.guides, names)}.")
    holding = tuple(route.drive for route in chain.routes if not route.moves)
    if holding:
        said.append(f"Held by {_listed(holding, names)}, which {'rests' if len(holding) == 1 else 'rest'} here.")
    return tuple(said)


def moves(chains: Chains, moment: float, drive: str, names: Names) -> tuple[str, ...]:
    """The bodies that hang on a drive at a moment, nearest to it first."""
    far: dict[str, int] = {}
    for body, spans in chains.items():
        chain = chain_at(spans, moment)
        for route in chain.routes if chain is not None else ():
            if route.drive == drive:
                far[body] = len(route.bodies)
    ordered = sorted(far, key=lambda body: far[body])
    return (f"{_listed(ordered, names)}.",) if ordered else ("Nothing.",)


def pushes(found: Sequence[Transmission], thing: str, names: Names) -> tuple[str, ...]:
    """How well a rod, jack or link pushes what it drives, and how well what drives a body does."""
    return tuple(_push(one, names) for one in found if thing in (one.link, one.driven))


def chain_at(chains: Sequence[Chain], moment: float) -> Chain | None:
    """The one of the span that a moment lies in; at a latch's event the later one."""
    begun = [chain for chain in chains if chain.begin <= moment]
    return begun[-1] if begun else next(iter(chains), None)


def _route(route: Route, names: Names) -> str:
    """The drive, then connections and bodies by turns; a drive and a connection that are named alike are told once."""
    links = [link(route.drive, names)]
    for connection, body in zip(route.connections, route.bodies, strict=True):
        if names(connection) != names(route.drive):
            links.append(link(connection, names))
        links.append(f"<b>{link(body, names)}</b>" if body == route.bodies[-1] else link(body, names))
    return ARROW.join(links)


def _push(one: Transmission, names: Names) -> str:
    when = f'<a href="{MOMENT}{one.time!r}">{seconds(one.time)}</a>'
    poor = f" Practice asks for {WANTED:g}° at the least." if one.poor else ""
    who, whom = link(one.link, names), link(one.driven, names)
    return f"{who} pushes {whom} at {one.least:.1f}° where it is worst, at {when}.{poor}"


def _listed(things: Sequence[str], names: Names) -> str:
    return joined([link(thing, names) for thing in things])


Act = Callable[[str], None]


def follow(href: str, *, choose: Act, go_to: Callable[[float], None]) -> None:
    """Do what a link asks for."""
    if href.startswith(THING):
        choose(href.removeprefix(THING))
    elif href.startswith(MOMENT):
        go_to(float(href.removeprefix(MOMENT)))
