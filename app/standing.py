"""How things stand, in the words of the window's title and of its title block."""

from __future__ import annotations

from app.panels.finding_groups import figures_off, groups_of
from app.session import Session


def title_of(session: Session) -> str:
    """The aircraft's name, and its folder's: twins have one name and two folders. Nothing where none is open."""
    if session.project is None:
        return ""
    name, folder = session.project.aircraft.name, session.folder
    name = name if folder is None else f"{name} ({folder.name})"
    return f"{name}, looked at only" if session.looked_at_only else name


def check_of(session: Session) -> str:
    """How the check stands, in a word or two; never that all is clear while it is not known."""
    if session.project is None:
        return ""
    if session.senseless or session.failure is not None:
        return "not checked"
    if session.study is None or not session.study_current:
        return "checking…"
    if not session.project.bodies:
        return "nothing to check"
    count = len(groups_of(session.study))
    found = "" if count == 0 else "1 finding" if count == 1 else f"{count} findings"
    return ", ".join(words for words in (found, figures_off(session.study)) if words) or "nothing found"
