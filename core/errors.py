"""What a caller or a file can get wrong, with what is needed to say so in one line."""

from __future__ import annotations

from pathlib import Path


class BayfoldError(Exception):
    """An error that a user is told of in one clear line."""


class UnreadableProject(BayfoldError):
    """A project that could not be read: which file, where in it, what is wrong, what would be right."""

    def __init__(self, file: Path, wrong: str, *, place: str = "", right: str = "") -> None:
        self.file, self.place, self.wrong, self.right = Path(file), place, wrong, right
        super().__init__(str(self))

    def __str__(self) -> str:
        where = f", at {self.place}" if self.place else ""
        mend = f"; {self.right}" if self.right else ""
        return " ".join(f"{self.file}{where}: {self.wrong}{mend}".split())


class SenselessRequest(BayfoldError):
    """A request that cannot be met as it stands, such as a sequence the project does not have."""


class UnwritableProject(BayfoldError):
    """A project that could not be written; what stood there before still does."""


class CheckCancelled(BayfoldError):
    """The interference check was asked to stop; nothing of it is kept."""
