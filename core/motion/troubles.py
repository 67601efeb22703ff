"""What went wrong on the way, as values: jams, dead centres, travels passed, missed latches, loose and redundant."""

from __future__ import annotations

from core.motion.dead_centres import dead_centres_of
from core.motion.freedoms import loose_of, redundant_of
from core.motion.jams import jams_of
from core.motion.span import Course
from core.motion.travels import travels_of
from core.motion.trouble import Trouble


def troubles_of(course: Course) -> tuple[Trouble, ...]:
    """All troubles, those of one kind together. Connections that do not agree are jams, and not redundant as well."""
    jams = jams_of(course)
    disagreeing = {connection for jam in jams for connection in jam.connections}
    redundant = tuple(one for one in redundant_of(course) if not disagreeing & set(one.connections))
    return (*jams, *loose_of(course), *course.misses, *travels_of(course), *dead_centres_of(course), *redundant)
