"""Where an oleo stands, offered wherever a value of its drive is asked."""

from __future__ import annotations

from app.widgets.offers import Offers
from core.document.lengths import length_unit
from core.document.names import by_id
from core.document.project import Body, Project, Slide
from core.geometry.outlines import outline
from core.sizes.offer import lines_of
from core.sizes.oleos import statics


def oleo_offers(project: Project, drive: str) -> Offers:
    """Of a drive on a slide between its limits, of which one body at least is a leg; nothing of any other."""
    on = next((one.on for one in project.drives if one.id == drive), "")
    slide = by_id(project.connections, on)
    if not isinstance(slide, Slide) or slide.limits is None:
        return ()
    inner, outer = (next(body for body in project.bodies if body.id == one) for one in slide.bodies)
    if "leg" not in (inner.role, outer.role) or not inner.shapes or not outer.shapes:
        return ()
    low, high = slide.limits
    extended, compressed = (high, low) if _moves_away(slide, inner, outer) else (low, high)
    return lines_of(statics(extended, compressed, length_unit(project)))


def _moves_away(slide: Slide, inner: Body, outer: Body) -> bool:
    """Whether the second body of a slide goes farther out of the first as its travel grows."""
    here, there = outline(inner).centroid, outline(outer).centroid
    return (there.x - here.x) * slide.along[0] + (there.y - here.y) * slide.along[1] > 0.0
