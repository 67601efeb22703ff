"""Printing that no terminal, pipe or full disk can trip up."""

from __future__ import annotations

import json
import os
import sys
import unicodedata
from types import MappingProxyType
from typing import Any, TextIO

# What our sentences use beyond ASCII, for terminals that have nothing else.
BEYOND = ("²", "°", "×", "·", "−", "–", "—", "…", "→", "←", "±", "′", "″", "“", "”", "‘", "’", "≤", "≥")
NEAREST = ("2", " deg", "x", ".", "-", "-", "-", "...", "->", "<-", "+-", "'", '"', '"', '"', "'", "'", "<=", ">=")
IN_ASCII = MappingProxyType(str.maketrans(dict(zip(BEYOND, NEAREST, strict=True))))


def say(text: str) -> None:
    """Print text on standard output; a reader who has gone away, or was never there, is no error."""
    if sys.stdout is None:  # started without a terminal
        return
    try:
        sys.stdout.write(printable(text.rstrip("\n"), sys.stdout) + "\n")
        sys.stdout.flush()
    except OSError as error:
        # Python flushes again at exit, and would complain then.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        if not isinstance(error, BrokenPipeError):
            raise OSError(error.errno, error.strerror, "standard output") from None


def say_json(answer: dict[str, Any]) -> None:
    """Print one JSON object, in ASCII, so that it reads back the same through every pipe."""
    say(json.dumps(answer, allow_nan=False))


def complain(text: str) -> None:
    """Print one line on standard error."""
    if sys.stderr is not None:
        print(printable(" ".join(text.split()), sys.stderr), file=sys.stderr)


def remark(text: str) -> None:
    """Tell whoever sits at a terminal what takes long; nothing where standard error is read by a program."""
    if sys.stderr is not None and sys.stderr.isatty():
        complain(text)


def printable(text: str, stream: TextIO) -> str:
    """The text as the stream's encoding can say it: its own letters if it has them, else the nearest in ASCII.

    Signs that would steer the terminal, as a project's names may hold, are left out.
    """
    text = "".join(sign for sign in text if sign in "\n\t" or unicodedata.category(sign) != "Cc")
    encoding = stream.encoding or "ascii"
    try:
        text.encode(encoding)
    except UnicodeEncodeError:
        plain = unicodedata.normalize("NFKD", text.translate(IN_ASCII))
        kept = "".join(letter for letter in plain if not unicodedata.combining(letter))
        return kept.encode("ascii", "replace").decode("ascii")
    return text
