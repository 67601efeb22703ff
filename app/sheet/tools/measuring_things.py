"""Measuring one thing: across a wheel, a rod from end to end, how much of its stroke a sequence uses. What was clicked
stays measured until it is thrown away, or kept as a figure of the project.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from msgspec.structs import replace

from app.sheet.bench import Bench
from app.sheet.standing import Stand
from app.sheet.tools.collecting import Following
from app.sheet.tools.drafts import line_mark
from app.sheet.tools.measuring import KEEP, length_besides
from app.sheet.tools.tool import Hand, Preview, Tool
from app.sheet.tools.under_hand import bodies_standing
from core.document.figure_edits import SetFigure
from core.document.lengths import shown_amount
from core.document.measured import measurable
from core.document.names import by_id, name_of
from core.document.project import Body, Connection, Figure, Pivot, Point, Project, Quantity, Slide, Slot
from core.drawing.drawing import Label, Line
from core.figures.besides import besides_sentence
from core.figures.evaluate import evaluate
from core.figures.fresh import circle_under, fresh_figure
from core.figures.measure import MotionFor
from core.figures.result import FigureResult, Roundness, Sides
from core.study import Study

Thing = Body | Connection


class _OfOneThing(Following):
    as_drawn, snaps = False, False
    quantity: Quantity = "diameter"
    asks = ""

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self._taken: str | None = None
        self._about: Point | None = None
        """Of a body the point, as drawn, that was meant of it."""
        self._found: tuple[Study, FigureResult] | None = None

    def hint(self) -> str:
        project, result = self._bench.project, self._result()
        if self._taken is None:
            return self.asks
        if project is None or result is None:
            return f"It is measured when the check has come – {KEEP}"
        if result.model is None:
            return f"It cannot be measured: {result.trouble}"
        told = [shown_amount(project, result.model, result.unit, finer=1)]
        told += [length_besides(project, result.model)] if result.unit == "mm" else []
        beside = besides_sentence(result, project).rstrip(".")
        return f"{', '.join(told)}{f'. {beside}' if beside else ''} – {KEEP}"

    def press(self, hand: Hand) -> None:
        self._hand = hand
        thing = self._under(hand)
        if thing is None:
            self._bench.session.turn_down("Nothing that can be measured so is drawn there")
        else:
            self._taken, self._about = thing.id, self._aimed_at(thing, hand)
        self._bench.changed.emit()

    def finish(self) -> None:
        """Keep it as a figure without a published size, which the panel of figures can give it."""
        figure = self._figure()
        if figure is not None and self._bench.push(SetFigure(figure, f"Keep {figure.name}")):
            self._taken = None
            self._bench.made.emit(figure.id)
            self._bench.changed.emit()

    def back(self) -> bool:
        return self.cancel()

    def cancel(self) -> bool:
        begun, self._taken = self._taken is not None, None
        self._bench.changed.emit()
        return begun

    def preview(self) -> Preview:
        """What is measured, with its size; before, what would be."""
        project, result = self._bench.project, self._result()
        if project is None:
            return Preview()
        if self._taken is None:
            under = None if self._hand is None else self._under(self._hand)
            at = None if self._hand is None else self._hand.raw
            said = "" if under is None else f"{self.quantity} of {name_of(under)}"
            return Preview() if at is None or not said else Preview(labels=(_label(said, at),))
        if result is None or result.model is None:
            return Preview()
        line = line_of(project, result, self._bench.stand())
        middle = (0.5 * (line[0][0] + line[-1][0]), 0.5 * (line[0][1] + line[-1][1]))
        size = _label(shown_amount(project, result.model, result.unit, finer=1), middle)
        return Preview(line_mark(line, Line.DIMENSION), (size,))

    # ---- what is measured ------------------------------------------------------------------------------------------

    def _under(self, hand: Hand) -> Thing | None:
        """The thing under the hand of those that have such a size: the last drawn of bodies, the nearest of others."""
        project = self._bench.project
        if project is None:
            return None
        return thing_under(project, self._bench.view, measurable(project, self.quantity), hand, self._bench.stand())

    def _aimed_at(self, thing: Thing, hand: Hand) -> Point | None:
        """What of a thing is meant, where not the whole."""
        return None

    def _figure(self) -> Figure | None:
        session, project = self._bench.session, self._bench.project
        things = () if project is None else measurable(project, self.quantity)
        thing = by_id(things, self._taken)
        if project is None or thing is None:
            return None
        sequence = session.sequence.id if session.sequence is not None else ""
        moment = self._bench.stand().moment
        figure = fresh_figure(project, self.quantity, thing, sequence=sequence, moment=moment, about=self._about)
        return replace(figure, confidence="measured")

    def _result(self) -> FigureResult | None:
        """None while nothing is taken, or the check of what is shown has not come."""
        session, project = self._bench.session, self._bench.project
        study = session.study if session.study_current else None
        if project is None or self._taken is None or study is None:
            return None
        figure = self._figure()
        if figure is None:
            return None
        if self._found is None or self._found[0] is not study or self._found[1].figure != figure:
            motions = {one.sequence.id: one.motion for one in study.sequences}
            self._found = (study, _measured(project, figure, motions.__getitem__))
        return self._found[1]


class DiameterTool(_OfOneThing):
    id, words = "measure-diameter", "Measure a diameter"
    asks = "Click a wheel, or any other body, to measure across it"

    def _aimed_at(self, thing: Thing, hand: Hand) -> Point | None:
        """The circle under the hand, of a wheel that is drawn in one with its leg."""
        project = self._bench.project
        if project is None or not isinstance(thing, Body):
            return None
        return circle_under(project, thing, self._bench.stand().drawn(thing.id, hand.raw))


class LengthTool(_OfOneThing):
    id, words = "measure-length", "Measure a rod"
    quantity = "length"
    asks = "Click a rod to measure it from end to end, or a jack from pin to pin"


class StrokeTool(_OfOneThing):
    id, words = "measure-stroke", "Measure a stroke"
    quantity = "stroke"
    asks = "Click a jack, slide, slot or pivot to see how much of what it has this sequence uses"


SIZING: tuple[Callable[[Bench], Tool], ...] = (DiameterTool, LengthTool, StrokeTool)


def _measured(project: Project, figure: Figure, motion_for: MotionFor) -> FigureResult:
    (result,) = evaluate(replace(project, figures=(figure,)), motion_for)
    return result


def _label(text: str, at: Point) -> Label:
    return Label(text=text, at=at, offset=(6.0, 6.0), boxed=True)


# ---- picking and showing --------------------------------------------------------------------------------------------


def thing_under(project: Project, view: str, things: tuple[Thing, ...], hand: Hand, stand: Stand) -> Thing | None:
    """Of some things in sight the one under the hand where it stands; None where none is near."""
    bodies = bodies_standing(project, view, hand, stand)
    able = {one.id: one for one in things if not one.hidden}
    if body := next((able[one] for one in bodies if one in able), None):
        return body
    views = {one.id: one.view for one in project.bodies}
    near = [
        (away, one.id)
        for one in able.values()
        if (bodies_of := getattr(one, "bodies", None)) is not None and views[bodies_of[0]] == view
        and (away := _away(ends_of(one, stand), hand.raw)) <= hand.reach
    ]  # fmt: skip
    return able[min(near)[1]] if near else None


def ends_of(one: Thing, stand: Stand) -> tuple[Point, ...]:
    """The points that a connection is drawn from and to where it stands; one alone of a pivot and a slide."""
    if isinstance(one, Pivot | Slide):
        drawn: tuple[tuple[str, Point], ...] = ((one.bodies[1], one.at),)
    elif isinstance(one, Slot):
        drawn = ((one.bodies[0], one.start), (one.bodies[0], one.end))
    else:
        drawn = tuple(zip(one.bodies, one.ends, strict=True))  # type: ignore[union-attr]
    return tuple(stand.placed(body, at) for body, at in drawn)


def line_of(project: Project, result: FigureResult, stand: Stand) -> tuple[Point, ...]:
    """The line that shows a size where the thing stands."""
    of = result.figure.of or ""
    if isinstance(result.beside, Roundness | Sides):
        return tuple(stand.placed(of, at) for at in result.beside.across)
    return ends_of(next(one for one in project.connections if one.id == of), stand)


def _away(ends: tuple[Point, ...], at: Point) -> float:
    """How far a point is from a line between two ends, or from one alone, mm."""
    start, end = np.array(ends[0]), np.array(ends[-1])
    along, aside = end - start, np.array(at) - start
    square = float(along @ along)
    share = min(1.0, max(0.0, float(aside @ along) / square)) if square > 0.0 else 0.0
    return float(np.hypot(*(aside - share * along)))
