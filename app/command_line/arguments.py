"""What may be asked on the command line, its help, and what a slip in it should have been."""

from __future__ import annotations

import argparse
import textwrap
from collections.abc import Callable, Sequence
from difflib import get_close_matches
from functools import partial
from pathlib import Path
from typing import NoReturn

from app.command_line import commands, window
from app.command_line.command_table import COMMANDS, Command
from app.command_line.output import say
from core.errors import SenselessRequest

OVERVIEW = """\
Bayfold: a kinematic sketchpad for working undercarriage. It solves a linkage through a named sequence and says what
touches, jams, runs loose or misses its place.

  bayfold PROJECT                       open the window on a project
  bayfold check PROJECT                 solve and check every sequence, and say what is wrong
  bayfold poses PROJECT --sequence ID --time T
                                        say where every body is at a moment
  bayfold moves PROJECT                 say what moves each body, and through what
  bayfold trials PROJECT                say what each fault would bring: a drive late, slow or stuck, a latch that fails
  bayfold figures PROJECT               say how published dimensions compare with the model's
  bayfold tolerance PROJECT             say how many built models would work, and what it hangs on
  bayfold strip PROJECT --sequence ID -o FILE
                                        draw a frame strip: .png, .svg or .pdf
  bayfold sweep PROJECT --sequence ID -o FILE
                                        what bodies pass over, to cut a bay by: .csv, .svg, .pdf or .png
  bayfold curves PROJECT --sequence ID --of WHAT -o FILE
                                        a value over time, or over another one: .csv, .svg or .png
  bayfold paths PROJECT --sequence ID -o FILE
                                        where points of bodies go: .csv
  bayfold pack FOLDER                   put an aircraft, with its drawings, in one file to send
  bayfold unpack FILE                   make a folder of such a file again

PROJECT is a project's folder, or the project.json in it. `bayfold COMMAND --help` says more of one command.

Exit status: 0 nothing found, 1 something found, 2 the project could not be read or the request makes no sense.
Bayfold checks a drawing, not an aeroplane: it approves nothing for full-size flight."""


class _Parser(argparse.ArgumentParser):
    """Raises what is wrong instead of printing its usage."""

    def error(self, message: str) -> NoReturn:
        if "required" in message:
            missing = message.rpartition(": ")[2]
            raise SenselessRequest(f"{self.prog} needs {missing} as well: {self.usage}")
        raise SenselessRequest(message.removeprefix("argument "))


def read_arguments(arguments: Sequence[str]) -> Callable[[], int]:
    """What the arguments ask for, ready to run; raises SenselessRequest for what makes no sense."""
    if not arguments:
        return window.open_sample
    word, *rest = arguments
    if word in ("-h", "--help", "help"):
        return partial(_tell, OVERVIEW)
    if word == "--version":
        return commands.tell_version
    if word in COMMANDS:
        return _command(word, rest)
    if word.startswith("-") or not Path(word).exists():
        raise SenselessRequest(_no_such(word, option=word.startswith("-")))
    if rest:
        asked = " ".join(arguments)
        raise SenselessRequest(
            f"`bayfold {word}` opens the window and takes no more; did you mean bayfold check {asked}?"
        )
    return partial(window.open_window, Path(word))


def _command(word: str, rest: list[str]) -> Callable[[], int]:
    command = COMMANDS[word]
    parser = _Parser(prog=f"bayfold {word}", usage=command.form, add_help=False, allow_abbrev=False)
    command.add_options(parser)
    if "-h" in rest or "--help" in rest:
        return partial(_tell, _help(command, parser))
    _refuse_unknown_options(parser, rest)
    values, left = parser.parse_known_args(rest)
    if left:
        raise SenselessRequest(f"{parser.prog} has no use for {left[0]!r}: {command.form}")
    return partial(command.run, **vars(values))


def _refuse_unknown_options(parser: argparse.ArgumentParser, arguments: list[str]) -> None:
    known = [option for action in parser._actions for option in action.option_strings]
    for argument in arguments:
        name = argument.partition("=")[0]
        if name.startswith("--") and name not in known:
            near = get_close_matches(name, known, n=1) or known
            raise SenselessRequest(f"{parser.prog} has no option {name}; did you mean {' or '.join(near)}?")


def _no_such(word: str, *, option: bool) -> str:
    words = [*COMMANDS, "--help", "--version"]
    near = get_close_matches(word, words, n=1)
    what = "there is no option" if option else "there is no command or project"
    return f"{what} {word!r}; " + (f"did you mean {near[0]}?" if near else "`bayfold --help` lists what there is")


def _tell(text: str) -> int:
    say(text)
    return 0


def _help(command: Command, parser: argparse.ArgumentParser) -> str:
    lines = [command.form, "", *textwrap.wrap(command.does, 110), ""]
    for action in parser._actions:
        name = ", ".join(action.option_strings) or str(action.metavar)
        value = f" {action.metavar}" if action.option_strings and action.metavar else ""
        first, *others = textwrap.wrap(action.help or "", 86)
        lines.append(f"  {name + value:<20}  {first}")
        lines += [" " * 24 + other for other in others]
    return "\n".join(lines)
