"""What each command does. Qt is imported only by those that open a window or paint, and the solver where it is needed.

A file that cannot be read is refused before the solver's libraries have had their half second to load.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from app import __version__
from app.command_line.output import complain, say, say_json
from core.document import packing
from core.document.newer import notice
from core.document.project import Project
from core.document.project_file import read_project
from core.trials.fault import Single


def check(*, project: Path, sequence: str | None, frames: int | None, as_json: bool) -> int:
    """Status 1 where anything was found, a figure outside its published tolerance included."""
    read = _read(project)
    from core.report import to_json, to_text
    from core.study import run

    study = run(read, sequence=sequence, frames=frames)
    if as_json:
        say_json(to_json(study))
    else:
        say(to_text(study))
    return int(any(one.findings for one in study.sequences) or any(one.is_off for one in study.figures))


def poses(*, project: Path, sequence: str, times: Sequence[float], as_json: bool) -> int:
    """Status 1 where a body could not be brought to where it should be."""
    read = _read(project)
    from app.command_line.moments import moments, moments_in_words

    answer = moments(read, sequence, times)
    if as_json:
        say_json({"poses": answer})
    else:
        say(moments_in_words(read, sequence, answer))
    return int(any("held" in moment for moment in answer))


def moves(*, project: Path, sequence: str | None, body: str | None, as_json: bool) -> int:
    """Status 1 where something is loose among what was asked about."""
    read = _read(project)
    from app.command_line.moves import any_loose, moves_in_words, moves_json, solved

    motions = solved(read, sequence, body)
    if as_json:
        say_json(moves_json(read, motions, body))
    else:
        say(moves_in_words(read, motions, body))
    return int(any_loose(motions, body))


def trials(
    *, project: Path, sequence: str | None, faults: Sequence[Single] | None, waits: bool, together: bool, pairs: bool,
    as_json: bool,
) -> int:  # fmt: skip
    """Status 1 where a fault brings what the sound sequence does not have, or has less of."""
    read = _read(project)
    from app.command_line.trials import any_harm, tried
    from core.trials.told import to_json, to_text

    answers = tried(read, sequence=sequence, faults=faults or (), waits=waits, at_once=together, pairs=pairs)
    if as_json:
        say_json(to_json(read, answers))
    else:
        say(to_text(read, answers))
    return int(any_harm(answers))


def figures(*, project: Path, file: Path | None, as_json: bool) -> int:
    """Status 1 where the model is outside a published tolerance, or figures contradict each other."""
    read = _read(project)
    from core.exports.figures import figures_table
    from core.exports.table import write_table
    from core.report import figures_to_json, figures_to_text
    from core.study import figures_of

    found = figures_of(read)
    told = figures_to_json(read, found)
    if file is not None:
        write_table(file, figures_table(read, found))
    if as_json:
        say_json({"project": read.aircraft.name, "file": None if file is None else str(file), **told})
    else:
        said = figures_to_text(read, found) or ["It has no published figures."]
        say("\n\n".join([read.aircraft.name, *said, *([] if file is None else [f"{file}: {len(found)} figures"])]))
    return int(any(one.is_off for one in found) or "figure_conflicts" in told)


def tolerance(*, project: Path, sequence: str | None, models: int | None, as_json: bool) -> int:
    """Status 1 where too few models would work, or an over-centre lock's offset is less than it may be off."""
    read = _read(project)
    from app.command_line.tolerance import any_weak, spreads_in_words, spreads_json, spreads_of

    found = spreads_of(read, sequence, models)
    if as_json:
        say_json(spreads_json(read, found))
    else:
        say(spreads_in_words(read, found))
    return int(any_weak(found))


def strip(
    *, project: Path, sequence: str, frames: int | None, times: Sequence[float] | None, file: Path, as_json: bool
) -> int:
    """Status 1 where the sequence that was drawn has findings."""
    read = _read(project)
    from app.painting.strip_file import write_strip
    from core.drawing.strip import strip_times
    from core.motion.schedule import lay_out
    from core.study import run, sequences_of

    (wanted,) = sequences_of(read, sequence)
    strip_times(lay_out(wanted), times=times, frames=frames)  # refuses moments before anything is solved
    study = run(read, sequence=sequence)
    (one,) = study.sequences
    drawn = write_strip(study, one, file=file, times=times, frames=frames)
    if as_json:
        say_json({"file": str(file), "sequence": sequence, "times": [frame.words.time for frame in drawn.frames]})
    else:
        found = f"; {len(one.findings)} found, which `bayfold check` tells of" if one.findings else ""
        name = one.sequence.name or sequence
        say(f"{file}: {name}, {len(drawn.frames)} frames on {drawn.paper.name} at {drawn.scale}{found}")
    return int(bool(one.findings))


def sweep(
    *,
    project: Path,
    sequence: str,
    bodies: Sequence[str] | None,
    step: str | None,
    tolerance: float | None,
    file: Path,
    as_json: bool,
) -> int:
    """Status 1 where a sweep runs into a fixed body beside it."""
    read = _read(project)
    from app.command_line.sweep import sweep_in_words, sweep_json, swept

    study, found = swept(read, sequence=sequence, bodies=bodies, step=step, tolerance=tolerance)
    if file.suffix.lower() == ".csv":
        from core.exports.sweeps import sweep_table
        from core.exports.table import write_table

        write_table(file, sweep_table(read, (one.sweep for one in found)))
    else:
        from app.painting.strip_file import write_sheet
        from core.drawing.sweep_sheet import lay_out_sweeps

        write_sheet(lay_out_sweeps(study, study.sequences[0], found), file)
    if as_json:
        say_json(sweep_json(file, sequence, found))
    else:
        say(sweep_in_words(read, file, found))
    return int(any(room.left <= 0.0 for one in found for room in one.rooms.values()))


def curves(
    *, project: Path, sequence: str, of: Sequence[str] | None, over: str | None, file: Path | None, as_json: bool
) -> int:
    """Status 0, or an error's."""
    read = _read(project)
    from app.command_line.curves import asked_for, curves_in_words, curves_json, write_curves

    asked = asked_for(read, sequence, of, over)
    if file is not None:
        write_curves(asked, file)
    if as_json:
        say_json(curves_json(file, asked))
    else:
        say(curves_in_words(file, asked))
    return 0


def paths(*, project: Path, sequence: str, of: Sequence[str] | None, file: Path, as_json: bool) -> int:
    """Status 0, or an error's."""
    read = _read(project)
    from app.command_line.curves import paths_asked, paths_in_words, paths_json
    from core.exports.paths import paths_table
    from core.exports.table import write_table

    found = paths_asked(read, sequence, of)
    write_table(file, paths_table(read, found))
    if as_json:
        say_json(paths_json(file, sequence, found))
    else:
        say(paths_in_words(read, file, found))
    return 0


def pack(*, folder: Path, out: Path | None, as_json: bool) -> int:
    """Status 0, or an error's."""
    file = packing.pack(folder, out)
    if as_json:
        say_json({"file": str(file), "bytes": file.stat().st_size})
    else:
        say(f"{file}: packed, {max(round(file.stat().st_size / 1024), 1)} KB")
    return 0


def unpack(*, file: Path, out: Path | None, as_json: bool) -> int:
    """Status 0, or an error's."""
    folder = packing.unpack(file, file.with_suffix("") if out is None else out)
    if as_json:
        say_json({"folder": str(folder), "project": read_project(folder).aircraft.name})
    else:
        say(f"{folder}: {_read(folder).aircraft.name}, unpacked")
    return 0


def _read(project: Path) -> Project:
    """The project, and on standard error what of it was left out, so that nobody takes the rest for the whole."""
    read = read_project(project)
    if said := notice(read):
        complain(said)
    return read


def tell_version() -> int:
    """Print the program's version."""
    say(f"Bayfold {__version__}")
    return 0
