"""Fitting the drawing under the sheet: by points whose place is known, and by lengths."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

from msgspec.structs import replace

from app.sheet.bench import Bench
from app.sheet.tools.collecting import Collecting, Following
from app.sheet.tools.drafts import cross_marks, line_mark
from app.sheet.tools.tool import Field, Hand, Preview, Tool, Unit
from core.document.drawing_edits import SetDrawing
from core.document.lengths import small_length, small_unit
from core.document.names import by_id
from core.document.project import Point, TracedDrawing, View
from core.drawing.drawing import Label, Line, Mark
from core.sketch.fitting import mapped
from core.sketch.laying import pixel_at, place_of_reading, reading, refitted, with_known, with_length


class _OnDrawing(Following):
    """Works on the topmost drawing of the view that is not locked."""

    def _view(self) -> View | None:
        project = self._bench.project
        return None if project is None else by_id(project.views, self._bench.view)

    def _drawing(self) -> tuple[int, TracedDrawing] | None:
        view = self._view()
        if view is None:
            return None
        free = [(number, one) for number, one in enumerate(view.drawings) if not one.locked and not one.hidden]
        return free[-1] if free else None

    def _scale(self) -> float:
        return self._bench.project.aircraft.scale if self._bench.project is not None else 1.0

    def _nothing(self) -> str:
        return "There is no drawing under this view that could be fitted; lay one there first (Tracing, Lay a drawing)"

    def _put(self, drawing: TracedDrawing, words: str) -> None:
        found, view = self._drawing(), self._view()
        if found is not None and view is not None:
            self._bench.push(SetDrawing(view.id, found[0], drawing, words))
            self._bench.fitted.emit()

    def preview(self) -> Preview:
        """Every known thing with what the fit leaves over there."""
        found = self._drawing()
        if found is None or self._hand is None or self._bench.project is None:
            return Preview()
        drawing, size = found[1], 0.6 * self._hand.reach
        _, fit = refitted(drawing)
        marks: list[Mark] = []
        labels: list[Label] = []
        project, scale = self._bench.project, self._scale()
        for number, known in enumerate(drawing.known):
            ((x, y),) = mapped(drawing.pixel_to_mm, [known.pixel]).tolist()
            wrong = fit is not None and fit.suspect == number
            off = fit.suspect_by if fit is not None and wrong else math.dist((x, y), known.mm)
            marks += cross_marks((x, y), size, Line.CLASH if wrong else Line.OUTLINE)
            told = f"{small_length(project, off)} off, {small_length(project, off * scale)} at full size"
            labels.append(
                Label(text=f"wrong? {told}" if wrong else told, at=(x, y), offset=(4.0, 4.0), boxed=True, clash=wrong)
            )
        for length, miss in zip(drawing.lengths, fit.stretch_misses if fit is not None else (), strict=False):
            ends = [tuple(at) for at in mapped(drawing.pixel_to_mm, length.pixels).tolist()]
            marks += line_mark(ends, Line.DIMENSION)
            middle = (0.5 * (ends[0][0] + ends[1][0]), 0.5 * (ends[0][1] + ends[1][1]))
            labels.append(
                Label(text=f"{small_length(project, abs(miss))} off", at=middle, offset=(4.0, 4.0), boxed=True)
            )
        return Preview(tuple(marks), tuple(labels))


class FitPointTool(_OnDrawing):
    """Click a point of the drawing, then type where it is."""

    id, words = "fit-point", "Known point"

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self._pixel: Point | None = None

    def hint(self) -> str:
        found = self._drawing()
        if found is None:
            return self._nothing()
        if self._pixel is None:
            return f"Click a point of the drawing whose place is known ({len(found[1].known)} so far)"
        return "Type where that point is, and press Enter; or click where it should lie"

    def press(self, hand: Hand) -> None:
        self._hand = hand
        found = self._drawing()
        if found is None:
            self._bench.session.turn_down(self._nothing())
        elif self._pixel is None:
            self._pixel = pixel_at(found[1], hand.raw)
        else:
            self._know(hand.point)
        self._bench.changed.emit()

    def _know(self, mm: Point) -> None:
        found, pixel = self._drawing(), self._pixel
        if found is not None and pixel is not None:
            self._pixel = None
            self._put(with_known(found[1], pixel, mm), "Fit the drawing")

    def fields(self) -> Sequence[Field]:
        found, view = self._drawing(), self._view()
        if found is None or self._pixel is None:
            return ()
        ((x, y),) = mapped(found[1].pixel_to_mm, [self._pixel]).tolist()
        place = (Field(id="x", words="x", value=x), Field(id="y", words="y", value=y))
        read = None if view is None else reading(view, self._scale(), (x, y))
        if read is None:
            return place
        return (*place, Field(id="first", words="Reads", value=read[0]), Field(id="second", words="and", value=read[1]))

    def enter(self, values: Mapping[str, float]) -> None:
        found, view = self._drawing(), self._view()
        if found is None or view is None or self._pixel is None:
            return
        ((x, y),) = mapped(found[1].pixel_to_mm, [self._pixel]).tolist()
        read = reading(view, self._scale(), (x, y))
        if read is not None and {"first", "second"} & set(values):
            at = place_of_reading(view, self._scale(), (values.get("first", read[0]), values.get("second", read[1])))
            x, y = at if at is not None else (x, y)
        self._know((values.get("x", x), values.get("y", y)))
        self._bench.changed.emit()

    def remove(self) -> bool:
        """Takes the known point under the hand away."""
        found, hand = self._drawing(), self._hand
        if found is None or hand is None:
            return False
        places = mapped(found[1].pixel_to_mm, [one.pixel for one in found[1].known]).tolist()
        left = tuple(
            one for one, at in zip(found[1].known, places, strict=True) if math.dist(at, hand.raw) > 1.5 * hand.reach
        )
        if len(left) == len(found[1].known):
            return False
        self._put(refitted(replace(found[1], known=left))[0], "Forget a known point")
        return True

    def cancel(self) -> bool:
        begun, self._pixel = self._pixel is not None, None
        self._bench.changed.emit()
        return begun


class FitLengthTool(_OnDrawing, Collecting[Point]):
    """Two points of the drawing, then how far apart they are."""

    id, words = "fit-length", "Known length"

    def hint(self) -> str:
        found = self._drawing()
        if found is None:
            return self._nothing()
        first = "Click one end of a length that is known"
        if not (found[1].known or found[1].lengths):
            first = f"The drawing is not to scale yet: c{first[1:]}, or fit it by known points (Shift+K)"
        project = self._bench.project
        inches = project is not None and small_unit(project) == "in"
        such = "12½ in full size" if inches else "318 mm full size"
        return (
            first,
            "Click its other end",
            f"Type how long it is, such as {such}, and its angle if that is known; then press Enter",
        )[len(self._taken)]

    def press(self, hand: Hand) -> None:
        self._hand = hand
        found = self._drawing()
        if found is None:
            self._bench.session.turn_down(self._nothing())
        elif len(self._taken) < 2:
            self._taken.append(pixel_at(found[1], hand.raw))
        self._bench.changed.emit()

    def fields(self) -> Sequence[Field]:
        found = self._drawing()
        if found is None or len(self._taken) < 2:
            return ()
        start, end = mapped(found[1].pixel_to_mm, self._taken).tolist()
        return (
            Field(id="length", words="Length", value=math.dist(start, end), positive=True),
            Field(id="angle", words="Angle", unit=Unit.ANGLE),
        )

    def enter(self, values: Mapping[str, float]) -> None:
        found = self._drawing()
        if found is None or len(self._taken) < 2 or values.get("length", 0.0) <= 0.0:
            return
        first, second = self._taken
        self._taken = []
        self._put(with_length(found[1], first, second, values["length"], values.get("angle")), "Fit the drawing")
        self._bench.changed.emit()

    def preview(self) -> Preview:
        drawn, found = super().preview(), self._drawing()
        if found is None or not self._taken or self._hand is None:
            return drawn
        ends = [tuple(at) for at in mapped(found[1].pixel_to_mm, self._taken).tolist()]
        if len(ends) == 1:
            ends.append(self._hand.raw)
        return Preview((*drawn.marks, *line_mark(ends, Line.DIMENSION)), drawn.labels)


FITTING: tuple[Callable[[Bench], Tool], ...] = (FitPointTool, FitLengthTool)
