"""What an action does, as the part of the window that it belongs to says."""

from __future__ import annotations

from collections.abc import Callable, Mapping

Uses = Mapping[str, Callable[[], object]]
"""By the ids of plain actions, what each does."""
Switches = Mapping[str, Callable[[bool], object]]
"""By the ids of checkable actions, what each does when it is put on or off."""
