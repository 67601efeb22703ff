"""What went wrong on the way, as values."""

from __future__ import annotations

from core.motion.motion import Trouble
from core.motion.span import Course


def troubles_of(course: Course) -> tuple[Trouble, ...]:
    return tuple(course.misses)
