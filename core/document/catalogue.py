"""The builder's own jacks and servos, kept between aircraft: sizes as bought or made, to be chosen from.

The file is read as an aircraft's is: taken whole or not at all, with what a newer version added kept and written back.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

import msgspec
from msgspec.structs import replace

from core.document import kept
from core.document.json_text import Refused, lay_out, parse, shown
from core.document.names import name_of
from core.document.problem import place_text
from core.document.project import Jack, Servo, Value
from core.document.project_file import put_in_place
from core.document.schema_errors import explained
from core.errors import UnreadableProject, UnwritableProject

FILE_NAME = "catalogue.json"
FORMAT = "bayfold-catalogue"
VERSION = 1
LARGEST = 1e6
MEND = "mend it, or put it aside to begin a new catalogue"


class StockJack(Value, frozen=True, kw_only=True):
    """Lengths in mm at the model, force in newtons."""

    name: str
    closed: float
    stroke: float
    barrel: float | None = None
    rod: float | None = None
    bore: float | None = None
    force: float | None = None
    note: str = ""

    def fits(self, jack: Jack) -> bool:
        """Whether a jack has these sizes already."""
        return all(
            a is b or (a is not None and b is not None and math.isclose(a, b, abs_tol=1e-6))
            for a, b in ((getattr(self, key), getattr(jack, key)) for key in SIZES)
        )

    def put_into(self, jack: Jack) -> Jack:
        return replace(jack, **{key: getattr(self, key) for key in SIZES})

    @classmethod
    def of(cls, jack: Jack) -> StockJack:
        """A jack's sizes, under its name."""
        return cls(name=name_of(jack), **{key: getattr(jack, key) for key in SIZES})


SIZES = ("closed", "stroke", "barrel", "rod", "bore", "force")
"""What a jack has of its entry in the catalogue."""


class StockServo(Value, frozen=True, kw_only=True):
    """Torque in N·mm, travel in degrees, lengths in mm, speed in seconds for 60 degrees, as data sheets have it."""

    name: str
    torque: float | None = None
    travel: float
    arms: tuple[float, ...] = ()
    """From the shaft to each hole."""
    size: tuple[float, float, float] | None = None
    """Length, width and height of its body."""
    speed: float | None = None
    note: str = ""

    def fits(self, servo: Servo) -> bool:
        """Whether a drive's servo is this one."""
        return replace(servo, extra={}) == self.as_servo(servo.arm)

    def as_servo(self, arm: float | None = None) -> Servo:
        """As a drive has it, with the arm that is used there; the first where none is told."""
        arm = arm if arm is not None or not self.arms else self.arms[0]
        return Servo(name=self.name, torque=self.torque, travel=self.travel, arm=arm, speed=self.speed)

    @classmethod
    def of(cls, servo: Servo) -> StockServo:
        arms = () if servo.arm is None else (servo.arm,)
        return cls(name=servo.name, torque=servo.torque, travel=servo.travel, arms=arms, speed=servo.speed)


Stock = StockJack | StockServo


class Catalogue(Value, frozen=True, kw_only=True):
    version: int = VERSION
    jacks: tuple[StockJack, ...] = ()
    servos: tuple[StockServo, ...] = ()

    def having(self, one: Stock, instead_of: str = "") -> Catalogue:
        """With an entry, in place of the one of its kind and name, and of what it was called before; by name."""
        key = "jacks" if isinstance(one, StockJack) else "servos"
        held = (other for other in getattr(self, key) if other.name not in (one.name, instead_of))
        return replace(self, **{key: tuple(sorted((*held, one), key=lambda other: other.name.casefold()))})

    def without(self, one: Stock) -> Catalogue:
        key = "jacks" if isinstance(one, StockJack) else "servos"
        return replace(self, **{key: tuple(other for other in getattr(self, key) if other.name != one.name)})


def read_catalogue(folder: Path) -> Catalogue:
    """The folder's catalogue; an empty one where there is no file. Raises UnreadableProject."""
    file = folder / FILE_NAME
    try:
        tree = parse(file.read_bytes())
    except FileNotFoundError:
        return Catalogue()
    except OSError as error:
        raise UnreadableProject(file, f"could not be read: {error.strerror or error}") from error
    except Refused as refused:
        place = refused.line or place_text(refused.place)
        raise UnreadableProject(file, refused.wrong, place=place, right=f"{refused.right}; {MEND}") from None
    version = _version(tree, file)
    body = {key: value for key, value in tree.items() if key not in ("format", "version")}
    gathered = kept.gather(body, (Catalogue,), newer=version > VERSION)
    try:
        catalogue = msgspec.convert(gathered | {"version": version}, Catalogue, strict=True)
    except msgspec.ValidationError as error:
        path, wrong, right = explained(str(error), body, Catalogue)
        raise UnreadableProject(file, wrong, place=place_text(path), right=f"{right}; {MEND}") from None
    for place, wrong, right in wrong_in(catalogue):
        raise UnreadableProject(file, wrong, place=place, right=f"{right}; {MEND}")
    return catalogue


def _version(tree: object, file: Path) -> int:
    if not isinstance(tree, dict) or tree.get("format") != FORMAT:
        raise UnreadableProject(file, "is no catalogue", right=f'"format": "{FORMAT}" is needed; {MEND}')
    version = tree.get("version")
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        raise UnreadableProject(file, f"{shown(version)} is no version", right=f"this program writes {VERSION}; {MEND}")
    return version


def wrong_in(catalogue: Catalogue) -> Iterator[tuple[str, str, str]]:
    """Where in the catalogue, what is wrong there, and what would be right."""
    for key in ("jacks", "servos"):
        for index, one in enumerate(getattr(catalogue, key)):
            for name, wrong, right in wrong_with(one):
                yield place_text((key, index, name)), wrong, right


def wrong_with(one: Stock) -> Iterator[tuple[str, str, str]]:
    """Which key of an entry, what is wrong with it, and what would be right."""
    if not one.name.strip():
        yield "name", "the name is empty", "a name to choose it by is needed"
    for name in kept.file_fields(type(one)):
        held = getattr(one, name)
        for number in held if isinstance(held, tuple) else (held,):
            if isinstance(number, float) and not 0.0 < number <= LARGEST:
                yield name, f"{number:g} cannot be", f"a number greater than 0 and up to {LARGEST:,.0f} is needed"


def write_catalogue(catalogue: Catalogue, folder: Path) -> None:
    """Put the catalogue in its place whole, or raise UnwritableProject and leave what was there."""
    file = folder / FILE_NAME
    tree = kept.spread(catalogue)
    tree.pop("version", None)
    text = lay_out({"format": FORMAT, "version": catalogue.version} | tree)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        put_in_place(file, text.encode("utf-8"))
    except OSError as error:
        raise UnwritableProject(f"{file}: could not be written: {error.strerror or error}") from error


def put_aside(folder: Path, when: str) -> Path:
    """The file under another name, so that a new one can be begun; raises UnwritableProject."""
    file = folder / FILE_NAME
    aside = file.with_name(f"catalogue-{when}.json")
    try:
        return file.rename(aside)
    except OSError as error:
        raise UnwritableProject(f"{file}: could not be put aside: {error.strerror or error}") from error
