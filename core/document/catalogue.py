"""The builder's own jacks, kept between aircraft: sizes as bought or made, to be chosen from."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Annotated

import msgspec
from msgspec import Meta
from msgspec.structs import replace

from core.document.project import Jack
from core.document.project_file import put_in_place
from core.errors import UnreadableProject, UnwritableProject

FILE_NAME = "catalogue.json"
FORMAT = "bayfold-catalogue"
Size = Annotated[float, Meta(gt=0.0)]


class StockJack(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True, forbid_unknown_fields=True):
    """Lengths in mm at the model, force in newtons."""

    name: Annotated[str, Meta(min_length=1, max_length=120)]
    closed: Size
    stroke: Size
    barrel: Size | None = None
    rod: Size | None = None
    force: Size | None = None

    def fits(self, jack: Jack) -> bool:
        """Whether a jack has these sizes already."""
        own = (self.closed, self.stroke, self.barrel, self.rod)
        theirs = (jack.closed, jack.stroke, jack.barrel, jack.rod)
        return all(
            a is b or (a is not None and b is not None and math.isclose(a, b, abs_tol=1e-6))
            for a, b in zip(own, theirs, strict=True)
        )

    def put_into(self, jack: Jack) -> Jack:
        return replace(jack, closed=self.closed, stroke=self.stroke, barrel=self.barrel, rod=self.rod)


class _File(msgspec.Struct, frozen=True, kw_only=True):
    format: str
    version: int
    jacks: tuple[StockJack, ...] = ()


def read_catalogue(folder: Path) -> tuple[StockJack, ...]:
    """The folder's catalogue; none where there is no file. Raises UnreadableProject."""
    file = folder / FILE_NAME
    try:
        held = msgspec.json.decode(file.read_bytes(), type=_File)
    except FileNotFoundError:
        return ()
    except OSError as error:
        raise UnreadableProject(file, f"could not be read: {error.strerror or error}") from error
    except (msgspec.ValidationError, msgspec.DecodeError, UnicodeDecodeError) as error:
        wrong, _, place = str(error).partition(" - at ")
        right = "mend it, or move it away to begin a new catalogue"
        raise UnreadableProject(file, wrong, place=place.strip("`"), right=right) from error
    if held.format != FORMAT or held.version != 1:
        raise UnreadableProject(file, "is no catalogue that this version knows", right=f"a {FORMAT}, version 1")
    return held.jacks


def write_catalogue(jacks: tuple[StockJack, ...], folder: Path) -> None:
    """Put the catalogue in its place whole, or raise UnwritableProject and leave what was there."""
    file = folder / FILE_NAME
    data = msgspec.json.format(msgspec.json.encode(_File(format=FORMAT, version=1, jacks=jacks)), indent=2)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        put_in_place(file, data + b"\n")
    except OSError as error:
        raise UnwritableProject(f"{file}: could not be written: {error.strerror or error}") from error


def with_jack(jacks: tuple[StockJack, ...], one: StockJack) -> tuple[StockJack, ...]:
    """The catalogue with a jack in it, in place of the one of its name; by name."""
    others = tuple(held for held in jacks if held.name != one.name)
    return tuple(sorted((*others, one), key=lambda held: held.name.casefold()))
