"""From a command line to an exit status, with one clear line for whatever goes wrong on the way."""

from __future__ import annotations

import os
import sys
import warnings
from collections.abc import Sequence

from app.command_line.output import complain
from core.errors import BayfoldError

REMAKE = "remove the .venv folder and run python3 app, which makes it anew"
REFUSED, INTERRUPTED = 2, 130


def main(arguments: Sequence[str] | None = None) -> int:
    """Carry out a command line (the process's own, if none is given) and answer its exit status."""
    if arguments is None and not sys.warnoptions and not _debugging():
        warnings.simplefilter("ignore")  # standard error is for the one line that a builder can act on
    try:
        from app.command_line.arguments import read_arguments  # here, so that a broken library gets its one line

        return read_arguments(sys.argv[1:] if arguments is None else list(arguments))()
    except Exception as error:  # nobody is to be met by a traceback
        if _debugging():
            raise
        complain(explained(error))
        return REFUSED
    except KeyboardInterrupt:
        complain("interrupted")
        return INTERRUPTED


def explained(error: Exception) -> str:
    """What an error means to the person at the terminal, in one line."""
    match error:
        case BayfoldError():
            return str(error)
        case OSError(filename=str(file)) if error.strerror:
            return f"{file}: {error.strerror[0].lower()}{error.strerror[1:]}"
        case OSError():
            return str(error) or type(error).__name__
        case RecursionError():
            return "the project is nested more deeply than can be read"
        case MemoryError():
            return "there is not enough memory for this; fewer --frames need less"
        case ImportError():
            return _missing(error)
    return (
        f"Bayfold has a fault ({type(error).__name__}: {error}); please report it, with what the same command prints "
        "when BAYFOLD_DEBUG=1 is set"
    )


def _missing(error: ImportError) -> str:
    """A library that cannot be loaded is most often one of the system's, which Qt needs."""
    from app.bootstrap.system_packages import missing_libraries

    packages = " ".join(missing_libraries("command")) if sys.platform.startswith("linux") else ""
    mend = f"sudo apt-get install --no-install-recommends {packages}" if packages else REMAKE
    return f"a library is missing or broken ({error}); {mend}"


def _debugging() -> bool:
    return os.environ.get("BAYFOLD_DEBUG", "") not in ("", "0")
