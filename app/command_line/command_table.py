"""Every command in one table: how it is written, what it does, its options, and what it runs."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from app.command_line import commands, values


@dataclass(frozen=True, slots=True, kw_only=True)
class Command:
    """One word of the command line: how it is written, what it does, and what it runs."""

    form: str
    does: str
    add_options: Callable[[argparse.ArgumentParser], None]
    run: Callable[..., int]


# ---- their options --------------------------------------------------------------------------------------------------


def _project(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("project", metavar="PROJECT", type=Path, help="the project's folder, or the project.json in it")


def _json(parser: argparse.ArgumentParser) -> None:
    _option(parser, "--json", action="store_true", dest="as_json", help="print one JSON object and nothing else")


def _option(parser: argparse.ArgumentParser, *names: str, **settings: Any) -> None:
    parser.add_argument(*names, **settings)


def _check_options(parser: argparse.ArgumentParser) -> None:
    _project(parser)
    _option(parser, "--sequence", metavar="ID", help="check this sequence alone")
    _option(parser, "--frames", metavar="N", type=values.frames, help="solve at N moments; forty a second if not said")
    _json(parser)


def _poses_options(parser: argparse.ArgumentParser) -> None:
    _project(parser)
    _option(parser, "--sequence", metavar="ID", required=True, help="the sequence to solve")
    _option(
        parser, "--time", metavar="T", dest="times", type=values.seconds, action="append", required=True,
        help="seconds into the sequence; may be given several times",
    )  # fmt: skip
    _json(parser)


def _moves_options(parser: argparse.ArgumentParser) -> None:
    _project(parser)
    _option(parser, "--sequence", metavar="ID", help="tell of this sequence alone")
    _option(parser, "--body", metavar="ID", help="tell of this body alone")
    _json(parser)


def _trials_options(parser: argparse.ArgumentParser) -> None:
    _project(parser)
    _option(parser, "--sequence", metavar="ID", help="try faults in this sequence alone")
    for name, value, read, said in (
        ("--late", "DRIVE=S", values.late, "every move of this drive begins S seconds late"),
        ("--slow", "DRIVE=SHARE", values.slow, "this drive goes at a share of its speed, such as 0.5"),
        ("--stuck", "DRIVE[=T]", values.stuck, "this drive stays where it is at T seconds; without T it never moves"),
        ("--no-engage", "LATCH", values.not_engaging, "this latch never takes hold"),
        ("--no-release", "LATCH", values.not_releasing, "this latch never lets go"),
        ("--back", "T", values.back, "the sequence stops at T seconds and runs back to its start"),
    ):
        _option(parser, name, metavar=value, dest="faults", type=read, action="append", help=said)
    at_once = parser.add_mutually_exclusive_group()
    at_once.add_argument("--together", action="store_true", help="try all the faults that are named at once")
    at_once.add_argument(
        "--pairs", action="store_true",
        help="try every two of the faults that are named, or of all there could be; what they bring only together is "
        "told, and comes first",
    )  # fmt: skip
    _option(
        parser, "--waits", action="store_true",
        help="what follows a step waits until its drives have arrived, as by a sequencing valve; if not said, it "
        "begins when it would have begun, as by a timer",
    )  # fmt: skip
    _json(parser)


def _tolerance_options(parser: argparse.ArgumentParser) -> None:
    _project(parser)
    _option(parser, "--sequence", metavar="ID", help="tell of this sequence alone")
    _option(parser, "--models", metavar="N", type=values.models, help="build N models; 1000 if not said")
    _json(parser)


def _figures_options(parser: argparse.ArgumentParser) -> None:
    _project(parser)
    _option(
        parser, "-o", metavar="FILE", dest="file", type=values.table_file,
        help="where to, as well: .csv, lengths in the project's unit",
    )  # fmt: skip
    _json(parser)


def _strip_options(parser: argparse.ArgumentParser) -> None:
    _project(parser)
    _option(parser, "--sequence", metavar="ID", required=True, help="the sequence to draw")
    moments = parser.add_mutually_exclusive_group()
    moments.add_argument(
        "--frames",
        metavar="N",
        type=values.frames,
        help="N frames, evenly spread; if not said, ends and middles of steps",
    )
    moments.add_argument(
        "--times", metavar="T,T,...", type=values.times, help="frames at these seconds into the sequence"
    )
    _option(
        parser, "-o", metavar="FILE", dest="file", type=values.paper, required=True, help="where to: .png, .svg or .pdf"
    )
    _json(parser)


def _sweep_options(parser: argparse.ArgumentParser) -> None:
    _project(parser)
    _option(parser, "--sequence", metavar="ID", required=True, help="the sequence to solve")
    _option(
        parser, "--body", metavar="ID", dest="bodies", action="append",
        help="a body, or a rod or jack with a width; may be given several times; if not said, all that move",
    )  # fmt: skip
    _option(parser, "--step", metavar="ID", help="only what is swept during this step")
    _option(
        parser, "--tolerance", metavar="MM", type=values.millimetres,
        help="how far beyond the truth the outline may reach, in mm; 0.05 if not said",
    )  # fmt: skip
    _option(
        parser, "-o", metavar="FILE", dest="file", type=values.sweep_file, required=True,
        help="where to: .csv (corners, in the project's unit of length), .svg, .pdf or .png",
    )  # fmt: skip
    _json(parser)


def _curves_options(parser: argparse.ArgumentParser) -> None:
    _project(parser)
    _option(parser, "--sequence", metavar="ID", required=True, help="the sequence to solve")
    _option(
        parser, "--of", metavar="WHAT", action="append",
        help="a drive or a connection by its id, or gap:A,B; transmission:LINK,BODY; dead-centre:A,B,...; turn:BODY; "
        "way, across, up or speed:BODY, or :BODY@X,Y of a point in mm as drawn, or :PATH; may be given several times; "
        "if not said, all that has a value is listed",
    )  # fmt: skip
    _option(parser, "--over", metavar="WHAT", help="draw them over this and not over time")
    _option(parser, "-o", metavar="FILE", dest="file", type=values.curve_file, help="where to: .csv, .svg or .png")
    _json(parser)


def _paths_options(parser: argparse.ArgumentParser) -> None:
    _project(parser)
    _option(parser, "--sequence", metavar="ID", required=True, help="the sequence to solve")
    _option(
        parser, "--of", metavar="WHAT", action="append",
        help="a path by its id, or BODY@X,Y, a point in mm as drawn; may be given several times; if not said, every "
        "path that the project keeps",
    )  # fmt: skip
    _option(parser, "-o", metavar="FILE", dest="file", type=values.table_file, required=True, help="where to: .csv")
    _json(parser)


def _pack_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("folder", metavar="FOLDER", type=Path, help="the aircraft's folder, or the project.json in it")
    _option(
        parser, "--out", metavar="FILE", type=values.packed_file,
        help="where to: .bayfold; beside the folder and named after it, if not said",
    )  # fmt: skip
    _json(parser)


def _unpack_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", metavar="FILE", type=Path, help="the packed aircraft")
    _option(
        parser, "--out", metavar="FOLDER", type=Path,
        help="a folder that is not there yet or is empty; beside the file and named after it, if not said",
    )  # fmt: skip
    _json(parser)


# ---- the table ------------------------------------------------------------------------------------------------------

COMMANDS = {
    "check": Command(
        form="bayfold check PROJECT [--sequence ID] [--frames N] [--json]",
        does="Solves every sequence and checks every pair of bodies over the whole motion, between frames too. Says "
        "what clashes, comes too near, jams, runs loose, passes its stroke or misses its place, worst first; which "
        "pairs stay clear, and by how much; and which published figures the model misses. A project with no sequence "
        "is checked in its drawn position.",
        add_options=_check_options,
        run=commands.check,
    ),
    "poses": Command(
        form="bayfold poses PROJECT --sequence ID --time T [--time T ...] [--json]",
        does="Says where every body is at the times given: a body's point drawn at p is at R(turn) p + (x, y), in "
        "the project's unit of length and degrees from the drawn position; and what every drive and connection stands "
        "at. With --json lengths are millimetres.",
        add_options=_poses_options,
        run=commands.poses,
    ),
    "moves": Command(
        form="bayfold moves PROJECT [--sequence ID] [--body ID] [--json]",
        does="Says which drive moves each body, and through what chain of connections; how well every rod, jack and "
        "link pushes what it drives; how loose bodies could move; what would cure a jam; which connections are one too "
        "many; which drives fight; and how near the linkage comes to its dead centres.",
        add_options=_moves_options,
        run=commands.moves,
    ),
    "trials": Command(
        form="bayfold trials PROJECT [--sequence ID] [--late DRIVE=S] [--slow DRIVE=SHARE] [--stuck DRIVE[=T]] "
        "[--no-engage LATCH] [--no-release LATCH] [--back T] [--together | --pairs] [--waits] [--json]",
        does="Runs each sequence with one fault in it, checks it as any other, and says what is new or worse than "
        "without the fault, and what is gone. Each fault may be given several times, and each is tried by itself, or "
        "all of them at once, or every two of them. "
        "Where none is given, every one is tried, and they are listed worst first: each drive that the sequence moves "
        "1 s late, at half speed, never moving, and stuck half way through each of its moves; each latch not engaging "
        "and not releasing; and the sequence stopped in the middle of each step and run back.",
        add_options=_trials_options,
        run=commands.trials,
    ),
    "figures": Command(
        form="bayfold figures PROJECT [-o FILE] [--json]",
        does="Says what the model has in place of each published figure, how far off it is at both sizes, whether the "
        "published tolerance, brought to scale, and the workshop's allow it, what is left of a stroke at either end, "
        "and which figures contradict each other. Nothing is checked for clashes, so that it is quick.",
        add_options=_figures_options,
        run=commands.figures,
    ),
    "tolerance": Command(
        form="bayfold tolerance PROJECT [--sequence ID] [--models N] [--json]",
        does="Builds models at random, each hole, length, edge, pin, gearing and drive off by what its making leaves "
        "it, and drives each through the sequence: how many would work, how far gaps, locks, targets and over-centre "
        "offsets may be off, by worst case, by root of squares and as built, and on which one dimension most hangs.",
        add_options=_tolerance_options,
        run=commands.tolerance,
    ),
    "strip": Command(
        form="bayfold strip PROJECT --sequence ID [--frames N | --times T,T,...] -o FILE [--json]",
        does="Draws a sequence as a strip of frames, with overlaps hatched, to scale on paper.",
        add_options=_strip_options,
        run=commands.strip,
    ),
    "sweep": Command(
        form="bayfold sweep PROJECT --sequence ID [--body ID ...] [--step ID] [--tolerance MM] -o FILE [--json]",
        does="Writes the outline of all that a body passes over in a sequence or a step: it holds the whole of it, and "
        "reaches no farther than the tolerance beyond it. Says how much room that leaves to every fixed body beside "
        "it. On paper it stands at full size where a sheet has room for it.",
        add_options=_sweep_options,
        run=commands.sweep,
    ),
    "curves": Command(
        form="bayfold curves PROJECT --sequence ID [--of WHAT ...] [--over WHAT] [-o FILE] [--json]",
        does="Says, and writes as a table or a picture, how values go over a sequence: angles, travels, gaps of pairs, "
        "how well links push, places and speeds of points; over time, or one over another.",
        add_options=_curves_options,
        run=commands.curves,
    ),
    "paths": Command(
        form="bayfold paths PROJECT --sequence ID [--of WHAT ...] -o FILE [--json]",
        does="Writes where points of bodies go in a sequence: seconds, and x and y of the model in the project's unit "
        "of length, at moments so close that the straight line between two of them is within 0.01 mm of the true path.",
        add_options=_paths_options,
        run=commands.paths,
    ),
    "pack": Command(
        form="bayfold pack FOLDER [--out FILE] [--json]",
        does="Puts the project.json of an aircraft and its drawings in one file to send: a plain zip. The same "
        "aircraft makes the same bytes. Its history and what was written into exports stay at home.",
        add_options=_pack_options,
        run=commands.pack,
    ),
    "unpack": Command(
        form="bayfold unpack FILE [--out FOLDER] [--json]",
        does="Makes a folder of a packed aircraft. Nothing is written over, and nothing is written at all unless the "
        "whole file is sound and stays within its folder.",
        add_options=_unpack_options,
        run=commands.unpack,
    ),
}  # fmt: skip
