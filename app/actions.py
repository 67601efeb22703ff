"""Every action of the window in one table: its words, its keys, what it says of itself, and when it can be used."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum, auto

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction, QKeySequence

from app.dialogs.keys import KeyGroup
from app.session import Session
from app.uses import Switches, Uses
from core.document.looks import hidden_in
from core.document.project import Ink


class Needs(Enum):
    """What has to be there for an action to be of use."""

    NOTHING = auto()
    PROJECT = auto()
    UNSAVED = auto()
    UNDO = auto()
    REDO = auto()
    TIME = auto()
    FINDINGS = auto()
    FINDING = auto()
    TRIAL = auto()
    LOOK = auto()
    """A finding that is chosen, or a trial that is shown."""
    VIEWS = auto()
    BODIES = auto()
    CHOSEN = auto()
    HIDDEN = auto()
    DRIVES = auto()
    PINS = auto()
    STEP = auto()
    SEQUENCE = auto()
    PATHS = auto()


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    id: str
    menu: str
    words: str
    tip: str
    keys: tuple[str, ...] = ()
    needs: Needs = Needs.NOTHING
    checkable: bool = False
    new_group: bool = False
    """A line in the menu above it."""
    choice: str = ""
    """Of the rows with the same choice one is on."""
    submenu: str = ""
    """Of its menu, which it stands in."""


WHY_NOT: Mapping[Needs, str] = {
    Needs.TIME: "no step takes any time yet",
    Needs.FINDINGS: "this sequence has no finding with a moment",
}
"""What is wanting where an action that stands as a button is off."""
TINTS: Mapping[Ink, str] = {
    "sky": "&Sky",
    "moss": "&Moss",
    "straw": "St&raw",
    "heather": "&Heather",
    "copper": "&Copper",
}
MENUS = (
    "&Aircraft", "&Edit", "&Draw", "&Join", "&Change", "Trac&ing", "&Sheet", "&Measure", "Se&quence", "S&teps",
    "&Findings", "&Window", "&Help",
)  # fmt: skip

TABLE: tuple[Row, ...] = (
    Row(id="new", menu="&Aircraft", words="&New aircraft…", keys=("Ctrl+N",),
        tip="Begin an aircraft with an empty sheet"),
    Row(id="open", menu="&Aircraft", words="&Open aircraft…", keys=("Ctrl+O",),
        tip="Open an aircraft's project.json"),
    Row(id="save", menu="&Aircraft", words="&Save", keys=("Ctrl+S",), needs=Needs.UNSAVED, new_group=True,
        tip="Keep the aircraft in its folder"),
    Row(id="save-as", menu="&Aircraft", words="Save in &another folder…", keys=("Ctrl+Shift+S",), needs=Needs.PROJECT,
        tip="Keep the aircraft, with its drawings, in another folder"),
    Row(id="pack", menu="&Aircraft", words="&Pack to one file…", needs=Needs.PROJECT,
        tip="Put the aircraft, with its drawings, in one file to send"),
    Row(id="variant", menu="&Aircraft", words="Copy as a &variant", needs=Needs.PROJECT,
        tip="Copy the aircraft to a folder beside its own, and go on with the copy"),
    Row(id="strip", menu="&Aircraft", words="Draw a frame s&trip…", keys=("Ctrl+T",), needs=Needs.TIME,
        new_group=True, tip="Write the sequence as a strip of frames: PNG, SVG or PDF"),
    Row(id="outlines", menu="&Aircraft", words="&Bring in outlines…", needs=Needs.PROJECT,
        tip="Make bodies of the outlines in a DXF or SVG file"),
    Row(id="catalogue", menu="&Aircraft", words="&Catalogue of jacks and servos…",
        tip="Look through the jacks and servos that are kept for every aircraft, and change them"),
    Row(id="quit", menu="&Aircraft", words="&Quit", keys=("Ctrl+Q",), new_group=True, tip="Leave Bayfold"),
    Row(id="undo", menu="&Edit", words="&Undo", keys=("Ctrl+Z",), needs=Needs.UNDO, tip="Take back the last change"),
    Row(id="redo", menu="&Edit", words="&Redo", keys=("Ctrl+Shift+Z", "Ctrl+Y"), needs=Needs.REDO,
        tip="Make again what was taken back"),
    Row(id="cut", menu="&Edit", words="Cu&t", keys=("Ctrl+X", "Shift+Del"), needs=Needs.CHOSEN, new_group=True,
        tip="Put the chosen bodies on the clipboard and remove them"),
    Row(id="copy", menu="&Edit", words="Co&py", keys=("Ctrl+C", "Ctrl+Ins"), needs=Needs.CHOSEN,
        tip="Put the chosen bodies on the clipboard, with what connects them and its drives"),
    Row(id="paste", menu="&Edit", words="P&aste", keys=("Ctrl+V", "Shift+Ins"), needs=Needs.PROJECT,
        tip="Put the bodies on the clipboard on this sheet, also those of another aircraft"),
    Row(id="remove", menu="&Edit", words="Re&move", keys=("Del",), needs=Needs.CHOSEN, new_group=True,
        tip="Remove what is chosen, with all that rests on it"),
    Row(id="choose-all", menu="&Edit", words="&Choose all bodies", keys=("Ctrl+A",), needs=Needs.BODIES,
        tip="Choose every body of this view; Shift and a click or a drag choose several"),
    Row(id="rename", menu="&Edit", words="Re&name", keys=("F2",), needs=Needs.CHOSEN,
        tip="Write another name for what is chosen"),
    Row(id="drive", menu="&Edit", words="&Drive it", keys=("Shift+V",), needs=Needs.CHOSEN,
        tip="Put a drive on the chosen pivot, slide or jack"),
    Row(id="add-step", menu="&Edit", words="Add a &step", keys=("Shift+A",), needs=Needs.DRIVES,
        tip="Add a step to the sequence that moves the chosen drive, or every drive"),
    Row(id="tool-outline", menu="&Draw", words="&Outline", keys=("Shift+O",), needs=Needs.PROJECT, checkable=True,
        tip="Draw an outline by clicks; drag as you press to bend an edge"),
    Row(id="tool-wall", menu="&Draw", words="&Wall", keys=("Shift+W",), needs=Needs.PROJECT, checkable=True,
        tip="Draw a wall along its middle"),
    Row(id="tool-circle", menu="&Draw", words="&Circle", keys=("Shift+C",), needs=Needs.PROJECT, checkable=True,
        tip="Draw a circle by its centre and how far it reaches"),
    Row(id="tool-circle-by-ends", menu="&Draw", words="Circle by &two points", needs=Needs.PROJECT, checkable=True,
        tip="Draw a circle by two points opposite each other"),
    Row(id="tool-circle-through", menu="&Draw", words="Circle by t&hree points", needs=Needs.PROJECT, checkable=True,
        tip="Draw a circle through three points"),
    Row(id="tool-box", menu="&Draw", words="&Rectangle", keys=("Shift+R",), needs=Needs.PROJECT, checkable=True,
        tip="Draw a rectangle by two corners"),
    Row(id="tool-bar", menu="&Draw", words="&Bar", keys=("Shift+B",), needs=Needs.PROJECT, checkable=True,
        tip="Draw a bar with round ends between two points"),
    Row(id="tool-wheel", menu="&Draw", words="Whee&l", keys=("Shift+T",), needs=Needs.PROJECT, checkable=True,
        tip="Draw a wheel with its tyre, from a size"),
    Row(id="tool-hole", menu="&Draw", words="Hol&e", keys=("Shift+H",), needs=Needs.PROJECT, checkable=True,
        tip="Cut a round hole into a body"),
    Row(id="tool-pivot", menu="&Join", words="&Pivot", keys=("Shift+P",), needs=Needs.BODIES, checkable=True,
        tip="Have two bodies turn on each other"),
    Row(id="tool-slide", menu="&Join", words="&Slide", keys=("Shift+S",), needs=Needs.BODIES, checkable=True,
        tip="Have one body slide in another"),
    Row(id="tool-slot", menu="&Join", words="Sl&ot", keys=("Shift+N",), needs=Needs.BODIES, checkable=True,
        tip="Have a pin run in a slot"),
    Row(id="tool-rod", menu="&Join", words="&Rod", keys=("Shift+D",), needs=Needs.BODIES, checkable=True,
        tip="Put a rod between two bodies"),
    Row(id="tool-jack", menu="&Join", words="&Jack", keys=("Shift+J",), needs=Needs.BODIES, checkable=True,
        tip="Put a jack between two bodies, with its drive"),
    Row(id="tool-gearing", menu="&Join", words="&Gearing", keys=("Shift+G",), needs=Needs.BODIES, checkable=True,
        tip="Have one pivot turn with another, also in another view"),
    Row(id="tool-latch", menu="&Join", words="&Latch", keys=("Shift+L",), needs=Needs.BODIES, checkable=True,
        tip="Have a hook hold a pin"),
    Row(id="tool-reshape", menu="&Change", words="&Reshape", keys=("Shift+E",), needs=Needs.BODIES, checkable=True,
        tip="Pull corners, edges, arcs and ends of connections"),
    Row(id="tool-move", menu="&Change", words="&Move", keys=("Shift+M",), needs=Needs.BODIES, checkable=True,
        tip="Move a body in the drawn position"),
    Row(id="tool-turn", menu="&Change", words="&Turn", keys=("Shift+U",), needs=Needs.BODIES, checkable=True,
        tip="Turn a body about a point"),
    Row(id="tool-scale", menu="&Change", words="&Scale", keys=("Ctrl+6",), needs=Needs.BODIES, checkable=True,
        tip="Make a body larger or smaller about a point"),
    Row(id="tool-mirror", menu="&Change", words="M&irror", keys=("Shift+I",), needs=Needs.BODIES, checkable=True,
        tip="Mirror a body over a line"),
    Row(id="tool-copy", menu="&Change", words="Put a &copy", keys=("Shift+Y",), needs=Needs.BODIES, checkable=True,
        tip="Put a copy of a body elsewhere"),
    Row(id="join-bodies", menu="&Change", words="&Join bodies", keys=("Shift+Z",), needs=Needs.CHOSEN, new_group=True,
        tip="Make one body of the chosen ones: the one chosen last takes the others in"),
    Row(id="cut-away", menu="&Change", words="Cut &away", keys=("Shift+X",), needs=Needs.CHOSEN,
        tip="Cut the other chosen bodies, as drawn, out of the one chosen last"),
    Row(id="lay-higher", menu="&Change", words="Lay one hi&gher", keys=("Alt+Shift+Up",), needs=Needs.CHOSEN,
        new_group=True, tip="Draw the chosen bodies over the next one of their view; depth goes before"),
    Row(id="lay-lower", menu="&Change", words="Lay one lo&wer", keys=("Alt+Shift+Down",), needs=Needs.CHOSEN,
        tip="Draw the chosen bodies under the next one of their view; depth goes before"),
    Row(id="lay-top", menu="&Change", words="Lay on to&p", keys=("Alt+Shift+Home",), needs=Needs.CHOSEN,
        tip="Draw the chosen bodies over all others; depth goes before"),
    Row(id="lay-bottom", menu="&Change", words="Lay &under all", keys=("Alt+Shift+End",), needs=Needs.CHOSEN,
        tip="Draw the chosen bodies under all others; depth goes before"),
    Row(id="lock", menu="&Change", words="Loc&ked", keys=("Alt+K",), needs=Needs.CHOSEN, checkable=True,
        new_group=True, tip="What is locked stays as it is: no hand on the sheet takes hold of it"),
    Row(id="tint-role", menu="&Change", submenu="Tint &of a body", words="&As its role", needs=Needs.CHOSEN,
        checkable=True, choice="tint", tip="Give the chosen bodies the tint of their role again"),
    *(
        Row(id=f"tint-{ink}", menu="&Change", submenu="Tint &of a body", words=words,
            needs=Needs.CHOSEN, checkable=True, choice="tint", tip=f"Tint the chosen bodies {ink}")
        for ink, words in TINTS.items()
    ),
    Row(id="nudge-left", menu="&Change", words="Nudge &left", keys=("Alt+Left",), needs=Needs.CHOSEN, new_group=True,
        tip="Move the chosen bodies 1 mm, or 1/32 in, to the left"),
    Row(id="nudge-right", menu="&Change", words="Nudge rig&ht", keys=("Alt+Right",), needs=Needs.CHOSEN,
        tip="Move the chosen bodies 1 mm, or 1/32 in, to the right"),
    Row(id="nudge-up", menu="&Change", words="&Nudge up", keys=("Alt+Up",), needs=Needs.CHOSEN,
        tip="Move the chosen bodies 1 mm, or 1/32 in, up"),
    Row(id="nudge-down", menu="&Change", words="Nudge &down", keys=("Alt+Down",), needs=Needs.CHOSEN,
        tip="Move the chosen bodies 1 mm, or 1/32 in, down"),
    Row(id="tool-none", menu="&Change", words="Put the tool awa&y", keys=("Shift+Q",), needs=Needs.PROJECT,
        new_group=True, tip="Choose things and drag the film again"),
    Row(id="fit", menu="&Sheet", words="&Fit the view", keys=("0",), needs=Needs.PROJECT, tip="Show the whole view"),
    Row(id="zoom-in", menu="&Sheet", words="Zoom &in", keys=("+", "="), needs=Needs.PROJECT, tip="Nearer"),
    Row(id="zoom-out", menu="&Sheet", words="Zoom &out", keys=("-",), needs=Needs.PROJECT, tip="Further off"),
    Row(id="next-view", menu="&Sheet", words="Next &view", keys=("V",), needs=Needs.VIEWS,
        tip="Show the aircraft's next view"),
    Row(id="two-views", menu="&Sheet", words="&Two views", keys=("C",), needs=Needs.VIEWS, checkable=True,
        tip="Show two views side by side"),
    Row(id="ghosts", menu="&Sheet", words="&Ghosts of start and end", keys=("G",), needs=Needs.PROJECT,
        checkable=True, new_group=True, tip="Draw where moving bodies start and end"),
    Row(id="pinned-ghosts", menu="&Sheet", words="Ghosts of pinned &moments", needs=Needs.PROJECT,
        checkable=True, tip="Draw where bodies stand at the moments that are pinned on the time ruler"),
    Row(id="names", menu="&Sheet", words="&Names of bodies", keys=("B",), needs=Needs.PROJECT,
        checkable=True, tip="Write each body's name on the sheet"),
    Row(id="tracing", menu="&Sheet", words="Traced &drawing", keys=("H",), needs=Needs.PROJECT, checkable=True,
        tip="Show the reference drawing under the bodies"),
    Row(id="lay-drawing", menu="Trac&ing", words="&Lay a drawing under it…", keys=("Ctrl+L",), needs=Needs.PROJECT,
        tip="Copy a picture, an SVG or a PDF page into the aircraft and lay it under this view"),
    Row(id="tool-fit-point", menu="Trac&ing", words="Fit by a &known point", keys=("Shift+K",), needs=Needs.PROJECT,
        checkable=True, tip="Say where a point of the drawing is"),
    Row(id="tool-fit-length", menu="Trac&ing", words="Fit by a known le&ngth", keys=("Shift+F",), needs=Needs.PROJECT,
        checkable=True, tip="Say how far apart two points of the drawing are"),
    Row(id="drawing-fainter", menu="Trac&ing", words="Drawing &fainter", keys=("Ctrl+Down",), needs=Needs.PROJECT,
        tip="See less of the drawing"),
    Row(id="drawing-stronger", menu="Trac&ing", words="Drawing stron&ger", keys=("Ctrl+Up",), needs=Needs.PROJECT,
        tip="See more of the drawing"),
    Row(id="drawing-mirror", menu="Trac&ing", words="&Mirror the drawing", needs=Needs.PROJECT,
        tip="Turn the drawing over, left to right"),
    Row(id="drawing-lock", menu="Trac&ing", words="L&ock or free the drawing", needs=Needs.PROJECT,
        tip="A locked drawing is not fitted or turned over by mistake"),
    Row(id="drawing-away", menu="Trac&ing", words="Take the drawing &away", needs=Needs.PROJECT,
        tip="Take the topmost drawing from under this view; its file stays"),
    Row(id="datum", menu="Trac&ing", words="&Datum…", needs=Needs.PROJECT, new_group=True,
        tip="Say what a point of this view reads on the prototype: station, waterline, buttock line"),
    Row(id="view-side", menu="Trac&ing", words="Add a &side elevation", needs=Needs.PROJECT,
        tip="Add a view from the side"),
    Row(id="view-front", menu="Trac&ing", words="Add a f&ront elevation", needs=Needs.PROJECT,
        tip="Add a view from the front"),
    Row(id="view-plan", menu="Trac&ing", words="Add a &plan", needs=Needs.PROJECT, tip="Add a view from above"),
    Row(id="snap", menu="&Sheet", words="&Snap", keys=("N",), needs=Needs.PROJECT, checkable=True, new_group=True,
        tip="Have the hand drawn to corners, edges, pivots and the grid; Alt held suspends it"),
    Row(id="snapping", menu="&Sheet", words="Snapping and g&rid…", keys=("Alt+N",), needs=Needs.PROJECT,
        tip="Choose what the hand is drawn to, and the squares of the grid"),
    Row(id="tool-measure-distance", menu="&Measure", words="Measure a &distance", keys=("Ctrl+1",), needs=Needs.BODIES,
        checkable=True, tip="Measure between two points at the moment that is looked at"),
    Row(id="tool-measure-angle", menu="&Measure", words="Measure an &angle", keys=("Ctrl+2",), needs=Needs.BODIES,
        checkable=True, tip="Measure the corner of three points at the moment that is looked at"),
    Row(id="tool-measure-gap", menu="&Measure", words="Measure a &gap", keys=("Ctrl+3",), needs=Needs.BODIES,
        checkable=True, tip="Measure how far two bodies are apart at the moment that is looked at"),
    Row(id="tool-path", menu="&Measure", words="&Path of a point", keys=("Ctrl+5",), needs=Needs.BODIES,
        checkable=True, tip="Click a point of a body to draw the path that it takes over the sequence"),
    Row(id="figures", menu="&Measure", words="Published &figures…", keys=("Ctrl+4",), needs=Needs.PROJECT,
        new_group=True, tip="Published figures beside the model's, with their tolerances and what contradicts what"),
    Row(id="hide", menu="&Sheet", words="&Hidden", keys=("Alt+V",), needs=Needs.CHOSEN, checkable=True,
        new_group=True, tip="Do not draw what is chosen; it is solved and checked all the same"),
    Row(id="show-only", menu="&Sheet", words="Sho&w only the chosen", keys=("Alt+O",), needs=Needs.CHOSEN,
        tip="Draw what is chosen, with what joins it, and nothing else of its view"),
    Row(id="show-all", menu="&Sheet", words="Show &everything", keys=("Alt+B",), needs=Needs.HIDDEN,
        tip="Draw again what is hidden"),
    Row(id="place", menu="&Sheet", words="&Place of the finding", keys=("P",), needs=Needs.FINDING,
        tip="Bring the chosen finding's place into sight"),
    Row(id="play", menu="Se&quence", words="&Play", keys=("Space",), needs=Needs.TIME, tip="Play, or pause"),
    Row(id="backwards", menu="Se&quence", words="Play &backwards", keys=("R",), needs=Needs.TIME, checkable=True,
        tip="Play from the end to the start"),
    Row(id="loop", menu="Se&quence", words="Over and o&ver", keys=("T",), needs=Needs.TIME, checkable=True,
        tip="Begin again when the sequence ends"),
    Row(id="slower", menu="Se&quence", words="&Slower", keys=("Z",), needs=Needs.TIME, tip="Play slower"),
    Row(id="faster", menu="Se&quence", words="Fas&ter", keys=("X",), needs=Needs.TIME, tip="Play faster"),
    Row(id="prototype-time", menu="Se&quence", words="As lon&g as on the prototype", needs=Needs.TIME, checkable=True,
        tip="Play so that it takes as long as on the prototype: by the square root of the scale"),
    Row(id="to-start", menu="Se&quence", words="To the st&art", keys=("A", "Home"), needs=Needs.TIME,
        new_group=True, tip="To the start of the sequence"),
    Row(id="frame-back", menu="Se&quence", words="One frame ba&ck", keys=("S", "Left"), needs=Needs.TIME,
        tip="One frame back"),
    Row(id="frame-on", menu="Se&quence", words="One frame &on", keys=("D", "Right"), needs=Needs.TIME,
        tip="One frame on"),
    Row(id="to-end", menu="Se&quence", words="To the &end", keys=("F", "End"), needs=Needs.TIME,
        tip="To the end of the sequence"),
    Row(id="pin", menu="Se&quence", words="P&in or unpin this moment", keys=("Y",), needs=Needs.TIME, new_group=True,
        tip="Keep the ghost of this moment on the sheet, or take it away"),
    Row(id="unpin-all", menu="Se&quence", words="Unpin every &moment", needs=Needs.PINS,
        tip="Take away the ghosts of all moments that are pinned"),
    Row(id="tool-pull", menu="Se&quence", words="Pull by han&d", keys=("M",), needs=Needs.BODIES, checkable=True,
        new_group=True, tip="Pull a body at this moment: the linkage follows; keep it as a step's end, or let go"),
    Row(id="add-curve", menu="Se&quence", words="Add a c&urve…", needs=Needs.TIME, new_group=True,
        tip="Choose a value that is drawn over time under the lanes"),
    Row(id="write-paths", menu="Se&quence", words="Write the pat&hs…", needs=Needs.PATHS,
        tip="Write where the points of all paths are, moment by moment, as a table"),
    Row(id="write-curves", menu="Se&quence", words="&Write the curves…", needs=Needs.TIME,
        tip="Write the curves that are shown as a table or a picture"),
    Row(id="sequence-new", menu="Se&quence", words="New se&quence", needs=Needs.PROJECT, new_group=True,
        tip="Begin another sequence, which starts where this one does"),
    Row(id="sequence-copy", menu="Se&quence", words="Doub&le the sequence", needs=Needs.SEQUENCE,
        tip="Put this sequence in once more, beside it"),
    Row(id="sequence-back", menu="Se&quence", words="Make the wa&y back", needs=Needs.SEQUENCE,
        tip="Make the sequence that runs this one backwards: extend of retract"),
    Row(id="sequence-rename", menu="Se&quence", words="Re&name the sequence", needs=Needs.SEQUENCE,
        tip="Type another name for this sequence"),
    Row(id="sequence-sooner", menu="Se&quence", words="Move it &forward", needs=Needs.SEQUENCE,
        tip="Have this sequence stand before its neighbour"),
    Row(id="sequence-later", menu="Se&quence", words="Move it bac&k", needs=Needs.SEQUENCE,
        tip="Have this sequence stand after its neighbour"),
    Row(id="sequence-remove", menu="Se&quence", words="&Remove the sequence", needs=Needs.SEQUENCE,
        tip="Remove this sequence, with the targets and figures that are measured in it"),
    Row(id="step-rename", menu="S&teps", words="&Rename the step", needs=Needs.STEP,
        tip="Type another name over the chosen step's bar"),
    Row(id="step-split", menu="S&teps", words="&Split at the rule", keys=("I",), needs=Needs.STEP,
        tip="Part the chosen step in two at this moment"),
    Row(id="step-join", menu="S&teps", words="&Join with the next", keys=("J",), needs=Needs.STEP,
        tip="Make one of the chosen step and the one below it, or of two that are chosen"),
    Row(id="step-copy", menu="S&teps", words="&Double it", keys=("U",), needs=Needs.STEP,
        tip="Put the chosen step in once more, right after it"),
    Row(id="step-up", menu="S&teps", words="One row &up", keys=("Alt+PgUp",), needs=Needs.STEP, new_group=True,
        tip="Move the chosen step up in the list; it begins when it did"),
    Row(id="step-down", menu="S&teps", words="One row dow&n", keys=("Alt+PgDown",), needs=Needs.STEP,
        tip="Move the chosen step down in the list; it begins when it did"),
    Row(id="step-sooner", menu="S&teps", words="Soon&er", keys=(",",), needs=Needs.STEP, new_group=True,
        tip="Have the chosen steps begin a twentieth of a second sooner"),
    Row(id="step-later", menu="S&teps", words="&Later", keys=(".",), needs=Needs.STEP,
        tip="Have the chosen steps begin a twentieth of a second later"),
    Row(id="step-shorter", menu="S&teps", words="S&horter", keys=("K",), needs=Needs.STEP,
        tip="Have the chosen step take a twentieth of a second less"),
    Row(id="step-longer", menu="S&teps", words="L&onger", keys=("L",), needs=Needs.STEP,
        tip="Have the chosen step take a twentieth of a second more"),
    Row(id="finding-back", menu="&Findings", words="&Previous finding", keys=("W",), needs=Needs.FINDINGS,
        tip="To the finding before this moment"),
    Row(id="finding-on", menu="&Findings", words="&Next finding", keys=("E",), needs=Needs.FINDINGS,
        tip="To the next finding in time"),
    Row(id="worst", menu="&Findings", words="&Worst finding", keys=("Q",), needs=Needs.FINDINGS,
        tip="To the worst of what was found"),
    Row(id="let-go", menu="&Findings", words="&Let go of the finding, or the trial", keys=("Esc",),
        needs=Needs.LOOK, tip="Choose no finding; where none is chosen, go back from a trial to the sequence as drawn"),
    Row(id="try-fault", menu="&Findings", words="What i&f it fails…", keys=("O",), needs=Needs.TIME, new_group=True,
        tip="See the sequence with a drive that is late, slow or stuck, with a latch that fails, or run back half way"),
    Row(id="try-every", menu="&Findings", words="Tr&y every fault", needs=Needs.TIME,
        tip="Try every fault of this sequence, and list what they bring, worst first"),
    Row(id="keep-trial", menu="&Findings", words="&Keep the trial as a sequence", needs=Needs.TRIAL,
        tip="Add the sequence as it runs with the fault to the aircraft, as one of its own"),
    Row(id="look-system", menu="&Window", words="As the des&ktop", choice="look", checkable=True,
        tip="Light or dark as the desktop is"),
    Row(id="look-light", menu="&Window", words="&Light", choice="look", checkable=True, tip="Dark ink on light film"),
    Row(id="look-dark", menu="&Window", words="&Dark", choice="look", checkable=True, tip="Light ink on dark film"),
    Row(id="show-findings", menu="&Window", words="&Findings", keys=("F6",), checkable=True, new_group=True,
        tip="Show or hide the findings"),
    Row(id="show-details", menu="&Window", words="D&etails", keys=("F7",), checkable=True,
        tip="Show or hide the details"),
    Row(id="show-sequence", menu="&Window", words="&Sequence", keys=("F8",), checkable=True,
        tip="Show or hide the sequence"),
    Row(id="full-screen", menu="&Window", words="F&ull screen", keys=("F11",), checkable=True, new_group=True,
        tip="Use the whole screen"),
    Row(id="keys", menu="&Help", words="&Keys", keys=("F1",), tip="All keys in one list"),
    Row(id="about", menu="&Help", words="About and &cautions", tip="What Bayfold is, and what to beware of"),
)  # fmt: skip


class Actions(QObject):
    """The table as QActions, with what they do bound to them."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._actions = {row.id: _action(row, parent) for row in TABLE}

    def __getitem__(self, action_id: str) -> QAction:
        return self._actions[action_id]

    def bind(self, uses: Uses) -> None:
        """What each plain action does."""
        for action_id, use in uses.items():
            self._actions[action_id].triggered.connect(lambda _on=False, use=use: use())

    def bind_switches(self, uses: Switches) -> None:
        """What each checkable action does when it is put on or off."""
        for action_id, use in uses.items():
            self._actions[action_id].triggered.connect(lambda on, use=use: use(on))

    def refresh(self, session: Session) -> None:
        """Put each action on or off by what there is, and name what would be undone."""
        there = what_is_there(session)
        for row in TABLE:
            self._actions[row.id].setEnabled(row.needs in there)
            self._actions[row.id].setToolTip(tool_tip(row, on=row.needs in there))
        for action_id, words, label in (("undo", "&Undo", session.undo_label), ("redo", "&Redo", session.redo_label)):
            self._actions[action_id].setText(f"{words}: {label.lower()}" if label else words)


def what_is_there(session: Session) -> frozenset[Needs]:
    """The needs that are met."""
    study = session.sequence_study if session.study_current else None
    schedule = session.schedule
    met = {
        Needs.NOTHING: True,
        Needs.PROJECT: session.project is not None,
        Needs.UNSAVED: session.unsaved or (session.project is not None and session.folder is None),
        Needs.UNDO: session.undo_label is not None,
        Needs.REDO: session.redo_label is not None,
        Needs.TIME: schedule is not None and schedule.seconds > 0,
        Needs.FINDINGS: study is not None and any(one.time is not None for one in study.findings),
        Needs.FINDING: session.finding is not None,
        Needs.TRIAL: session.trial is not None,
        Needs.LOOK: session.finding is not None or session.trial is not None,
        Needs.BODIES: session.project is not None and bool(session.project.bodies),
        Needs.DRIVES: session.project is not None and bool(session.project.drives),
        Needs.PINS: session.project is not None and bool(session.sequence and session.sequence.pinned),
        Needs.PATHS: session.project is not None and bool(session.project.paths),
        Needs.CHOSEN: session.selection is not None,
        Needs.SEQUENCE: session.project is not None and bool(session.project.sequences),
        Needs.STEP: session.sequence is not None and any(one.id == session.selection for one in session.sequence.steps),
        Needs.HIDDEN: session.project is not None and bool(hidden_in(session.project)),
        Needs.VIEWS: session.project is not None and len(session.project.views) > 1,
    }
    return frozenset(need for need, is_met in met.items() if is_met)


def _action(row: Row, parent: QObject) -> QAction:
    action = QAction(row.words, parent)
    action.setObjectName(row.id)
    action.setCheckable(row.checkable)
    action.setShortcuts([QKeySequence(key) for key in row.keys])
    action.setToolTip(tool_tip(row, on=True))
    action.setStatusTip(row.tip)
    return action


def tool_tip(row: Row, *, on: bool) -> str:
    """What an action does, and its keys; while it is off, why."""
    if not on and row.needs in WHY_NOT:
        return f"{row.tip} – not now: {WHY_NOT[row.needs]}"
    keys = shown_keys(row)
    return f"{row.tip}  ({keys})" if keys else row.tip


def shown_keys(row: Row) -> str:
    """The keys as the desktop writes them."""
    return " or ".join(QKeySequence(key).toString(QKeySequence.SequenceFormat.NativeText) for key in row.keys)


def key_groups() -> tuple[KeyGroup, ...]:
    """The table's actions that have keys, by menu."""
    groups = []
    for menu in MENUS:
        rows = [(row.words.replace("&", ""), shown_keys(row)) for row in TABLE if row.menu == menu and row.keys]
        if menu == "Se&quence":
            rows.append(("Another sequence", "1 to 9"))
        if rows:
            groups.append(KeyGroup(menu.replace("&", ""), tuple(rows)))
    return tuple(groups)
