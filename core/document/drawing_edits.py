"""Edits of views and of the drawings under them."""

from __future__ import annotations

from dataclasses import dataclass

from msgspec.structs import replace

from core.document.changing import with_view
from core.document.names import name_of
from core.document.project import Datum, Project, TracedDrawing, View


@dataclass(frozen=True, slots=True)
class AddView:
    view: View

    @property
    def label(self) -> str:
        return f"Add view {name_of(self.view)}"

    def apply(self, project: Project) -> Project:
        return replace(project, views=(*project.views, self.view))


@dataclass(frozen=True, slots=True)
class SetDatum:
    """What a point of a view reads on the prototype; None takes the datum away."""

    view: str
    datum: Datum | None

    @property
    def label(self) -> str:
        return "Set datum"

    def apply(self, project: Project) -> Project:
        return with_view(project, self.view, lambda view: replace(view, datum=self.datum))


@dataclass(frozen=True, slots=True)
class AddDrawing:
    """One more picture under a view, above those that are there."""

    view: str
    drawing: TracedDrawing

    @property
    def label(self) -> str:
        return "Lay a drawing under the view"

    def apply(self, project: Project) -> Project:
        def add(view: View) -> View:
            if view.drawing is None and not view.more_drawings:
                return replace(view, drawing=self.drawing)
            return replace(view, more_drawings=(*view.more_drawings, self.drawing))

        return with_view(project, self.view, add)


@dataclass(frozen=True, slots=True)
class SetDrawing:
    """Another value for one of a view's drawings, counted as `View.drawings` has them; `words` say what is done."""

    view: str
    number: int
    drawing: TracedDrawing
    words: str = "Change drawing"

    @property
    def label(self) -> str:
        return self.words

    def apply(self, project: Project) -> Project:
        def change(view: View) -> View:
            return _with_drawings(
                view, [self.drawing if n == self.number else one for n, one in enumerate(view.drawings)]
            )

        return with_view(project, self.view, change)


@dataclass(frozen=True, slots=True)
class RemoveDrawing:
    """Take a drawing from under a view; its file stays in the project's folder."""

    view: str
    number: int

    @property
    def label(self) -> str:
        return "Take the drawing away"

    def apply(self, project: Project) -> Project:
        def change(view: View) -> View:
            return _with_drawings(view, [one for n, one in enumerate(view.drawings) if n != self.number])

        return with_view(project, self.view, change)


def _with_drawings(view: View, drawings: list[TracedDrawing]) -> View:
    return replace(view, drawing=drawings[0] if drawings else None, more_drawings=tuple(drawings[1:]))
