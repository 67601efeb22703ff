"""Checks of what is named: every id once, every reference to something that is there and of the right sort."""

from __future__ import annotations

import re
from collections.abc import Iterator

from core.document.acceptance_checks import acceptance_problems
from core.document.json_text import shown
from core.document.names import DRIVEN, Ids, all_ids, ids_of, is_part, joined, latches, problem
from core.document.need_checks import need_problems
from core.document.problem import Place, Problem, place_text
from core.document.project import Gearing, Moment, Pivot, Project, Sequence


def reference_problems(project: Project) -> Iterator[Problem]:
    ids = ids_of(project)
    yield from _ids(project)
    yield from _views(project, ids)
    yield from _connections(project, ids)
    yield from _drives(project, ids)
    for index, sequence in enumerate(project.sequences):
        yield from _start(project, ids, index, sequence)
        yield from _steps(project, ids, index, sequence)
    yield from need_problems(project, ids)
    yield from _pairs(project, ids)
    yield from acceptance_problems(project, ids)
    for index, target in enumerate(project.targets):
        if target.body not in ids.bodies:
            yield ids.unknown(("targets", index, "body"), target.body, set(ids.bodies), "body", target.id)
        yield from moment_problems(ids, ("targets", index, "at"), target.at, target.id)
    for index, path in enumerate(project.paths):
        if path.body not in ids.bodies:
            yield ids.unknown(("paths", index, "body"), path.body, set(ids.bodies), "body", path.id)


def _ids(project: Project) -> Iterator[Problem]:
    seen: dict[str, Place] = {}
    for path, thing_id in all_ids(project):
        if not re.fullmatch(r"[a-z0-9][a-z0-9_\-]{0,63}", thing_id):
            wrong = f"{shown(thing_id)} is no id"
            yield problem((*path, "id"), wrong, "lower-case letters, digits, - and _", thing=thing_id)
        if thing_id in seen:
            wrong = f"the id {thing_id!r} is already that of {place_text(seen[thing_id])}"
            yield problem((*path, "id"), wrong, "every id once in the file", thing=thing_id)
        seen.setdefault(thing_id, path)


def _views(project: Project, ids: Ids) -> Iterator[Problem]:
    views = {view.id for view in project.views}
    for index, body in enumerate(project.bodies):
        if body.view not in views:
            yield ids.unknown(("bodies", index, "view"), body.view, views, "view", body.id)


def _connections(project: Project, ids: Ids) -> Iterator[Problem]:
    for index, connection in enumerate(project.connections):
        path: Place = ("connections", index)
        if isinstance(connection, Gearing):
            yield from _gearing(ids, path, connection)
        elif (pair := joined(connection)) is not None:
            yield from _two_bodies(ids, (*path, "bodies"), pair, connection.id)


def _two_bodies(ids: Ids, path: Place, pair: tuple[str, str], thing: str) -> Iterator[Problem]:
    missing = [place for place, body in enumerate(pair) if body not in ids.bodies]
    for place in missing:
        yield ids.unknown((*path, place), pair[place], set(ids.bodies), "body", thing)
    if missing:
        return
    if pair[0] == pair[1]:
        yield problem(path, f"joins {pair[0]!r} to itself", "two different bodies are needed", thing=thing)
    first, second = (ids.bodies[body].view for body in pair)
    if first != second:
        wrong = f"joins {pair[0]!r} in view {first!r} to {pair[1]!r} in view {second!r}"
        yield problem(path, wrong, "both bodies in one view; a gearing couples views", thing=thing)


def _gearing(ids: Ids, path: Place, gearing: Gearing) -> Iterator[Problem]:
    pivots = {one.id for one in ids.connections.values() if isinstance(one, Pivot)}
    for place, pivot in enumerate(gearing.pivots):
        if pivot not in pivots:
            yield ids.unknown((*path, "pivots", place), pivot, pivots, "pivot", gearing.id)
    if gearing.pivots[0] == gearing.pivots[1]:
        wrong = f"gears {gearing.pivots[0]!r} to itself"
        yield problem((*path, "pivots"), wrong, "two different pivots are needed", thing=gearing.id)


def _drives(project: Project, ids: Ids) -> Iterator[Problem]:
    possible = {one.id for one in ids.connections.values() if isinstance(one, DRIVEN)}
    taken: dict[str, str] = {}
    for index, drive in enumerate(project.drives):
        path: Place = ("drives", index, "on")
        if drive.on not in possible:
            yield ids.unknown(path, drive.on, possible, "pivot, slide or jack", drive.id)
            continue
        if drive.on in taken:
            wrong = f"{drive.on!r} is already driven by {taken[drive.on]!r}"
            yield problem(path, wrong, "one drive a connection", thing=drive.id)
        taken.setdefault(drive.on, drive.id)
        if drive.servo is not None and not isinstance(ids.connections[drive.on], Pivot):
            wrong = f"a servo turns a pivot, and {drive.on!r} is none"
            yield problem(("drives", index, "servo"), wrong, "a drive on a pivot, or no servo", thing=drive.id)
        pair = joined(ids.connections[drive.on]) or ()
        if all(body in ids.bodies and ids.bodies[body].fixed for body in pair):
            wrong = f"{drive.on!r} joins two fixed bodies, which nothing can move"
            yield problem(path, wrong, "a connection of a body that moves", thing=drive.id)


def _start(project: Project, ids: Ids, index: int, sequence: Sequence) -> Iterator[Problem]:
    drives = {drive.id for drive in project.drives}
    for drive in sequence.start:
        if drive not in drives:
            yield ids.unknown(("sequences", index, "start", drive), drive, drives, "drive", sequence.id)


def _steps(project: Project, ids: Ids, index: int, sequence: Sequence) -> Iterator[Problem]:
    path: Place = ("sequences", index)
    drives = {drive.id for drive in project.drives}
    held = latches(project)
    steps = {step.id for step in sequence.steps}
    for number, step in enumerate(sequence.steps):
        here: Place = (*path, "steps", number)
        for where, word in (("after", step.after), ("with", step.together_with)):
            if word is not None and word not in steps:
                yield ids.unknown((*here, where), word, steps, "step of this sequence", step.id)
        for place, move in enumerate(step.moves):
            if move.drive not in drives:
                yield ids.unknown((*here, "moves", place, "drive"), move.drive, drives, "drive", step.id)
        latched = [("engage", *one) for one in enumerate(step.engage)]
        latched += [("release", *one) for one in enumerate(step.release)]
        for key, place, word in latched:
            if word not in held:
                yield ids.unknown((*here, key, place), word, held, "latch", step.id)


def _pairs(project: Project, ids: Ids) -> Iterator[Problem]:
    views = {body.id: body.view for body in project.bodies}
    for connection in project.connections:
        pair = joined(connection)
        if is_part(connection) and pair is not None:
            views[connection.id] = views.get(pair[0], "")
    seen: dict[frozenset[str], int] = {}
    for index, rule in enumerate(project.pairs):
        path: Place = ("pairs", index, "bodies")
        missing = [place for place, part in enumerate(rule.bodies) if part not in views]
        for place in missing:
            yield _not_a_part(ids, (*path, place), rule.bodies[place], set(views))
        if missing:
            continue
        one, other = rule.bodies
        if one == other:
            yield problem(path, f"pairs {one!r} with itself", "two different bodies are needed")
        elif views[one] != views[other] and not _across(project, views[one], views[other]):
            wrong = f"{one!r} is in view {views[one]!r} and {other!r} in view {views[other]!r}"
            yield problem(path, wrong, "a pair is checked in one view, or across two of side, front and plan")
        if (first := seen.setdefault(frozenset(rule.bodies), index)) != index:
            yield problem(path, f"{one!r} and {other!r} are already paired at pairs[{first}]", "one rule a pair")


def _across(project: Project, view: str, other: str) -> bool:
    """Whether two views draw two different planes of the same aircraft, so that what they draw can meet."""
    planes = {one.plane for one in project.views if one.id in (view, other)}
    return len(planes) == 2 and "other" not in planes


def _not_a_part(ids: Ids, path: Place, word: str, parts: set[str]) -> Problem:
    if ids.kinds.get(word) in ("rod", "jack"):
        wrong = f"the {ids.kinds[word]} {word!r} has no width, so that nothing can touch it"
        return problem(path, wrong, "give it one")
    return ids.unknown(path, word, parts, "body, or rod or jack with a width", "")


def moment_problems(ids: Ids, path: Place, moment: Moment, thing: str) -> Iterator[Problem]:
    """A moment names a step or a time, and its sequence where that does not follow from the step.

    A time after the sequence's end is its end: shortening a step must not make a project senseless.
    """
    if moment.sequence is not None and moment.sequence not in ids.sequences:
        yield ids.unknown((*path, "sequence"), moment.sequence, set(ids.sequences), "sequence", thing)
        return
    if (moment.at is None) == (moment.after is None):
        what = "both at and after stand there" if moment.at is not None else "neither at nor after stands there"
        yield problem(path, what, 'either "at": "start", "end" or seconds, or "after": a step', thing=thing)
    if isinstance(moment.at, float) and moment.at < 0.0:
        wrong = f"{moment.at:g} s is before the sequence begins"
        yield problem((*path, "at"), wrong, "0 s or later", thing=thing)
    if not ids.sequences:
        yield problem(path, "the project has no sequence", "a moment needs one", thing=thing)
    if moment.after is None:
        return
    named = [ids.sequences[moment.sequence]] if moment.sequence is not None else list(ids.sequences.values())
    steps = {step.id for sequence in named for step in sequence.steps}
    if moment.after not in steps:
        what = "step" if moment.sequence is None else f"step of sequence {moment.sequence!r}"
        yield ids.unknown((*path, "after"), moment.after, steps, what, thing)
