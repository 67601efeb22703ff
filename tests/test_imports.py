"""Which room may import which. Anything that is not allowed here fails, wherever in a file it is imported."""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent

# A room is core.NAME or app.NAME: a package or a module. What it may import of its own side, besides itself:
CORE = {
    "errors": "",
    "units": "errors",
    "sizes": "errors units",
    "document": "errors units geometry",  # its checks ask whether an outline crosses itself
    "geometry": "document",  # it makes polygons of the document's shapes
    "sketch": "errors units document geometry",
    "mechanism": "document geometry",
    "motion": "errors units document geometry mechanism",
    "interference": "errors document geometry motion",
    "pulling": "units document geometry mechanism motion",
    "findings": "units document geometry mechanism motion interference",
    "figures": "errors units document geometry mechanism motion",
    "study": "errors document mechanism motion interference findings figures",  # the only code that walks the row
    "lending": "",
    "parcels": "lending",
    "serving": "errors document motion study parcels",
    "report": "units document motion interference findings figures study",
    "tolerance": "units sizes document geometry mechanism motion interference findings study",
    "curves": "errors units document geometry motion interference findings study",
    "trials": "errors units document mechanism motion findings study report",
    "drawing": "errors units document geometry motion interference findings study",
    "exports": "units document interference figures curves drawing",
}
PAGES = "sheet sequence panels dialogs"
SHARED = "aside session settings study_runner uses fonts painting widgets"
APP = {
    "__init__": "",
    "bootstrap": "",
    "__main__": "bootstrap command_line",
    "command_line": "__init__ bootstrap painting application sequence",
    "fonts": "",
    "widgets": "",  # they know nothing of projects
    "edited": "",
    "leisure": "",
    "supposed": "",
    "studied": "",
    "looked_at": "",
    "session": "edited leisure supposed studied looked_at",
    "settings": "",
    "aside": "",
    "uses": "",  # the types of what the parts say that actions do
    "study_runner": "session aside",
    "study_process": "",
    "painting": "fonts",
    "sheet": SHARED,
    "sequence": SHARED,
    "panels": SHARED,
    "dialogs": SHARED,
    "palette": "settings painting",
    "files": "",
    "keeper": "session",
    "keeping": "session settings uses painting dialogs files keeper",
    "asking": "widgets session dialogs keeper keeping",
    "samples": "widgets",
    "recent_pictures": "aside painting",
    "recent_rows": "widgets painting",
    "errands": "aside",
    "strips": "session painting dialogs errands",
    "sweeping": "session aside painting sheet panels dialogs errands",
    "tracing": "session aside sheet panels dialogs errands",
    "sketching": "session uses",
    "figuring": "session sheet panels dialogs errands",
    "trying": "session aside trying_aside",
    "trying_aside": "study_process",
    "building": "session aside",
    "built_window": "session panels dialogs building",
    "trials_window": "widgets session uses panels dialogs trying",
    "seeking": "session uses sequence panels",
    "standing": "session panels",
    "clipboard": "session uses sheet",
    "pictures": "",
    "laying": "session uses sheet dialogs keeping pictures",
    "action_table": "",
    "actions": "session uses dialogs action_table widgets",
    "drops": "files pictures",
    "arranging": "widgets session uses painting actions",
    "menus": "session settings samples recent_rows action_table actions widgets",
    "regions": "widgets settings uses sheet sequence panels actions",
    "main_window": f"{SHARED} palette asking keeping recent_rows recent_pictures samples errands strips sweeping "
    f"tracing sketching figuring trials_window built_window seeking standing clipboard laying drops {PAGES} actions "
    "arranging menus regions __init__",
    "application": "fonts settings aside study_process sequence main_window",
}
OUTSIDE = {
    "core": {"numpy", "scipy", "shapely", "msgspec", "PIL", "ezdxf", "fontTools", "pypdfium2"},
    "app": {"numpy", "shapely", "msgspec", "PIL", "PySide6", "pyqtgraph", "pypdfium2"},
}
BY_CALL = ("import_module", "__import__")
WITHOUT_CORE = {"__init__", "__main__", "bootstrap", "fonts", "widgets"}
WITHOUT_QT = {"__init__", "__main__", "bootstrap", "command_line"}
"""These may reach painting, application and sequence from inside functions only, and Qt never by name."""


def files() -> list[Path]:
    return sorted(file for side in ("core", "app") for file in (ROOT / side).rglob("*.py"))


def imports(source: str, module: str, *, package: bool) -> Iterator[tuple[str, bool]]:
    """Every module that a source imports, in full, and whether that is inside a function."""
    tree = ast.parse(source)
    inside = {
        id(node)
        for function in ast.walk(tree)
        if isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
        for node in ast.walk(function)
    }
    for node in ast.walk(tree):
        for name in _imported(node, module, package=package):
            yield name, id(node) in inside


def _imported(node: ast.AST, module: str, *, package: bool) -> list[str]:
    match node:
        case ast.Import(names=names):
            return [alias.name for alias in names]
        case ast.ImportFrom(module=base, names=names, level=level):
            above = module.split(".")[: len(module.split(".")) - level + (1 if package else 0)] if level else []
            origin = ".".join([*above, *([base] if base else [])])
            return [f"{origin}.{alias.name}" for alias in names]
        case ast.Call(
            func=ast.Attribute(attr="import_module") | ast.Name(id="import_module" | "__import__"), args=[name, *_]
        ):
            return [name.value if isinstance(name, ast.Constant) else "what cannot be told"]
    return []


def trespasses(source: str, module: str, *, package: bool = False) -> list[str]:
    """What a module imports against the rules, in words."""
    side, room = module.split(".")[0], [*module.split("."), "__init__"][1]
    allowed = CORE if side == "core" else APP
    if room not in allowed and not (side == "core" and room == "__init__"):
        return [f"{module} stands in no room; add {side}.{room} to tests/test_imports.py"]
    own = set(allowed.get(room, "").split()) | {room}
    found = []
    for name, in_function in imports(source, module, package=package):
        top, *below = name.split(".")
        if top == "core":
            bad = below[0] not in own if side == "core" else room in WITHOUT_CORE
        elif top == "app":
            target = below[0] if below and below[0] in APP else "__init__"
            bad = side == "core" or target not in own
            bad |= room in WITHOUT_QT and target not in WITHOUT_QT and not in_function
        elif side == "app" and room in WITHOUT_QT:
            bad = top not in sys.stdlib_module_names | ({"numpy"} if room == "command_line" else set())
        else:
            bad = top not in sys.stdlib_module_names | OUTSIDE[side]
        if bad:
            found.append(f"{module} imports {name}")
    return found


@pytest.mark.parametrize("file", files(), ids=lambda file: str(file.relative_to(ROOT)))
def test_every_module_keeps_to_its_room(file: Path):
    parts = file.relative_to(ROOT).with_suffix("").parts
    package = parts[-1] == "__init__"
    module = ".".join(parts[:-1] if package else parts)
    assert trespasses(file.read_text(encoding="utf-8"), module, package=package) == []


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("core.motion.solve", "import PySide6"),
        ("core.motion.solve", "from app.session import Session"),
        ("core.motion.solve", "def f():\n    from core import study"),
        ("core.motion.solve", "from ..findings import collect"),
        ("core.motion.solve", "from .. import interference"),
        ("core.motion.solve", "if TYPE_CHECKING:\n    import core.study"),
        ("core.motion.solve", "importlib.import_module('core.study')"),
        ("core.motion.solve", "importlib.import_module(name)"),
        ("core.geometry.curves", "import sympy"),
        ("core.novelty", ""),
        ("app.sheet.view", "from app.panels.findings import Findings"),
        ("app.sheet.view", "from app import main_window"),
        ("app.widgets.value_field", "from app.session import Session"),
        ("app.widgets.value_field", "import core.units"),
        ("app.session", "from app.sheet.view import Sheet"),
        ("app.command_line.commands", "from PySide6.QtGui import QGuiApplication"),
        ("app.command_line.commands", "from app.painting import strip_file"),
        ("app.bootstrap.environment", "import numpy"),
    ],
)
def test_a_trespass_is_seen(module: str, source: str):
    assert trespasses(source, module)


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("core.motion.solve", "from . import blocks\nfrom .newton import solve\nfrom ..document import project"),
        ("core.study", "from core.motion.solve import solve_motion"),
        ("app.command_line.commands", "def f():\n    from app.application import run_window"),
        ("app.sheet.view", "from app.painting.theme import Theme\nfrom PySide6.QtCore import Qt"),
    ],
)
def test_what_is_allowed_passes(module: str, source: str):
    assert trespasses(source, module) == []
